"""The parts library: generic parts with the source of their numbers.

``parts/panels.toml``, ``parts/batteries.toml`` and ``parts/appliances.toml`` each hold an array of
tables ``[[part]]`` with ``name`` and ``source``, and the fields of the table they stand in for.
"""

from __future__ import annotations

import difflib
import functools
from pathlib import Path
from typing import Any

from solarsim.errors import InputError
from solarsim.inputs.files.toml import read_toml

__all__ = ["fill_from_part", "part_table", "part_tables", "without_part"]


@functools.cache
def part_tables(kind: str) -> dict[str, dict[str, Any]]:
    """Return all parts of a kind (``"panels"``, ``"batteries"``, ``"appliances"``) by name."""
    path = Path(__file__).with_name("parts") / f"{kind}.toml"
    return {table["name"]: table for table in read_toml(path)["part"]}


def part_table(kind: str, name: str, *, source: str = "", field: str = "") -> dict[str, Any]:
    """Return one part's numbers, without its name and source.

    Raises
    ------
    InputError
        No part of that name; the nearest ones are listed.
    """
    tables = part_tables(kind)
    found = tables.get(name)
    if found is None:
        near = difflib.get_close_matches(name, tables, n=3, cutoff=0.3) or sorted(tables)
        hint = ", ".join(f"'{other}'" for other in near)
        message = f"got {name!r}; no such part in the {kind} library; near: {hint}"
        raise InputError(message, source=source, field=field)
    return {key: value for key, value in found.items() if key not in {"name", "source"}}


def fill_from_part(table: dict[str, Any], kind: str, *, source: str, field: str) -> dict[str, Any]:
    """Put the numbers of ``table["part"]`` under those that `table` itself gives.

    Raises
    ------
    InputError
        The part does not exist.
    """
    name = table.get("part")
    if not isinstance(name, str):
        return dict(table)
    return part_table(kind, name, source=source, field=f"{field}.part") | table


def without_part(table: dict[str, Any], kind: str) -> dict[str, Any]:
    """Take out the numbers that `fill_from_part` fills in again, so that a new part brings its own.

    What differs from the part, and a table of no known part, stays.
    """
    name = table.get("part")
    part = part_tables(kind).get(name, {}) if isinstance(name, str) else {}
    kept = {field for field in table if field not in part or part[field] != _listed(table[field])}
    return {field: value for field, value in table.items() if field in kept | {"name"}}


def _listed(value: Any) -> Any:
    """As TOML has it: a record holds tuples where a file holds lists."""
    return [_listed(item) for item in value] if isinstance(value, list | tuple) else value
