"""The coldest and the hottest air that the van will meet at its place."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from solarsim.errors import PlaceError
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.years.series import YearSeries

__all__ = ["Extremes", "site_extremes"]


@dataclasses.dataclass(frozen=True)
class Extremes:
    """Record low and high of the air, degrees C, and where they are from."""

    low_c: float
    high_c: float
    source: str


def site_extremes(
    place: Place,
    climate: SiteClimate | None = None,
    series: YearSeries | None = None,
    also: Iterable[Place] = (),
) -> Extremes:
    """Take the extremes of the embedded climate, and of a weather file where they go further.

    A typical year leaves out the coldest night of the record, so a file alone is not trusted where
    the embedded climate knows the place. Of further places, `also`, those count that go further.
    """
    found = _of_one(place, climate, series)
    for one in also:
        more = _of_one(one, None, None)
        if more.low_c < found.low_c:
            source = f"{found.source}; the cold of {one.name}"
            found = dataclasses.replace(found, low_c=more.low_c, source=source)
        if more.high_c > found.high_c:
            source = f"{found.source}; the heat of {one.name}"
            found = dataclasses.replace(found, high_c=more.high_c, source=source)
    return found


def _of_one(place: Place, climate: SiteClimate | None, series: YearSeries | None) -> Extremes:
    if climate is None:
        try:
            climate = load_site_climate(place)
        except PlaceError:
            climate = None
    lows, highs, sources = [], [], []
    if climate is not None:
        lows.append(climate.temp_low_c)
        highs.append(climate.temp_high_c)
        sources.append("record of the embedded climate")
    if series is not None:
        lows.append(float(series.temp_air_c.min()))
        highs.append(float(series.temp_air_c.max()))
        sources.append("weather file")
    if not lows:
        raise PlaceError("has no climate data to take its coldest night from", source=place.name)
    return Extremes(min(lows), max(highs), " and ".join(sources))
