"""From a design and what was typed to the next design, or to what is wrong with it."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from solarsim.app.answering import check
from solarsim.app.draft import Draft, WeatherFile
from solarsim.app.tables import profile_tables, van_tables, with_changes
from solarsim.app.translate import tr
from solarsim.app.widgets.field import PROFILE_TABLES
from solarsim.app.widgets.fields import field_label, group_of
from solarsim.errors import InputError, PlaceError
from solarsim.inputs.crew import for_people
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import profile_from_data

__all__ = ["Problem", "built", "problem_of"]

_SOURCE = "input"


@dataclasses.dataclass(frozen=True)
class Problem:
    """What is wrong with the inputs.

    Attributes
    ----------
    group : str
        Key of the group of inputs that it belongs to.
    message : str
        What was given and what is allowed.
    field : str
        ``"table.field"`` where one input alone is at fault.
    choices : tuple of str
        What may be meant, each as it can be typed there.
    """

    group: str
    message: str
    field: str = ""
    choices: tuple[str, ...] = ()


def built(
    design: Draft,
    changes: Mapping[str, Any],
    weather: WeatherFile | None,
    horizon: Horizon | None,
) -> tuple[Draft, tuple[Problem, ...]]:
    """Return the design with all changes that fit, and what is wrong with the others.

    Changes that fit only together are taken together; one that is refused holds no other back.

    Parameters
    ----------
    design : Draft
        As it is.
    changes : mapping
        ``"table.field"`` to value, as for `with_changes`; the cabin's go to the profile.
    weather : WeatherFile or None
        Weather file to use.
    horizon : Horizon or None
        Horizon to use.
    """
    found, problems = _together(design, changes, weather, horizon)
    if not problems or (len(changes) < 2 and weather == design.weather):
        return found, problems
    kept, left, before = design, dict(changes), -1
    if weather != design.weather:
        kept, _ = _together(kept, {}, weather, horizon)
    while left and len(left) != before:
        before = len(left)
        for path in list(left):
            tried, wrong = _together(kept, {path: left[path]}, kept.weather, horizon)
            if not wrong:
                kept = tried
                del left[path]
    kept, found_wrong = _together(kept, {}, weather, horizon)
    # One by one: what is wrong with one must not hide what is wrong with another.
    for path, value in left.items():
        found_wrong += _together(kept, {path: value}, kept.weather, horizon)[1]
    return kept, tuple(dict.fromkeys(found_wrong))


def _together(
    design: Draft,
    changes: Mapping[str, Any],
    weather: WeatherFile | None,
    horizon: Horizon | None,
) -> tuple[Draft, tuple[Problem, ...]]:
    """Return the changed design; or the old one and every problem found."""
    problems: list[Problem] = []
    van, profile = design.van, design.profile
    mine = {p: v for p, v in changes.items() if p.partition(".")[0] not in PROFILE_TABLES}
    theirs = {p: v for p, v in changes.items() if p not in mine}
    try:
        if mine:
            van = van_from_data(with_changes(van_tables(van), mine), source=_SOURCE)
    except InputError as error:
        problems.append(problem_of(error))
    try:
        if theirs:
            tables = with_changes(profile_tables(profile), theirs)
            profile = for_people(profile_from_data(tables, source=_SOURCE), design.profile)
    except InputError as error:
        problems.append(problem_of(error))
    if problems:
        return design, tuple(problems)
    found = Draft(van, profile, weather, horizon)
    try:
        check(found)
    except InputError as error:
        return design, (problem_of(error),)
    return found, ()


def problem_of(error: InputError) -> Problem:
    """Say an error in the page's words and find the group that it belongs to."""
    message = error.message.replace(f"\n{_SOURCE}: ", "\n")
    source = "" if error.source == _SOURCE else error.source
    label = source or tr(field_label(error.field))
    if isinstance(error, PlaceError):
        return Problem("where", f"{tr('Place')}: {message}", "stay.place", error.choices)
    group = (group_of(error.field) if error.field else None) or group_of(message)
    return Problem(group or "people", f"{label}: {message}" if label else message, error.field)
