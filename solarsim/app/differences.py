"""What tells two designs apart, in words."""

from __future__ import annotations

import dataclasses
from typing import Any

from pydantic import BaseModel

from solarsim.app.draft import Draft
from solarsim.app.tables import KIND_OF_PART
from solarsim.app.translate import tr
from solarsim.app.units.quantities import METRIC, Units, value_text
from solarsim.app.units.words import in_units_heading
from solarsim.app.widgets.fields import field_label

__all__ = ["differences", "same_weather"]

_PLACE_AND_DATE = ("place", "month", "start", "year", "days")
# What says nothing of the design, or is said by another line.
_UNSAID = {"van.name", "van.description", "stay.profile", "profile.description"}


def same_weather(design: Draft, other: Draft) -> Draft:
    """Return the design at the other's place and dates, on its weather file if it has one."""
    stay = other.van.stay
    moved = {name: getattr(stay, name) for name in _PLACE_AND_DATE}
    own = design.van.stay.model_copy(update=moved)
    van = design.van.model_copy(update={"stay": own})
    return dataclasses.replace(design, van=van, weather=other.weather)


def differences(first: Draft, second: Draft, units: Units = METRIC) -> tuple[str, ...]:
    """Name every input that differs, as ``"Panels: 2 → 3"`` from the first to the second.

    A part stands for its numbers, and an appliance that only one has is named once. Values are in
    the units that are given.
    """
    found = _tables(first.van, second.van, units)
    found += _records("profile", first.profile.profile, second.profile.profile, units)
    found += _records("cabin", first.profile.cabin, second.profile.cabin, units)
    mine = {appliance.name: appliance for appliance in first.profile.appliances}
    yours = {appliance.name: appliance for appliance in second.profile.appliances}
    for name in dict.fromkeys((*mine, *yours)):
        if name not in yours:
            found.append(tr("without {name}", name=name))
        elif name not in mine:
            found.append(tr("with {name}", name=name))
        else:
            found += _records(name, mine[name], yours[name], units)
    if first.profile.hourly != second.profile.hourly:
        found.append(tr("other watts by the hour"))
    if first.horizon != second.horizon:
        found.append(tr("another horizon"))
    return tuple(found)


def _tables(first: BaseModel, second: BaseModel, units: Units) -> list[str]:
    found: list[str] = []
    for table in type(first).model_fields:
        one, two = getattr(first, table), getattr(second, table)
        if one is None or two is None:
            if one is not two:
                said = tr("with {name}", name=tr(table)) if one is None else ""
                found.append(said or tr("without {name}", name=tr(table)))
        elif isinstance(one, BaseModel):
            found += _records(table, one, two, units)
        elif one != two:
            found.append(tr("other {name}", name=tr(table)))
    return found


def _records(table: str, first: BaseModel, second: BaseModel, units: Units) -> list[str]:
    changed = {
        name: (getattr(first, name), getattr(second, name))
        for name in type(first).model_fields
        if getattr(first, name) != getattr(second, name)
    }
    if table in KIND_OF_PART and "part" in changed and None not in changed["part"]:
        own = {"part", "count", "units", "series", "tilt_deg", "azimuth_deg", "cost"}
        changed = {name: pair for name, pair in changed.items() if name in own}
    found: list[str] = []
    for name, (one, two) in changed.items():
        path = f"{table}.{name}"
        if isinstance(one, BaseModel) and isinstance(two, BaseModel):
            found += _records(path, one, two, units)
        elif isinstance(one, tuple) and isinstance(two, tuple) and len(one) == len(two):
            found.append(tr("other {name}", name=_label(table, name)))
        elif path not in _UNSAID:
            found.append(
                f"{in_units_heading(_label(table, name), units)}: "
                f"{_said(path, one, units)} → {_said(path, two, units)}"
            )
    return found


def _label(table: str, name: str) -> str:
    path = f"{table}.{name}"
    label = field_label(path)
    return path.replace(".", ", ", 1).replace("_", " ") if label == path else tr(label)


def _said(path: str, value: Any, units: Units) -> str:
    if value is None:
        return tr("none")
    if isinstance(value, bool):
        return tr("yes") if value else tr("no")
    if isinstance(value, float):
        return value_text(path, float(f"{value:g}"), units)
    return str(len(value)) if isinstance(value, tuple) else str(value)
