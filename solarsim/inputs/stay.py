"""Where and when the van stands, and what the answer must satisfy."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record

__all__ = ["DEFAULT_PLACE", "DEFAULT_PROFILE", "DEFAULT_YEAR", "Stay"]

DEFAULT_PLACE = "Salzburg, AT"
DEFAULT_PROFILE = "weekend-couple"
# One fixed common year, so that an answer does not change with the day it is asked on.
DEFAULT_YEAR = 2026


class Stay(Record):
    """A stay without moving on: place, dates, and how the van stands there.

    It begins at 17:00 local time on its first day.
    """

    place: Annotated[str, Field(min_length=1, max_length=200)] = DEFAULT_PLACE
    """A town's name ('Portland, OR, US'; an ambiguous one lists the candidates) or 'latitude,
    longitude'."""
    month: Annotated[int, Field(ge=1, le=12)] = 1
    """Month of the stay, which is centred on the month's middle."""
    start: dt.date | None = None
    """First day of the stay, instead of a month."""
    year: Annotated[int, Field(ge=1950, le=2100)] = DEFAULT_YEAR
    """Calendar year of a stay given by its month; it sets weekdays and clock changes."""
    days: Annotated[int, Field(ge=1, le=365)] = 7
    """Length of the stay."""
    climate: Literal["embedded", "history"] = "embedded"
    """What the weather is taken from: 'embedded' is the climate that comes with the program,
    'history' the place's real years that `solarsim weather get` has fetched, ten at least."""
    start_soc: Annotated[float, Field(ge=0.0, le=1.0)] = 1.0
    """State of charge of the bank on arrival: 1 is full."""
    parking: Literal["open field", "scattered trees", "forest edge", "street canyon"] = "open field"
    """What stands around the van and hides sun and sky."""
    horizon: Annotated[str, Field(min_length=1)] | None = None
    """A CSV with columns azimuth and elevation in degrees, what hides the sky by direction,
    beside the van's file or by its path; it takes the place of what parking hides."""
    heading_deg: Annotated[float, Field(ge=0.0, le=360.0)] | None = None
    """Where the van's front looks, clockwise from north: 0 north, 90 east. Left out, what
    depends on it is averaged over all headings."""
    brush_snow: Literal["morning", "never"] = "never"
    """Whether somebody brushes snow off the panels each morning."""
    profile: Annotated[str, Field(min_length=1)] = DEFAULT_PROFILE
    """The load profile: a TOML file, a CSV of hourly watts, or a shipped example's name:
    weekend-couple, remote-workers, ski-trip, light, typical, heavy."""
    target_chance: Annotated[float, Field(gt=0.0, lt=1.0)] = 0.9
    """Chance of lasting the stay that `bank` and `tune` build for: 0.9 is nine times in ten."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.start is not None and not 1950 <= self.start.year <= 2100:
            raise ValueError(f"start ({self.start}) must lie between 1950 and 2100")
        return self
