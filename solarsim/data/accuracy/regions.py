"""Regions of the world, and how far the climate is off in each, season by season."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.winter import grid_months, season_ratios, station_temperatures
from solarsim.errors import PlaceError
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.stations import StationLight, station_lights
from solarsim.weather.record import Place

__all__ = [
    "SEASONS",
    "LightPoint",
    "RegionRow",
    "light_points",
    "light_rows",
    "region_of",
    "temperature_cells",
    "temperature_rows",
]

SEASONS = ("December to February", "March to May", "June to August", "September to November")
# South, west, north, east; the first that holds a point is its region.
_REGIONS = {
    "central Europe (the satellite's grid)": (45.0, 5.0, 56.0, 16.0),
    "northern Europe": (54.0, -25.0, 72.0, 40.0),
    "western and eastern Europe": (45.0, -12.0, 54.0, 40.0),
    "Mediterranean": (29.0, -12.0, 45.0, 42.0),
    "Africa": (-37.0, -26.0, 29.0, 52.0),
    "Middle East and central Asia": (10.0, 34.0, 50.0, 75.0),
    "northern Asia": (50.0, 40.0, 72.0, 180.0),
    "Japan, north of 41 N": (41.0, 139.0, 46.0, 150.0),
    "Japan": (24.0, 123.0, 41.0, 146.0),
    "eastern Asia": (23.0, 75.0, 50.0, 150.0),
    "southern and southeastern Asia": (-11.0, 60.0, 23.0, 155.0),
    "Australia and Oceania": (-50.0, 110.0, 23.0, 180.0),
    "Alaska and northern Canada": (50.0, -180.0, 72.0, -50.0),
    "United States and southern Canada": (25.0, -130.0, 50.0, -50.0),
    "Central America and the Caribbean": (7.0, -120.0, 25.0, -58.0),
    "South America": (-57.0, -93.0, 13.0, -30.0),
}
_ELSEWHERE = "islands elsewhere"
# Typical years alone, from before the satellite's (test reference years 2010, IWEC).
_OLDER = ("central Europe (the satellite's grid)", "western and eastern Europe")
_CELL_DEG = 10.0
_LEAST_GHI_KWH_M2 = 0.25
_NEAR_C = 2.5
# With fewer stations a mean error says nothing of a region.
_LEAST_STATIONS = 5


@dataclasses.dataclass(frozen=True)
class LightPoint:
    """A site, or a stretch of the satellite's grid, with ours over its light.

    `ratio` is ``(4,)``, December to February first, `months` ``(12,)``; NaN where nearly dark.
    """

    name: str
    kind: str
    latitude_deg: float
    longitude_deg: float
    ratio: FloatArray
    months: FloatArray


@dataclasses.dataclass(frozen=True)
class RegionRow:
    """A region's means from so many stations.

    `mean` is by season, ``(4,)``; of light there is `months` too, ``(12,)``, of temperature `near`,
    the share within 2.5 C.
    """

    region: str
    stations: int
    mean: FloatArray
    months: FloatArray | None = None
    near: float = float("nan")


def region_of(latitude_deg: float, longitude_deg: float) -> str:
    """Name the region of a point.

    Examples
    --------
    >>> region_of(47.8, 13.0), region_of(43.1, 141.3), region_of(-33.9, 151.2)
    ("central Europe (the satellite's grid)", 'Japan, north of 41 N', 'Australia and Oceania')
    """
    for name, (south, west, north, east) in _REGIONS.items():
        if south <= latitude_deg <= north and west <= longitude_deg <= east:
            return name
    return _ELSEWHERE


def light_points() -> tuple[LightPoint, ...]:
    """All stations, the mean of a site's years, and four bands of the grid by the reanalysis alone.

    Inside the grid the climate is the satellite itself, so that its error there says nothing.
    """
    by_site: dict[str, list[StationLight]] = {}
    for station in station_lights():
        by_site.setdefault(station.name, []).append(station)
    found = [point for years in by_site.values() for point in _points_of_site(years)]
    where, ours, seen = grid_months(satellite=False)
    for south in (45.0, 48.0, 51.0, 54.0):
        band = (where[:, 0] >= south) & (where[:, 0] < south + 3.0)
        ratios = [season_ratios(*both) for both in zip(ours[band], seen[band], strict=True)]
        latitude, longitude = where[band].mean(axis=0)
        found.append(
            LightPoint(
                name=f"grid, {south:.0f} to {south + 3.0:.0f} N, by the reanalysis alone",
                kind="reanalysis alone",
                latitude_deg=float(latitude),
                longitude_deg=float(longitude),
                ratio=np.mean(ratios, axis=0),
                months=(ours[band] / seen[band]).mean(axis=0),
            )
        )
    return tuple(found)


def _points_of_site(years: list[StationLight]) -> list[LightPoint]:
    first = years[0]
    place = Place(
        first.name, first.latitude_deg, first.longitude_deg, first.elevation_m, "Etc/UTC", 0.0
    )
    try:
        ours = load_site_climate(place).ghi_kwh_m2_day
    except PlaceError:
        return []
    seen = np.mean([year.ghi_kwh_m2_day for year in years], axis=0)
    dark = np.roll(seen, 1).reshape(4, 3).mean(axis=1) < _LEAST_GHI_KWH_M2
    ratio = np.where(dark, np.nan, season_ratios(ours, seen))
    months = np.where(seen < _LEAST_GHI_KWH_M2, np.nan, ours / seen)
    where = (first.latitude_deg, first.longitude_deg)
    return [LightPoint(first.name, first.light, *where, ratio, months)]


def light_rows() -> tuple[RegionRow, ...]:
    """Mean ratio by region of the stations, and of the grid by the reanalysis alone."""
    groups: dict[str, list[LightPoint]] = {}
    for point in light_points():
        region = region_of(point.latitude_deg, point.longitude_deg)
        if point.kind == "reanalysis alone":
            region = "central Europe by the reanalysis alone, its year the satellite's"
        elif region in _OLDER:
            region = f"{region.partition(' (')[0]}, {point.kind} light, older years"
        groups.setdefault(region, []).append(point)
    return tuple(
        RegionRow(
            region,
            len(points),
            np.nanmean([point.ratio for point in points], axis=0),
            months=np.nanmean([point.months for point in points], axis=0),
        )
        for region, points in sorted(groups.items())
    )


def temperature_rows() -> tuple[RegionRow, ...]:
    """Mean error in January, April, July and October, C, by region, on coasts and in great cold."""
    where, errors_c, coast, january_c = station_temperatures()
    regions = np.array([region_of(*at) for at in where])
    kinds = {str(region): regions == region for region in np.unique(regions)}
    kinds |= {
        "coasts (water on a quarter and more of what lies within 50 km)": coast > 0.5,
        "where January is below -15 C": january_c < -15.0,
        "all stations": np.ones(len(regions), dtype=bool),
    }
    return tuple(
        RegionRow(
            name,
            int(here.sum()),
            errors_c[here].mean(axis=0),
            near=float((np.abs(errors_c[here]) < _NEAR_C).mean()),
        )
        for name, here in kinds.items()
        if here.sum() >= _LEAST_STATIONS
    )


def temperature_cells() -> tuple[FloatArray, FloatArray]:
    """Middles ``(cells, 2)`` and mean errors by month ``(cells, 4)``, C, of 10-degree cells."""
    where, errors_c, _, _ = station_temperatures()
    corner = np.floor(where / _CELL_DEG)
    cells = np.unique(corner, axis=0)
    means = [errors_c[(corner == cell).all(axis=1)].mean(axis=0) for cell in cells]
    return (cells + 0.5) * _CELL_DEG, np.array(means)
