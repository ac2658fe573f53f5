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

    ``month`` centres the stay on the middle of that month; ``start`` gives the first day instead.
    ``place`` is a town's name or ``"latitude, longitude"``. ``horizon`` names a CSV of azimuth and
    elevation (see `solarsim.inputs.files.horizon.read_horizon`), beside the van's file or by its
    path; it takes the place of what ``parking`` hides. ``heading_deg`` is where the van's front
    looks, clockwise from north; left out, what depends on it is averaged over all headings.
    """

    place: Annotated[str, Field(min_length=1, max_length=200)] = DEFAULT_PLACE
    month: Annotated[int, Field(ge=1, le=12)] = 1
    start: dt.date | None = None
    year: Annotated[int, Field(ge=1950, le=2100)] = DEFAULT_YEAR
    days: Annotated[int, Field(ge=1, le=365)] = 7
    start_soc: Annotated[float, Field(ge=0.0, le=1.0)] = 1.0
    parking: Literal["open field", "scattered trees", "forest edge", "street canyon"] = "open field"
    horizon: Annotated[str, Field(min_length=1)] | None = None
    heading_deg: Annotated[float, Field(ge=0.0, le=360.0)] | None = None
    brush_snow: Literal["morning", "never"] = "never"
    profile: Annotated[str, Field(min_length=1)] = DEFAULT_PROFILE
    target_chance: Annotated[float, Field(gt=0.0, lt=1.0)] = 0.9

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.start is not None and not 1950 <= self.start.year <= 2100:
            raise ValueError(f"start ({self.start}) must lie between 1950 and 2100")
        return self
