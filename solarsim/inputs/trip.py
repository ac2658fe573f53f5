"""A trip: stops one after the other, with what is driven between them."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record

__all__ = ["MAX_STOPS", "Stop", "Trip", "TripIdentity"]

MAX_STOPS = 60
_MOST_NIGHTS = 365
# Years that a stay may lie in.
_FIRST_YEAR, _LAST_YEAR = 1950, 2100


class TripIdentity(Record):
    """What the trip is called."""

    name: Annotated[str, Field(min_length=1, max_length=200)] = "trip"
    """What the trip is called in answers and on the sheet."""
    description: str = ""
    """A line about the trip, for people; no answer depends on it."""


class Stop(Record):
    """A place where the van stands for some nights, and how it got there.

    Each stop begins at 17:00 by its own clock. The first gives the day of its arrival, the last its
    nights; between them either will do, and where both are given they must agree.
    """

    place: Annotated[str, Field(min_length=1, max_length=200)]
    """A town's name ('Portland, OR, US'; an ambiguous one lists the candidates) or 'latitude,
    longitude'."""
    arrive: dt.date | None = None
    """Day of the arrival; left out, the day on which the nights of the stop before it are over."""
    nights: Annotated[int, Field(ge=1, le=_MOST_NIGHTS)] | None = None
    """Nights spent there; left out, until the arrival at the next stop."""
    drive_h: Annotated[float, Field(ge=0.0, le=23.0)] = 0.0
    """Hours driven right before the arrival, which the alternator charges in. Before the first stop
    they begin the trip."""
    plugged_nights: Annotated[int, Field(ge=0, le=_MOST_NIGHTS)] = 0
    """On how many of the nights, from the first one on, the van is plugged into shore power, from
    17:00 to 9:00."""
    parking: Literal["open field", "scattered trees", "forest edge", "street canyon"] | None = None
    """What stands around the van and hides sun and sky; left out, what the van's stay has."""
    brush_snow: Literal["morning", "never"] | None = None
    """Whether somebody brushes snow off the panels each morning; left out, what the van's stay
    has."""
    people: Annotated[int, Field(ge=0, le=12)] | None = None
    """How many people are aboard there and on the road from there, for their heat and what each
    uses; left out, those of the load profile."""

    @model_validator(mode="after")
    def _plugged_in_while_there(self) -> Self:
        if self.nights is not None and self.plugged_nights > self.nights:
            raise ValueError(
                f"plugged_nights ({self.plugged_nights}) must be at most the stop's nights "
                f"({self.nights})"
            )
        return self


class Trip(Record):
    """Stops in the order in which they are made, with one bank through all of it."""

    trip: TripIdentity = TripIdentity()
    """Its name."""
    stops: Annotated[tuple[Stop, ...], Field(strict=False, min_length=1, max_length=MAX_STOPS)]
    """Where the van stands, in order."""

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        self.dates()
        return self

    @property
    def name(self) -> str:
        """What the trip is called."""
        return self.trip.name

    def dates(self) -> tuple[tuple[dt.date, int], ...]:
        """Return the day of arrival and the nights of each stop.

        Raises
        ------
        ValueError
            Dates that are missing, run backwards, overlap, leave nights without a stop, or lie
            outside the years of a stay; the stop is named by its number, 1 for the first.

        Examples
        --------
        >>> stops = (
        ...     Stop(place="46, 11", arrive=dt.date(2026, 2, 27), nights=2),
        ...     Stop(place="45, 11", nights=1),
        ... )
        >>> [(f"{day:%d %b}", nights) for day, nights in Trip(stops=stops).dates()]
        [('27 Feb', 2), ('01 Mar', 1)]
        """
        found: list[tuple[dt.date, int]] = []
        arrive = self.stops[0].arrive
        for number, stop in enumerate(self.stops, 1):
            if arrive is None:
                raise ValueError(_missing(number))
            if not _FIRST_YEAR <= arrive.year <= _LAST_YEAR:
                raise ValueError(
                    f"stop {number}: arrive: {arrive} must lie between {_FIRST_YEAR} and "
                    f"{_LAST_YEAR}"
                )
            following = self.stops[number].arrive if number < len(self.stops) else None
            nights = _nights(number, stop, arrive, following, last=number == len(self.stops))
            if stop.plugged_nights > nights:
                raise ValueError(
                    f"stop {number}: plugged_nights: got {stop.plugged_nights}; must be at most "
                    f"its nights, {nights}"
                )
            found.append((arrive, nights))
            arrive = arrive + dt.timedelta(days=nights)
        whole = sum(nights for _, nights in found)
        if whole > _MOST_NIGHTS:
            raise ValueError(f"all stops together have {whole} nights; at most {_MOST_NIGHTS}")
        return tuple(found)


def _nights(
    number: int, stop: Stop, arrive: dt.date, following: dt.date | None, *, last: bool
) -> int:
    """Nights at a stop: given, or up to the arrival at the next."""
    if following is None:
        if stop.nights is None:
            until = "" if last else f", or stop {number + 1} its arrive"
            raise ValueError(f"stop {number}: nights: is required{until}")
        return stop.nights
    between = (following - arrive).days
    if between < 1:
        raise ValueError(
            f"stop {number + 1}: arrive: got {following}; must be after {arrive}, the arrival at "
            f"stop {number}"
        )
    if stop.nights is None or stop.nights == between:
        return between
    leaves = arrive + dt.timedelta(days=stop.nights)
    fault = "overlap" if stop.nights > between else "leave a gap"
    raise ValueError(
        f"stop {number + 1}: arrive: got {following}, but the {stop.nights} nights of stop "
        f"{number} end on {leaves}: the two {fault}; give one of them, or make them agree"
    )


def _missing(number: int) -> str:
    return f"stop {number}: arrive: is required and was not given (a date, such as 2026-02-14)"
