"""The cells of a region against the weather stations that stand in them.

A cell stands for its largest town's height, or its middle's, and so for neither station nor summit;
what its middle and its height take away from the station is in these figures, beside the climate's
own error and the single years' luck (see `solarsim.data.accuracy.stations`).
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable

import numpy as np

from solarsim.answers.region.asked import DEFAULT_STEP_DEG
from solarsim.answers.region.cells import region_cells
from solarsim.data.accuracy.comparison import Comparison
from solarsim.data.accuracy.station_figures import days_to_empty, drawn_years
from solarsim.data.accuracy.stations import TABLE_FILE, Station, stations
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place

__all__ = ["COMPARISONS", "cell_place"]

_YEARS, _WINDOWS = 4, 12
_JANUARY = 1
_SUBJECT = "region"
_FILES = "typical and single years of {count} sites (TMY3, TMY2, IWEC, NSRDB, TRY 2010)"


@functools.cache
def cell_place(latitude_deg: float, longitude_deg: float) -> Place | None:
    """Return the place of the cell of half a degree that holds a point; None at sea."""
    south, west = latitude_deg - 0.5, longitude_deg - 0.5
    cells = region_cells(f"{south}, {west}, {south + 1.0}, {west + 1.0}", DEFAULT_STEP_DEG)
    half = DEFAULT_STEP_DEG / 2.0
    for cell in cells.cells:
        north, east = latitude_deg - cell.latitude_deg, longitude_deg - cell.longitude_deg
        if -half <= north < half and -half <= east < half:
            return cell.place()
    return None


@functools.cache
def _sites() -> tuple[tuple[Station, Place], ...]:
    """One year of each site, and the place of the cell that its station stands in."""
    found = []
    for station in _first_years():
        place = cell_place(station.place.latitude_deg, station.place.longitude_deg)
        if place is None:
            raise ValueError(f"no cell of half a degree holds {station.site}")
        found.append((station, place))
    return tuple(found)


def _first_years() -> tuple[Station, ...]:
    found: dict[str, Station] = {}
    for station in stations():
        found.setdefault(station.site, station)
    return tuple(found.values())


def _mean(figure: Callable[[Station, Place], float]) -> float:
    return float(np.nanmean([figure(station, place) for station, place in _sites()]))


def _climate(station: Station, place: Place) -> SiteClimate:
    """The cell's climate, put back to the station's years."""
    climate = load_site_climate(place)
    light = climate.ghi_kwh_m2_day / station.brighter
    return dataclasses.replace(climate, ghi_kwh_m2_day=light)


def _light_ratio(station: Station, place: Place) -> float:
    ours = _climate(station, place).ghi_kwh_m2_day.mean()
    return float(ours / station.figures.ghi_kwh_m2_day.mean())


def _warmer_c(station: Station, place: Place) -> float:
    # NaN where the station has no temperatures.
    ours = load_site_climate(place).temp_mean_c
    return float((ours - station.figures.temp_mean_c).mean())


def _january_days(station: Station, place: Place) -> float:
    if not np.isfinite(station.days_to_empty[_JANUARY - 1]):
        return np.nan
    # A seed of its own, so that the sites do not share their luck.
    seed = round(1000.0 * station.place.latitude_deg)
    there = dataclasses.replace(
        station.place,
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        elevation_m=place.elevation_m,
    )
    drawn = drawn_years(there, _climate(station, place), _YEARS, seed=seed)
    return days_to_empty(drawn, _JANUARY, windows=_WINDOWS)


def _comparisons() -> tuple[Comparison, ...]:
    if not TABLE_FILE.is_file():
        return ()
    source = _FILES.format(count=len({station.site for station in stations()}))
    return (
        Comparison(
            subject=_SUBJECT,
            what="a year's light of the half-degree cells over that of the stations in them",
            source=source,
            expected=1.0,
            # The climate's own mean error at stations is up to 0.05, beside 0.02 for cells.
            tolerance=0.07,
            unit="",
            got=lambda: _mean(_light_ratio),
        ),
        Comparison(
            subject=_SUBJECT,
            what="a year's air temperature of the half-degree cells less the stations'",
            source=source,
            expected=0.0,
            # As for the synthetic climate: most years are from before 2008.
            tolerance=1.5,
            unit="C",
            got=lambda: _mean(_warmer_c),
        ),
        Comparison(
            subject=_SUBJECT,
            what="January's days to empty at the half-degree cells that hold the stations, mean",
            source=source,
            expected=float(np.nanmean([one.days_to_empty[_JANUARY - 1] for one in _first_years()])),
            # Single years scatter by 2.7 days: 0.6 for the mean of the sites, twice that here.
            tolerance=1.2,
            unit="days",
            got=lambda: _mean(_january_days),
        ),
    )


COMPARISONS: tuple[Comparison, ...] = _comparisons()
