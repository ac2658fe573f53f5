"""Where a van goes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from solarsim.answers.given import given_text, given_yes_or_no
from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.errors import InputError
from solarsim.inputs.files.trip import DEFAULT_TRIP
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.trip import Trip

if TYPE_CHECKING:
    from solarsim.answers.trip.trip import TripAnswer

__all__ = ["read_trip", "trip"]


def read_trip(name: str | Path = DEFAULT_TRIP) -> Trip:
    """Read a trip from a TOML file or a CSV of stops, or a shipped example by its name.

    Raises
    ------
    InputError
        No such file, or something in it that cannot be; the stop and the field are named.
    """
    from solarsim.inputs.files.trip import read_trip as read

    allowed = "a TOML file, a CSV of stops or a shipped example's name"
    return read(given_text(name, field="trip", allowed=allowed))


def trip(
    question: Askable = DEFAULT_VAN,
    stops: Trip | str | Path = DEFAULT_TRIP,
    *,
    with_changes: bool = True,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> TripAnswer:
    """Answer whether one bank gets the van through all stops, where it fails and what would help.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        The van and its people; the stops have places and dates of their own.
    stops : Trip, str or Path
        A record, or what `read_trip` takes.
    with_changes : bool
        Whether changes are tried.
    progress : callable, optional
        Called with runs done and runs in all.
    **asked
        Keywords of `ask`, but for place, month, days, weather and climate.

    Raises
    ------
    InputError
        As for `ask` and `read_trip`; a stop whose place cannot be found, a drive longer than the
        hours between two arrivals, shore power without a charger aboard.
    """
    from solarsim.answers.trip.trip import trip as answer

    for name in ("place", "month", "days", "weather", "climate"):
        if asked.get(name) is not None:
            raise InputError("the stops of a trip say it; leave it out", field=name)
    where = stops if isinstance(stops, Trip) else read_trip(stops)
    return answer(
        question_of(question, asked),
        where,
        source="trip" if isinstance(stops, Trip) else str(stops),
        with_changes=given_yes_or_no(with_changes, field="with_changes"),
        progress=given_progress(progress),
    )
