"""Weather runs from a site's climate: the default source of weather, offline and anywhere."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.inputs.percent import percent
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place, Weather
from solarsim.weather.sky.clear_sky import ClearSky, brightest_sky, make_room
from solarsim.weather.sky.season import (
    DayArray,
    at_days,
    declination_rad,
    equation_of_time_h,
    sunset_angle_rad,
)
from solarsim.weather.sky.sun import Sun, sun_at_mid_hour
from solarsim.weather.streams import Purpose, run_normals, run_uniforms
from solarsim.weather.synthesis.air import dew_point_depression_c, hourly_wind, relative_humidity
from solarsim.weather.synthesis.daily import DailyLight, daily_light, linked_days, mean_ghi_wh_m2
from solarsim.weather.synthesis.hourly_light import HourlyLight, hourly_light, profile_weights
from solarsim.weather.synthesis.snowfall import (
    ALBEDO_GROUND,
    ALBEDO_SNOW,
    daily_precipitation,
    ground_albedo,
    hourly_snowfall,
    snow_on_arrival_mm,
    snow_water,
)
from solarsim.weather.synthesis.temperature import (
    daily_temperature,
    hour_weights,
    hourly_temperature,
)

__all__ = ["months_notes", "synthesise"]

_LIGHT_NOTE = "each run's mean light differs from the climate data's by sd "

# How much of the variance of a month's error is the whole year's: annual means are off by 5 %,
# months by themselves by 5 to 10 % (central Europe's grid, Japan's stations, public station files).
_SHARE_OF_YEAR = 0.35
# Errors of months one and two apart are correlated by 0.6 and 0.2 there; these weights of three
# independent draws give 0.67 and 0.17.
_OF_MONTHS = np.array([1.0, 2.0, 1.0]) / np.sqrt(6.0)
_MOST_SITE_SDS = 2.5


def synthesise(
    place: Place,
    climate: SiteClimate,
    times: pd.DatetimeIndex,
    *,
    runs: int,
    seed: int,
    first_run: int = 0,
    site_uncertainty: bool = True,
) -> Weather:
    """Draw weather runs for the given hours.

    A run's weather depends on the seed, its number and the first day alone: neither on how many
    runs are drawn together nor on where the hours end.

    Parameters
    ----------
    place : Place
        Where; ``utc_offset_h`` sets where a day begins.
    climate : SiteClimate
        Its monthly climate.
    times : pandas.DatetimeIndex
        ``(hours,)`` tz-aware, hourly stamps on whole hours of the place's standard offset.
    runs : int
        How many runs, at least 1.
    seed : int
        The question's seed, 0 to 2**63.
    first_run : int
        Number of the first run.
    site_uncertainty : bool
        Whether each run also draws how far the site's true mean lies from the climate data.

    Returns
    -------
    Weather
        Arrays of shape ``(runs, hours)``; the sun's are ``(1, hours)``.

    Raises
    ------
    ValueError
        No runs, no hours, or stamps that are not hourly and on the hour.
    """
    calendar = _calendar(place, times, runs)
    draws = _Draws(seed, first_run, runs)
    sun = sun_at_mid_hour(place, calendar.hours)
    clear, clearer = make_room(
        brightest_sky(place, sun, np.repeat(calendar.day_of_year, 24)),
        mean_ghi_wh_m2(climate, place.latitude_deg, calendar.day_of_year),
    )
    light = _light_of_days(place, climate, calendar, draws, clear, site_uncertainty)
    sun_time_h, sunset_rad = _sun_times(place, calendar.day_of_year)
    hours = _light_of_hours(light, sun, clear, draws, sun_time_h[1:-1], sunset_rad[1:-1])
    daily_c = daily_temperature(
        climate,
        calendar.day_of_year,
        light.kt,
        light.brightness,
        draws.normals(Purpose.DAILY_TEMPERATURE, calendar.days + 2),
    )
    temp_c, low_c = hourly_temperature(daily_c, hour_weights(sun_time_h, sunset_rad))
    wind = draws.normals(Purpose.WIND, calendar.days)
    wind_m_s = hourly_wind(climate.wind_m_s, wind, sun_time_h[1:-1])
    snow_mm, albedo = _snow(climate, calendar, draws, light, temp_c, daily_c.mean_c)
    by_name = {
        "ghi_w_m2": hours.ghi_w_m2,
        "dni_w_m2": hours.dni_w_m2,
        "dhi_w_m2": hours.dhi_w_m2,
        "temp_air_c": temp_c,
        "wind_speed_m_s": wind_m_s,
        "relative_humidity": _humidity(place, climate, calendar, temp_c, low_c),
        "snowfall_mm": snow_mm,
        "albedo": albedo,
    }
    first = 24 + calendar.wanted.start
    of_sun = slice(first, first + len(times))
    return Weather(
        place=place,
        times=times,
        **{name: days.reshape(runs, -1)[:, calendar.wanted] for name, days in by_name.items()},
        zenith_deg=sun.zenith_deg[None, of_sun],
        azimuth_deg=sun.azimuth_deg[None, of_sun],
        dni_extra_w_m2=sun.dni_extra_w_m2[None, of_sun],
        source=climate.source,
        run_years=(),
        notes=_notes(light, clearer, _site_sd(climate, calendar) if site_uncertainty else 0.0),
    )


@dataclasses.dataclass(frozen=True)
class _Draws:
    """The random numbers of the runs that are drawn together, ``(runs, count)``."""

    seed: int
    first_run: int
    runs: int

    def normals(self, purpose: Purpose, count: int) -> FloatArray:
        return run_normals(
            self.seed, purpose, first_run=self.first_run, runs=self.runs, count=count
        )

    def uniforms(self, purpose: Purpose, count: int) -> FloatArray:
        return run_uniforms(
            self.seed, purpose, first_run=self.first_run, runs=self.runs, count=count
        )


@dataclasses.dataclass(frozen=True)
class _Calendar:
    """Whole days that cover the hours, with a day before and a day after.

    ``hours`` and ``day_of_year`` include those two; ``wanted`` cuts the hours asked for out of the
    days between.
    """

    hours: pd.DatetimeIndex
    day_of_year: DayArray
    wanted: slice

    @property
    def days(self) -> int:
        """Days without the one before and the one after."""
        return len(self.day_of_year) - 2


def _calendar(place: Place, times: pd.DatetimeIndex, runs: int) -> _Calendar:
    if runs < 1:
        raise ValueError(f"runs is {runs}; must be at least 1")
    if not len(times):
        raise ValueError("times is empty; at least one hour is needed")
    if times.tz is None:
        raise ValueError("times has no time zone; the place's fixed offset is needed")
    if len(times) > 1 and not (np.diff(times.as_unit("s").asi8) == 3600).all():
        raise ValueError("times must be strictly hourly")
    local = times.tz_convert(dt.timezone(dt.timedelta(hours=place.utc_offset_h)))
    start = local[0]
    midnight = start.normalize()
    if start != midnight + pd.Timedelta(hours=start.hour):
        raise ValueError(f"times starts at {start}; must lie on a whole hour of the offset")
    days = -(-(start.hour + len(times)) // 24)
    hours = pd.date_range(
        midnight - pd.Timedelta(days=1), periods=(days + 2) * 24, freq="h", unit="us"
    )
    return _Calendar(
        hours=hours,
        day_of_year=hours[::24].day_of_year.to_numpy().astype(np.int64),
        wanted=slice(start.hour, start.hour + len(times)),
    )


def _light_of_days(
    place: Place,
    climate: SiteClimate,
    calendar: _Calendar,
    draws: _Draws,
    clear: ClearSky,
    site_uncertainty: bool,
) -> DailyLight:
    brightness = linked_days(
        draws.normals(Purpose.DAILY_CLEARNESS, calendar.days + 2),
        draws.normals(Purpose.SPELLS, calendar.days + 2),
    )
    return daily_light(
        climate,
        place.latitude_deg,
        calendar.day_of_year,
        _sum_of_hours(clear.ghi_w_m2.reshape(-1, 24)),
        brightness,
        _site_factor(climate, calendar, draws) if site_uncertainty else np.ones(1),
    )


def _site_factor(climate: SiteClimate, calendar: _Calendar, draws: _Draws) -> FloatArray:
    """How far the site's true means lie from the climate data in each run, ``(runs, days)``."""
    of_year = draws.normals(Purpose.SITE, 1)
    months = draws.normals(Purpose.SITE_MONTHS, 12)
    beside = np.stack([np.roll(months, 1, axis=1), months, np.roll(months, -1, axis=1)])
    of_month = np.tensordot(_OF_MONTHS, beside, axes=1)
    off = np.sqrt(_SHARE_OF_YEAR) * of_year + np.sqrt(1.0 - _SHARE_OF_YEAR) * of_month
    factor = 1.0 + climate.ghi_error_share * np.clip(off, -_MOST_SITE_SDS, _MOST_SITE_SDS)
    return at_days(factor.T, calendar.day_of_year).T


def _site_sd(climate: SiteClimate, calendar: _Calendar) -> float:
    """Standard deviation of the climate's error, mean of the first days, which all runs share."""
    return float(at_days(climate.ghi_error_share, calendar.day_of_year[1:2])[0])


def _sun_times(place: Place, day_of_year: DayArray) -> tuple[FloatArray, FloatArray]:
    """Solar time at mid-hour, ``(days, 24)`` hours, and the angle of sunset, ``(days,)``."""
    sunset_rad = sunset_angle_rad(place.latitude_deg, declination_rad(day_of_year))
    sundial_h = equation_of_time_h(day_of_year)[:, None]
    sun_time_h = np.arange(24) + 0.5 + place.longitude_deg / 15.0 - place.utc_offset_h + sundial_h
    return sun_time_h, sunset_rad


def _snow(
    climate: SiteClimate,
    calendar: _Calendar,
    draws: _Draws,
    light: DailyLight,
    temp_c: FloatArray,
    mean_c: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Snowfall, mm, and the ground's albedo, each ``(runs, days, 24)``."""
    wet = draws.uniforms(Purpose.PRECIPITATION, calendar.days * 3)
    wet = wet.reshape(draws.runs, calendar.days, 3)
    precip_mm = daily_precipitation(
        at_days(climate.precip_mm_day, calendar.day_of_year[1:-1]),
        light.brightness[:, 1:-1],
        wet[..., :2],
    )
    snow_mm = hourly_snowfall(precip_mm, wet[..., 2], temp_c)
    lying_mm = snow_water(
        snow_on_arrival_mm(climate, int(calendar.day_of_year[0])),
        _sum_of_hours(snow_mm),
        mean_c[:, 1:-1],
    )
    return snow_mm, np.repeat(ground_albedo(lying_mm)[..., None], 24, axis=-1)


def _humidity(
    place: Place,
    climate: SiteClimate,
    calendar: _Calendar,
    temp_c: FloatArray,
    low_c: FloatArray,
) -> FloatArray:
    depression_c = dew_point_depression_c(climate, place.latitude_deg)
    return relative_humidity(temp_c, low_c, at_days(depression_c, calendar.day_of_year[1:-1]))


def _light_of_hours(
    light: DailyLight,
    sun: Sun,
    clear: ClearSky,
    draws: _Draws,
    sun_time_h: FloatArray,
    sunset_rad: FloatArray,
) -> HourlyLight:
    def inner(by_hour: FloatArray) -> FloatArray:
        return by_hour.reshape(-1, 24)[1:-1]

    by_hour = draws.normals(Purpose.HOURLY_CLEARNESS, sun_time_h.size)
    cosine = np.maximum(np.cos(np.radians(inner(sun.zenith_deg))), 0.0)
    extra_w_m2 = inner(sun.dni_extra_w_m2)
    hour_angle_rad = (sun_time_h - 12.0) * (np.pi / 12.0)
    return hourly_light(
        light.ghi_wh_m2[:, 1:-1],
        light.kt[:, 1:-1],
        by_hour.reshape(draws.runs, *sun_time_h.shape),
        profile=profile_weights(hour_angle_rad, sunset_rad[:, None]) * extra_w_m2 * cosine,
        cosine=cosine,
        extra_w_m2=extra_w_m2,
        clear_ghi_w_m2=inner(clear.ghi_w_m2),
        clear_dni_w_m2=inner(clear.dni_w_m2),
    )


def _sum_of_hours(by_hour: FloatArray) -> FloatArray:
    total: FloatArray = by_hour.sum(axis=-1)
    return total


def months_notes(notes: Iterable[str]) -> tuple[str, ...]:
    """Return notes on several months' runs, each once, with the range of how far light may be off.

    Examples
    --------
    >>> months_notes([_LIGHT_NOTE + "11 %", "dry", _LIGHT_NOTE + "9 %", "dry"])
    ("each run's mean light differs from the climate data's by sd 9 % to 11 %, by month", 'dry')
    """
    once = dict.fromkeys(notes)
    sds = sorted(
        (note.removeprefix(_LIGHT_NOTE) for note in once if note.startswith(_LIGHT_NOTE)),
        key=lambda said: float(said.split()[0]),
    )
    if len(sds) < 2:
        return tuple(once)
    joined = f"{_LIGHT_NOTE}{sds[0]} to {sds[-1]}, by month"
    return tuple(dict.fromkeys(joined if note.startswith(_LIGHT_NOTE) else note for note in once))


def _notes(light: DailyLight, clearer: float, site_sd: float) -> tuple[str, ...]:
    notes = [
        "humidity follows from the night's minimum; wind and wet days from monthly means",
        f"ground reflects {percent(ALBEDO_GROUND)}, {percent(ALBEDO_SNOW)} where snow lies",
    ]
    if site_sd:
        notes.append(f"{_LIGHT_NOTE}{percent(site_sd)}")
    if clearer > 1.0:
        notes.append(
            f"the clear sky is up to {percent(clearer - 1.0, 1)} brighter than the turbidity "
            "map's, as the climate's mean irradiation demands"
        )
    # Last, because it depends on the runs.
    if light.capped.any():
        notes.append(
            "days drawn brighter than the clear sky of clean air are cut to it; the mean is kept"
        )
    return tuple(notes)
