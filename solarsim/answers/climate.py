"""What the embedded climate says of a place, month by month, and how sure it is."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

from solarsim.records import DrawnAnswer
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.doubts import doubts_at
from solarsim.weather.climate.monthly import MonthRow, monthly_table
from solarsim.weather.climate.stations import StationLight, near_stations
from solarsim.weather.record import Place

__all__ = ["ClimateAnswer", "climate"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class ClimateAnswer(DrawnAnswer):
    """Twelve months of light and temperature at a place, January first.

    Attributes
    ----------
    place : Place
        Where.
    months : tuple of MonthRow
        Its months.
    stations : tuple of StationLight
        Those nearby whose light is known, at most three.
    doubts : tuple of str
        Where comparisons have shown climates of this kind to fail.
    source : str
        One line naming the data sets.
    """

    _face: ClassVar[str] = "climate"

    place: Place
    months: tuple[MonthRow, ...]
    stations: tuple[StationLight, ...]
    doubts: tuple[str, ...]
    source: str


def climate(place: Place) -> ClimateAnswer:
    """Describe the months of a place the way the weather runs see them.

    Raises
    ------
    PlaceError
        A place without a climate.
    """
    site = load_site_climate(place)
    return ClimateAnswer(
        place=place,
        months=monthly_table(place, site),
        stations=near_stations(place),
        doubts=doubts_at(place, site),
        source=site.source,
    )
