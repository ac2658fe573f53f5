"""Read a van's TOML file, with parts filled in and settings put over it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solarsim.inputs.base import parse_record, record_data
from solarsim.inputs.files.toml import apply_settings, read_toml, resolve_file
from solarsim.inputs.parts import fill_from_part, without_part
from solarsim.inputs.settings import list_settings
from solarsim.inputs.van import Van

__all__ = ["DEFAULT_VAN", "read_van", "van_folder", "van_from_data", "van_with_settings"]

DEFAULT_VAN = "weekender"
_WITH_PARTS = {"panels": "panels", "battery": "batteries"}


def read_van(name_or_path: str = DEFAULT_VAN, *, settings: Sequence[str] = ()) -> Van:
    """Read a van: a TOML file, or a shipped example by its name.

    Parameters
    ----------
    name_or_path : str
        A path, or the name of a shipped example.
    settings : sequence of str, optional
        ``TABLE.FIELD=VALUE`` changes, such as ``battery.units=3``.

    Raises
    ------
    InputError
        No such file, no TOML, an unknown key or part, a value out of range or at odds with
        another; the file, the table and the field are named.

    Examples
    --------
    >>> read_van("weekender", settings=["battery.units=3"]).battery.units
    3
    """
    path = resolve_file(name_or_path, "vans")
    return van_from_data(read_toml(path), source=str(path), settings=settings)


def van_from_data(data: dict[str, Any], *, source: str, settings: Sequence[str] = ()) -> Van:
    """Build a van from plain tables; otherwise as `read_van`."""
    # Arrays that a setting brings in are there for those that reach into one of them.
    inner = [setting for setting in settings if setting.partition(".")[0].strip() == "arrays"]
    changed = apply_settings(data, [s for s in settings if s not in inner], source=source)
    reached = list_settings(changed, inner, table="arrays", source=source)
    changed = apply_settings(reached.data, reached.rest, source=source)
    for table, kind in _WITH_PARTS.items():
        if isinstance(changed.get(table), dict):
            changed[table] = fill_from_part(changed[table], kind, source=source, field=table)
    if isinstance(changed.get("arrays"), list):
        changed["arrays"] = [
            fill_from_part(array, "panels", source=source, field=f"arrays.{index}")
            if isinstance(array, dict)
            else array
            for index, array in enumerate(changed["arrays"])
        ]
    return parse_record(Van, changed, source=source)


def van_with_settings(van: Van, settings: Sequence[str]) -> Van:
    """Put settings over a van, as over its file: a new part brings its own numbers.

    Raises
    ------
    InputError
        As for `read_van`.
    """
    data = record_data(van)
    for table, kind in _WITH_PARTS.items():
        data[table] = without_part(data[table], kind)
    if "arrays" in data:
        data["arrays"] = [without_part(array, "panels") for array in data["arrays"]]
    return van_from_data(data, source="van", settings=settings)


def van_folder(name_or_path: str) -> Path:
    """Folder of a van's file, where its profile's relative path may start."""
    return resolve_file(name_or_path, "vans").parent
