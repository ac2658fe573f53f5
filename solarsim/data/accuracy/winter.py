"""Winter's light and warmth by region: the embedded climate beside satellite and stations."""

from __future__ import annotations

import csv
import functools
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.data.build.satellite import satellite_irradiation
from solarsim.errors import PlaceError
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.data import read_bundle
from solarsim.weather.climate.light import reanalysis_ghi_kwh_m2_day
from solarsim.weather.record import Place
from solarsim.weather.sky.season import DAYS_IN_MONTH
from solarsim.weather.synthesis.runs import synthesise

__all__ = [
    "COMPARISONS",
    "grid_months",
    "japan_ratios",
    "season_ratios",
    "station_temperatures",
    "temperature_errors_c",
]

_TABLES = Path(__file__).resolve().parents[3] / "tests" / "checks" / "data"
_SATELLITE = "EUMETSAT CM SAF 2006-2025 (IWU clidamonger)"
_JAPAN = "Japan Meteorological Agency, normals 1991-2020"
_NORMALS = "Japan Meteorological Agency, world climate normals; the half not fitted to"
_LYNGBY = "pyranometer of a university station, 2015 to 2018, derived values"
_WINTER = [11, 0, 1]
_STEP = 5
_NEAR_C = 2.5
# One station near the equator gives 16 C at 646 m.
_SLIP_C = 9.0


def _here(latitude: float, longitude: float, elevation_m: float) -> Place:
    return Place("station", latitude, longitude, elevation_m, "Etc/UTC", 0.0)


def _read(name: str) -> FloatArray:
    with (_TABLES / name).open(encoding="utf-8") as file:
        next(file)
        rows = list(csv.reader(file))[1:]
    return np.array([[float(cell or "nan") for cell in row] for row in rows])


@functools.cache
def grid_months(*, satellite: bool) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Where every fifth point of the grid lies, our months' light and the satellite's.

    ``(points, 2)`` latitude and longitude, ``(points, 12)``, ``(points, 12)``. Without `satellite`
    ours is the reanalysis alone, its year made the satellite's: only the season counts.
    """
    grid = satellite_irradiation()
    where, ours, seen = [], [], []
    for row in range(0, grid.shape[0], _STEP):
        for column in range(0, grid.shape[1], _STEP):
            latitude, longitude = 45.0 + 0.2 * row, 5.0 + 0.2 * column
            place, own = _here(latitude, longitude, 300.0), grid[row, column]
            try:
                if satellite:
                    found = load_site_climate(place).ghi_kwh_m2_day
                else:
                    found = reanalysis_ghi_kwh_m2_day(read_bundle(), latitude, longitude, place)
                    found = found * (own @ DAYS_IN_MONTH) / (found @ DAYS_IN_MONTH)
            except PlaceError:
                continue
            where.append((latitude, longitude))
            ours.append(found)
            seen.append(own)
    return np.array(where), np.array(ours), np.array(seen)


def season_ratios(ours: FloatArray, seen: FloatArray) -> FloatArray:
    """Ours over the seen by season, December to February first, from ``(12,)`` months each."""
    in_order = np.roll(np.arange(12), 1).reshape(4, 3)
    return np.asarray(ours[in_order].sum(axis=1) / seen[in_order].sum(axis=1))


@functools.cache
def japan_ratios() -> tuple[FloatArray, FloatArray, FloatArray]:
    """Latitudes, longitudes and months of light over the measured ones, ``(stations, 12)``."""
    found = []
    for _, latitude, longitude, elevation_m, *measured in _read("japan_light.csv"):
        try:
            ours = load_site_climate(_here(latitude, longitude, elevation_m)).ghi_kwh_m2_day
        except PlaceError:
            continue
        found.append((latitude, longitude, *(ours / np.array(measured))))
    table = np.array(found)
    return table[:, 0], table[:, 1], table[:, 2:]


@functools.cache
def station_temperatures() -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Where stations are, ours less their normals, coast share and January's normal, by station.

    ``(stations, 2)`` latitude and longitude; ``(stations, 4)`` January, April, July and October;
    ``(stations,)``; ``(stations,)``.
    """
    where, errors_c, coast, january_c = [], [], [], []
    for latitude, longitude, elevation_m, *own_c in _read("temperature_normals.csv"):
        try:
            climate = load_site_climate(_here(latitude, longitude, elevation_m))
        except PlaceError:
            continue
        error_c = climate.temp_mean_c[[0, 3, 6, 9]] - own_c
        if np.abs(error_c[[0, 2]]).max() < _SLIP_C:
            where.append((latitude, longitude))
            errors_c.append(error_c)
            coast.append(climate.coast_share)
            january_c.append(own_c[0])
    return np.array(where), np.array(errors_c), np.array(coast), np.array(january_c)


def temperature_errors_c() -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Ours less the normals in January and July, coast share and January's normal, by station."""
    _, errors_c, coast, january_c = station_temperatures()
    return errors_c[:, 0], errors_c[:, 2], coast, january_c


def _of_grid(*, satellite: bool, south: float, north: float) -> float:
    where, ours, seen = grid_months(satellite=satellite)
    ratio = ours[:, _WINTER].sum(axis=1) / seen[:, _WINTER].sum(axis=1)
    return float(ratio[(where[:, 0] >= south) & (where[:, 0] < north)].mean())


def _lyngby() -> Place:
    return Place("Lyngby", 55.79, 12.53, 40.0, "Europe/Copenhagen", 1.0)


def _darkest_week_kwh_m2_day() -> float:
    """Median over draws of three winters of their darkest seven days."""
    place, winters = _lyngby(), 300
    days = pd.date_range("2026-12-01", periods=90 * 24, freq="h", tz="Etc/GMT-1")
    weather = synthesise(
        place, load_site_climate(place), days, runs=winters, seed=1, site_uncertainty=False
    )
    by_day = weather.ghi_w_m2.reshape(winters, 90, 24).sum(axis=-1) / 1000.0
    weeks = np.lib.stride_tricks.sliding_window_view(by_day, 7, axis=1).mean(axis=-1)
    return float(np.median(weeks.min(axis=1).reshape(-1, 3).min(axis=1)))


def _of_japan(where: Callable[[FloatArray, FloatArray], BoolArray]) -> float:
    latitude, longitude, ratio = japan_ratios()
    return float(np.nanmean(ratio[where(latitude, longitude)][:, _WINTER]))


def _near(month: int) -> float:
    return float((np.abs(temperature_errors_c()[month]) < _NEAR_C).mean())


def _bias(month: int, where: Callable[[FloatArray, FloatArray], BoolArray]) -> float:
    january_error_c, july_error_c, coast, january_c = temperature_errors_c()
    return float((january_error_c, july_error_c)[month][where(coast, january_c)].mean())


def _light(what: str, source: str, tolerance: float, got: Callable[[], float]) -> Comparison:
    return Comparison("winter by region", what, source, 1.0, tolerance, "", got)


def _warmth(
    what: str, expected: float, tolerance: float, unit: str, got: Callable[[], float]
) -> Comparison:
    return Comparison("winter by region", what, _NORMALS, expected, tolerance, unit, got)


def _central_europe() -> tuple[Comparison, ...]:
    bands = ((45.0, 48.0), (48.0, 51.0), (51.0, 54.0), (54.0, 56.1))
    names = ("45 to 48 N", "48 to 51 N", "51 to 54 N", "54 to 56 N")
    return (
        # Whole W/m2 in the file and steps of 0.002 kWh/m2/day in the bundle.
        *(
            _light(
                f"light December to February, 5 to 16 E, {name}",
                _SATELLITE,
                0.01,
                functools.partial(_of_grid, satellite=True, south=south, north=north),
            )
            for (south, north), name in zip(bands, names, strict=True)
        ),
        # Five years by chance differ from twenty by 0.08 in one winter month at one point.
        *(
            _light(
                f"the same from the reanalysis alone, its year the satellite's, {name}",
                _SATELLITE,
                0.05,
                functools.partial(_of_grid, satellite=False, south=south, north=north),
            )
            for (south, north), name in zip(bands, names, strict=True)
        ),
    )


def _stations() -> tuple[Comparison, ...]:
    return (
        Comparison(
            "winter by region",
            "light of December, 55.8 N 12.5 E, mean of three Decembers: 0.33, 0.29, 0.24",
            _LYNGBY,
            0.287,
            0.05,
            "kWh/m2/day",
            lambda: float(load_site_climate(_lyngby()).ghi_kwh_m2_day[11]),
        ),
        # Eight in ten draws of three winters lie between 0.08 and 0.17.
        Comparison(
            "winter by region",
            "darkest seven days of three winters, 55.8 N 12.5 E",
            _LYNGBY,
            0.14,
            0.04,
            "kWh/m2/day",
            _darkest_week_kwh_m2_day,
        ),
        # The wet coast's winter is half the dry coast's; a cell holds both.
        _light(
            "light December to February, Japan, main islands",
            _JAPAN,
            0.05,
            lambda: _of_japan(lambda latitude, longitude: (latitude < 41.0) & (latitude > 30.0)),
        ),
        # East of the mountains the winter is clear and cold, which the cell does not know.
        _light(
            "light December to February, Japan, north of 41 N",
            _JAPAN,
            0.25,
            lambda: _of_japan(lambda latitude, longitude: latitude >= 41.0),
        ),
    )


def _temperatures() -> tuple[Comparison, ...]:
    return (
        _warmth("share of stations within 2.5 C, January", 1.0, 0.05, "", lambda: _near(0)),
        _warmth("share of stations within 2.5 C, July", 1.0, 0.05, "", lambda: _near(1)),
        _warmth(
            "air temperature on coasts, July, ours less the normal",
            0.0,
            0.3,
            "C",
            lambda: _bias(1, lambda coast, january_c: coast > 0.5),
        ),
        # Five of them are 5 C and more too warm: hollows that a quarter degree does not know.
        _warmth(
            "air temperature where January is below -15 C, January, ours less the normal",
            0.0,
            0.8,
            "C",
            lambda: _bias(0, lambda coast, january_c: january_c < -15.0),
        ),
    )


COMPARISONS: tuple[Comparison, ...] = (
    (*_central_europe(), *_stations(), *_temperatures()) if _TABLES.is_dir() else ()
)
