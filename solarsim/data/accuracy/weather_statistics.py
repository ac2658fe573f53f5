"""A day's course of light and warmth, and how days follow each other."""

from __future__ import annotations

import functools
from collections.abc import Callable
from pathlib import Path

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import daily_extraterrestrial_kwh_m2
from solarsim.weather.sky.season import (
    DAYS_IN_MONTH,
    declination_rad,
    equation_of_time_h,
    sunset_angle_rad,
)
from solarsim.weather.synthesis.daily import linked_days
from solarsim.weather.synthesis.hourly_light import hourly_light, profile_weights
from solarsim.weather.synthesis.temperature import (
    DailyTemperature,
    daily_swing_c,
    hour_weights,
    hourly_temperature,
)
from solarsim.weather.years.series import YearSeries

__all__ = [
    "COMPARISONS",
    "GREENSBORO",
    "SAND_POINT",
    "daily_clearness",
    "diffuse_ratio",
    "hour_share",
    "hours_of_days",
    "profile_error_w_m2",
    "temperature_error_c",
    "typical_year",
]

_DAYS = np.arange(1, 366)
_BECKMAN = "Duffie & Beckman, Solar Engineering of Thermal Processes"
GREENSBORO, SAND_POINT = "723170TYA.CSV", "703165TY.csv"


@functools.lru_cache(maxsize=2)
def typical_year(name: str) -> YearSeries:
    """A station's typical year that comes with pvlib."""
    import pvlib

    return read_weather_file(Path(pvlib.__file__).parent / "data" / name)


def hour_share(hour_angle_deg: float, sunset_deg: float) -> float:
    """Share of a day's global irradiation that falls in one hour (r_t)."""
    angle, sunset = np.radians(hour_angle_deg), np.radians(sunset_deg)
    above = (np.cos(angle) - np.cos(sunset)) / (np.sin(sunset) - sunset * np.cos(sunset))
    weight = profile_weights(np.array([angle]), np.array([sunset]))
    return float(np.pi / 24.0 * weight[0] * above)


def _sun_time_h(place: Place, into_the_hour: float) -> FloatArray:
    ahead_h = equation_of_time_h(_DAYS)[:, None]
    clock_h = np.arange(24) + into_the_hour
    return np.asarray(clock_h + place.longitude_deg / 15.0 - place.utc_offset_h + ahead_h)


def hours_of_days(year: YearSeries, *, own_hours: bool) -> tuple[FloatArray, FloatArray]:
    """Global and diffuse light ``(365, 24)`` made from a year's daily totals.

    The hours follow the smooth profile or, with `own_hours`, the file's own course, so that only
    the split is ours.
    """
    cosine = np.maximum(np.cos(np.radians(year.sun.zenith_deg)), 0.0).reshape(365, 24)
    extra_w_m2 = year.sun.dni_extra_w_m2.reshape(365, 24)
    sunset_rad = sunset_angle_rad(year.place.latitude_deg, declination_rad(_DAYS))[:, None]
    angle_rad = (_sun_time_h(year.place, 0.5) - 12.0) * (np.pi / 12.0)
    own = year.ghi_w_m2.reshape(365, 24)
    smooth = profile_weights(angle_rad, sunset_rad) * extra_w_m2 * cosine
    light = hourly_light(
        own.sum(axis=1)[None],
        np.full((1, 365), 0.5),
        np.zeros((1, 365, 24)),
        profile=own if own_hours else smooth,
        cosine=cosine,
        extra_w_m2=extra_w_m2,
        # No ceiling but the light above the atmosphere: the clear sky is not in question here.
        clear_ghi_w_m2=extra_w_m2 * cosine,
        clear_dni_w_m2=extra_w_m2,
    )
    return light.ghi_w_m2[0], light.dhi_w_m2[0]


def _of_month_and_hour(by_hour: FloatArray) -> FloatArray:
    """Mean of each month's hours, ``(12, 24)``, of ``(365, 24)``."""
    starts = np.concatenate([[0], np.cumsum(DAYS_IN_MONTH)[:-1]])
    return np.asarray(np.add.reduceat(by_hour, starts, axis=0) / DAYS_IN_MONTH[:, None])


def profile_error_w_m2(name: str) -> float:
    """Root mean square error of the mean day of each month when only daily totals are known."""
    year = typical_year(name)
    found = _of_month_and_hour(hours_of_days(year, own_hours=False)[0])
    own = _of_month_and_hour(year.ghi_w_m2.reshape(365, 24))
    return float(np.sqrt(np.mean((found - own) ** 2)))


def diffuse_ratio(name: str) -> float:
    """Year's diffuse light split from the file's own hours, over the file's."""
    year = typical_year(name)
    return float(hours_of_days(year, own_hours=True)[1].sum() / year.dhi_w_m2.sum())


def temperature_error_c(by_hour_c: FloatArray, place: Place, into_the_hour: float = 0.5) -> float:
    """Root mean square error of hours made from the day's mean and swing, ``(365, 24)`` in."""
    sunset_rad = sunset_angle_rad(place.latitude_deg, declination_rad(_DAYS))
    weights = hour_weights(_sun_time_h(place, into_the_hour), sunset_rad)
    swing_c = by_hour_c.max(axis=1) - by_hour_c.min(axis=1)
    daily = DailyTemperature(by_hour_c.mean(axis=1)[None], swing_c[None])
    found_c = hourly_temperature(daily, weights)[0][0]
    return float(np.sqrt(np.mean((found_c - by_hour_c[1:-1]) ** 2)))


def daily_clearness(name: str) -> FloatArray:
    """Clearness index of a typical year's days, ``(365,)``."""
    year = typical_year(name)
    h0_wh_m2 = 1000.0 * daily_extraterrestrial_kwh_m2(
        year.place.latitude_deg, np.arange(1.0, 366.0)
    )
    return np.asarray(year.ghi_w_m2.reshape(365, 24).sum(axis=1) / h0_wh_m2)


def _link_of_days() -> float:
    drawn = linked_days(*np.random.default_rng(1).standard_normal((2, 300, 365)))
    return float(np.corrcoef(drawn[:, 1:].ravel(), drawn[:, :-1].ravel())[0, 1])


def _own_temperature_error_c(name: str) -> float:
    year = typical_year(name)
    return temperature_error_c(year.temp_air_c.reshape(365, 24), year.place)


def _light(
    what: str, source: str, expected: float, tolerance: float, unit: str, got: Callable[[], float]
) -> Comparison:
    return Comparison("hours of a day", what, source, expected, tolerance, unit, got)


_TYPICAL = "typical year that comes with pvlib"

COMPARISONS: tuple[Comparison, ...] = (
    _light(
        "share of the day's light, hour angle 22.5, 31 N, 14 February",
        "Rabl, Active Solar Collectors, after section 3.6",
        0.135,
        0.001,
        "",
        lambda: hour_share(22.5, 81.7),
    ),
    _light(
        "the same at 7.5",
        "Rabl, Active Solar Collectors, after section 3.6",
        0.153,
        0.001,
        "",
        lambda: hour_share(7.5, 81.7),
    ),
    _light(
        "share from 13 to 14 h, 43 N, 23 August",
        f"{_BECKMAN}, example 2.13.2 (recomputed)",
        0.118,
        0.001,
        "",
        lambda: hour_share(22.5, 100.5),
    ),
    _light(
        "share from 8 to 9 h, 38 S, January",
        f"{_BECKMAN}, example 2.13.1 (from memory)",
        0.076,
        0.001,
        "",
        lambda: hour_share(-52.5, 107.4),
    ),
    # A root mean square error: what is expected is nothing, the tolerance is what passes. The mean
    # days peak at 700 and 500 W/m2.
    _light(
        "error of the months' mean days from daily totals, 36 N",
        _TYPICAL,
        0.0,
        20.0,
        "W/m2",
        lambda: profile_error_w_m2(GREENSBORO),
    ),
    _light(
        "the same, island at 55 N",
        _TYPICAL,
        0.0,
        20.0,
        "W/m2",
        lambda: profile_error_w_m2(SAND_POINT),
    ),
    # The files' diffuse light is itself modelled.
    _light(
        "year's diffuse light split from global, 36 N, against the file's",
        _TYPICAL,
        1.0,
        0.15,
        "",
        lambda: diffuse_ratio(GREENSBORO),
    ),
    _light(
        "the same, island at 55 N",
        _TYPICAL,
        1.0,
        0.15,
        "",
        lambda: diffuse_ratio(SAND_POINT),
    ),
    _light(
        "error of hourly temperature from the day's mean and swing, 36 N",
        _TYPICAL,
        0.0,
        2.5,
        "C",
        lambda: _own_temperature_error_c(GREENSBORO),
    ),
    _light(
        "the same, island at 55 N",
        _TYPICAL,
        0.0,
        1.5,
        "C",
        lambda: _own_temperature_error_c(SAND_POINT),
    ),
    Comparison(
        "days and months",
        "swing of temperature in July, Lyon, from Rs 22.3 of Ra 40.6 MJ/m2",
        "FAO-56, example 15",
        11.8,
        0.05,
        "C",
        lambda: float(daily_swing_c(np.array([22.3 / 40.6]), 0.0)[0]),
    ),
    # Graham, Hollands & Unny fitted several places; 0.25 to 0.35.
    Comparison(
        "days and months",
        "correlation of a day's clearness with the next's, as normal scores",
        "Graham, Hollands & Unny 1988 (from memory)",
        0.29,
        0.05,
        "",
        _link_of_days,
    ),
)
