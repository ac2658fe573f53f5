"""Appliances as rows that can be typed over, and back to a profile."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from solarsim.app.tables import profile_tables
from solarsim.app.translate import tr
from solarsim.app.units.quantities import METRIC, Units, read_value, value_text
from solarsim.errors import InputError
from solarsim.inputs.parts import part_tables
from solarsim.inputs.profile import Profile, profile_from_data

__all__ = [
    "COLUMNS",
    "MORE_COLUMNS",
    "OWN_APPLIANCE",
    "appliance_frame",
    "library",
    "with_appliance",
    "with_edits",
    "without_appliance",
]

# Two tables, each narrow enough for a phone.
COLUMNS = ("on", "appliance", "W", "h a day")
MORE_COLUMNS = ("appliance", "pieces", "current", "priority")
OWN_APPLIANCE = "something else"
_FIELDS = {
    "on": "enabled",
    "appliance": "name",
    "current": "current",
    "priority": "priority",
}
_SOURCE = "input"
_OWN = {"name": "my appliance", "power_w": 20.0, "hours_per_day": 1.0}


def appliance_frame(profile: Profile, units: Units = METRIC) -> pd.DataFrame:
    """Return one row an appliance; hours are empty where the cabin's temperature sets them.

    Numbers are text: the browser's own cell for numbers drops a decimal comma.
    """
    return pd.DataFrame(
        [
            {
                "on": appliance.enabled,
                "appliance": appliance.name,
                "W": value_text("power_w", appliance.power_w, units),
                "h a day": None
                if appliance.response != "none"
                else value_text("use_h", appliance.use_h, units),
                "pieces": value_text("count", appliance.count, units),
                "current": appliance.current,
                "priority": appliance.priority,
            }
            for appliance in profile.appliances
        ],
        columns=list(dict.fromkeys(COLUMNS + MORE_COLUMNS)),
    )


def with_edits(
    profile: Profile, edits: Mapping[int, Mapping[str, Any]], units: Units = METRIC
) -> Profile:
    """Return the profile with cells typed over.

    Parameters
    ----------
    profile : Profile
        Whose appliances are the table's rows.
    edits : mapping
        Row number to column name to the new value.
    units : Units
        Those that cells are read in.

    Raises
    ------
    InputError
        Names the appliance, what was given and what is allowed.
    """
    tables = profile_tables(profile)
    rows = [dict(table) for table in tables.get("appliances", ())]
    for number, cells in edits.items():
        row, name = rows[int(number)], profile.appliances[int(number)].name
        for column, value in cells.items():
            if value is None or not str(value).strip():
                message = tr("{column} is empty; give a value", column=tr(column))
                raise InputError(message, source=_SOURCE, field=name)
            if column == "W":
                _scale(row, _number(value, name, column, units))
            elif column == "pieces":
                row["count"] = int(_number(value, name, column, units))
            elif column == "h a day":
                if profile.appliances[int(number)].response != "none":
                    message = tr("the cabin's temperature sets its hours; leave them empty")
                    raise InputError(message, source=_SOURCE, field=name)
                row.pop("minutes_per_day", None)
                row["hours_per_day"] = _number(value, name, column, units)
            else:
                row[_FIELDS[column]] = value
    tables["appliances"] = rows
    return _checked(tables, rows)


def with_appliance(profile: Profile, part: str) -> Profile:
    """Return the profile with one more appliance of the library, or a plain one to type over.

    Raises
    ------
    InputError
        It needs something that the profile does not have, such as a temperature to heat to.
    """
    tables = profile_tables(profile)
    rows = [dict(table) for table in tables.get("appliances", ())]
    new = dict(_OWN) if part == OWN_APPLIANCE else {"part": part, "name": part}
    names = {row["name"] for row in rows}
    count, first = 2, new["name"]
    while new["name"] in names:
        new["name"], count = f"{first} {count}", count + 1
    rows.append(new)
    tables["appliances"] = rows
    return _checked(tables, rows)


def without_appliance(profile: Profile, position: int) -> Profile:
    """Return the profile without one of its appliances."""
    tables = profile_tables(profile)
    rows = [row for number, row in enumerate(tables["appliances"]) if number != position]
    tables["appliances"] = rows
    return _checked(tables, rows)


def library() -> list[str]:
    """Names of the appliances that can be added."""
    return [*part_tables("appliances"), OWN_APPLIANCE]


def _number(value: Any, name: str, column: str, units: Units) -> float:
    try:
        return read_value("", str(value), units, whole=column == "pieces")
    except InputError as error:
        message = f"{tr(column)}: {error.message}"
        raise InputError(message, source=_SOURCE, field=name) from None


def _scale(row: dict[str, Any], power_w: float) -> None:
    """Set the watts; what the table does not show keeps its share of them."""
    before_w = float(row["power_w"])
    for name in ("surge_w", "low_power_w", "standby_w"):
        if name in row and before_w > 0.0:
            row[name] = float(row[name]) * power_w / before_w
    row["power_w"] = power_w


def _checked(tables: dict[str, Any], rows: list[dict[str, Any]]) -> Profile:
    try:
        return profile_from_data(tables, source=_SOURCE)
    except InputError as error:
        parts = error.field.split(".")
        if parts[0] != "appliances" or len(parts) < 2 or not parts[1].isdecimal():
            raise
        field = ", ".join([str(rows[int(parts[1])].get("name")), *parts[2:]])
        first, *more = error.message.split("\n")
        raise InputError(first, source=_SOURCE, field=field, more=tuple(more)) from None
