"""Records as plain tables again, and tables with changes put in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from solarsim.inputs.base import Record
from solarsim.inputs.parts import part_table, part_tables
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van

__all__ = ["KIND_OF_PART", "profile_tables", "shipped_part", "van_tables", "with_changes"]

KIND_OF_PART = {"panels": "panels", "battery": "batteries"}


def van_tables(van: Van) -> dict[str, Any]:
    """Return the tables of a van's file; reading them back gives an equal van."""
    return _dumped(van)


def profile_tables(profile: Profile) -> dict[str, Any]:
    """Return the tables of a profile's file; reading them back gives an equal profile.

    The hourly watts stand in the tables themselves, not in another file.
    """
    tables = _dumped(profile)
    hourly = tables.get("hourly")
    if isinstance(hourly, dict):
        tables["hourly"] = {
            key: value for key, value in hourly.items() if key not in {"file", "current"}
        }
    return tables


def with_changes(tables: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return the tables with each ``"table.field"`` of `changes` put in; None takes a field out.

    A field may lie in a table of its table. A changed part brings all numbers of its own; a table
    that is None goes altogether.
    """
    changed: dict[str, Any] = {
        name: dict(table) if isinstance(table, dict) else table for name, table in tables.items()
    }
    for table, kind in KIND_OF_PART.items():
        part = changes.get(f"{table}.part")
        if part is not None and part != changed[table].get("part"):
            kept = set(part_table(kind, part)) | {"part"}
            owned = {field for known in part_tables(kind).values() for field in known}
            changed[table] = {
                field: value for field, value in changed[table].items() if field not in kept | owned
            }
    for path, value in changes.items():
        *parents, field = path.split(".")
        inner: dict[str, Any] = changed
        for parent in parents:
            inner[parent] = dict(inner.get(parent, {}))
            inner = inner[parent]
        if value is None:
            inner.pop(field, None)
        else:
            inner[field] = dict(value) if isinstance(value, Mapping) else value
    return changed


def shipped_part(table: Mapping[str, Any], kind: str) -> str | None:
    """Return the library's name of a table's part; None where the numbers are the van's own."""
    part = table.get("part")
    return part if part in part_tables(kind) else None


def _dumped(record: Record) -> dict[str, Any]:
    # What was given and what a part filled in; naming the defaults too would give fields to
    # appliances that do not own them.
    return record.model_dump(exclude_unset=True, exclude_none=True)
