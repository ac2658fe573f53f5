"""What the embedded climate says of a place, month by month."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

from solarsim.records import Answer
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.monthly import MonthRow, monthly_table
from solarsim.weather.record import Place

__all__ = ["ClimateAnswer", "climate"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class ClimateAnswer(Answer):
    """Twelve months of light and temperature at a place, January first."""

    _face: ClassVar[str] = "climate"

    place: Place
    months: tuple[MonthRow, ...]


def climate(place: Place) -> ClimateAnswer:
    """Describe the months of a place the way the weather runs see them.

    Raises
    ------
    PlaceError
        A place without a climate.
    """
    return ClimateAnswer(place, monthly_table(place, load_site_climate(place)))
