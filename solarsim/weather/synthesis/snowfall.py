"""Wet days, snowfall by the hour, and snow on the ground."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.normal import ndtr, ndtri
from solarsim.weather.sky.season import at_days, keep_month_means
from solarsim.weather.synthesis.temperature import day_to_day_sd_c

__all__ = [
    "ALBEDO_GROUND",
    "ALBEDO_SNOW",
    "daily_precipitation",
    "ground_albedo",
    "hourly_snowfall",
    "snow_on_arrival_mm",
    "snow_water",
    "wet_share",
]

SNOW_BELOW_C = 0.5
ALBEDO_GROUND = 0.2  # common practice
ALBEDO_SNOW = 0.65  # between fresh (about 0.8) and old snow (about 0.5); common practice
# Snow that melts per day and degree above freezing; 2.7 mm is typical of the USDA's National
# Engineering Handbook, part 630, chapter 11 (from memory).
MELT_MM_C_DAY = 2.7
# Less snow than this, as water, does not cover the ground; no source.
_COVER_MM = 2.0
# A wet day brings this much and the month's daily mean on top; no source, it gives 12 wet days of
# 6 mm in a month of 2 mm a day, and 2 of 4 mm in a month of 0.25.
_WET_DAY_MM = 4.0
# Correlation of wetness with darkness; no source.
_DARKNESS = 0.75
# A spell of precipitation; no source.
_SPELL_H = 6


def wet_share(precip_mm_day: FloatArray) -> FloatArray:
    """Share of days with precipitation in a month with this daily mean."""
    return precip_mm_day / (precip_mm_day + _WET_DAY_MM)


def daily_precipitation(
    precip_mm_day: FloatArray, brightness: FloatArray, uniforms: FloatArray
) -> FloatArray:
    """Precipitation of consecutive days, on the darkest of them for the most part.

    Parameters
    ----------
    precip_mm_day : ndarray
        ``(days,)`` climate's mean.
    brightness : ndarray
        ``(runs, days)`` the standard normal behind the day's clearness.
    uniforms : ndarray
        ``(runs, days, 2)`` draws for whether and how much.

    Returns
    -------
    ndarray
        ``(runs, days)`` mm; amounts of wet days are exponential.
    """
    share = wet_share(precip_mm_day)
    own = ndtri(uniforms[..., 0])
    wetness = np.sqrt(1.0 - _DARKNESS**2) * own - _DARKNESS * brightness
    wet = wetness > ndtri(1.0 - share)
    amount_mm = -np.log1p(-uniforms[..., 1]) * (precip_mm_day + _WET_DAY_MM)
    return np.where(wet, amount_mm, 0.0)


def hourly_snowfall(
    precip_mm: FloatArray, start_uniforms: FloatArray, temp_c: FloatArray
) -> FloatArray:
    """Snow of each hour as water: precipitation that falls at or below 0.5 C.

    Parameters
    ----------
    precip_mm : ndarray
        ``(runs, days)``.
    start_uniforms : ndarray
        ``(runs, days)`` where in the day its one spell of six hours lies.
    temp_c : ndarray
        ``(runs, days, 24)``.

    Returns
    -------
    ndarray
        ``(runs, days, 24)`` mm.
    """
    snow_mm = np.zeros(temp_c.shape)
    run, day = np.nonzero((precip_mm > 0.0) & (temp_c.min(axis=-1) <= SNOW_BELOW_C))
    start = (start_uniforms[run, day] * (24 - _SPELL_H + 1)).astype(np.intp)
    each_mm = precip_mm[run, day] / _SPELL_H
    for step in range(_SPELL_H):
        hour = start + step
        cold = temp_c[run, day, hour] <= SNOW_BELOW_C
        snow_mm[run, day, hour] = np.where(cold, each_mm, 0.0)
    return snow_mm


def snow_on_arrival_mm(climate: SiteClimate, day_of_year: int) -> float:
    """Snow lying on the evening before the stay as water, mm, in the mean of many years.

    A degree-day account over two years of climate means, in which the air of each month scatters
    normally about its mean.
    """
    days = np.arange(1, 366)
    mean_c = at_days(keep_month_means(climate.temp_mean_c), days)
    sd_c = at_days(day_to_day_sd_c(climate), days)
    precip_mm = at_days(climate.precip_mm_day, days)
    warm = mean_c / sd_c
    density = np.exp(-(warm**2) / 2.0) / np.sqrt(2.0 * np.pi)
    melt_mm = MELT_MM_C_DAY * (mean_c * ndtr(warm) + sd_c * density)
    fall_mm = precip_mm * ndtr((SNOW_BELOW_C - mean_c) / sd_c)
    lying_mm = 0.0
    change_mm = (fall_mm - melt_mm).tolist()
    last = min(day_of_year, 365)
    for change in change_mm + change_mm[:last]:
        lying_mm = max(lying_mm + change, 0.0)
    return lying_mm


def snow_water(arrival_mm: float, snowfall_mm: FloatArray, mean_c: FloatArray) -> FloatArray:
    """Snow on the ground at its most on each day, as water.

    Parameters
    ----------
    arrival_mm : float
        Snow lying before the first day.
    snowfall_mm, mean_c : ndarray
        ``(runs, days)`` snowfall and mean air temperature.

    Returns
    -------
    ndarray
        ``(runs, days)`` mm, before the day's melt.
    """
    lying_mm = np.empty(snowfall_mm.shape)
    melt_mm = MELT_MM_C_DAY * np.maximum(mean_c, 0.0)
    left_mm: FloatArray = np.full(snowfall_mm.shape[0], arrival_mm)
    for day in range(snowfall_mm.shape[1]):
        lying_mm[:, day] = left_mm + snowfall_mm[:, day]
        left_mm = np.maximum(lying_mm[:, day] - melt_mm[:, day], 0.0)
    return lying_mm


def ground_albedo(lying_mm: FloatArray) -> FloatArray:
    """Ground reflectance from the snow that lies, the shape of `lying_mm`."""
    return np.where(lying_mm > _COVER_MM, ALBEDO_SNOW, ALBEDO_GROUND)
