"""Humidity and wind."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2
from solarsim.weather.synthesis.daily import autoregress
from solarsim.weather.synthesis.temperature import mean_swing_c

__all__ = ["dew_point_depression_c", "hourly_wind", "relative_humidity", "vapour_pressure_kpa"]

# Spread and persistence of daily mean wind: 0.39 to 0.53 and 0.41 to 0.45 in two public typical
# years; the afternoon is about a fifth above the mean, the night below it.
_WIND_SPREAD = 0.42
_WIND_PERSISTENCE = 0.43
_WIND_AFTERNOON = 0.2
_WINDIEST_H = 13.5
# Kimball's ratio is not meant for less rain than this in a year (from memory).
_LEAST_PRECIP_MM_YEAR = 80.0


def vapour_pressure_kpa(temp_c: FloatArray) -> FloatArray:
    """Saturation vapour pressure, kPa.

    References
    ----------
    .. [1] R. G. Allen et al., "Crop evapotranspiration", FAO Irrigation and Drainage Paper 56,
       1998, equation 11.

    Examples
    --------
    >>> vapour_pressure_kpa(np.array([24.5, 15.0])).round(3).tolist()
    [3.075, 1.705]
    """
    pressure: FloatArray = 0.6108 * np.exp(17.27 * temp_c / (temp_c + 237.3))
    return pressure


def dew_point_depression_c(climate: SiteClimate, latitude_deg: float) -> FloatArray:
    """How far the dew point lies below the daily minimum in each month, ``(12,)`` degrees C.

    About a degree where it rains enough, ten and more where the sun could evaporate the year's
    rain many times over.

    References
    ----------
    .. [1] J. S. Kimball, S. W. Running and R. Nemani, "An improved method for estimating surface
       humidity from daily minimum temperature", Agricultural and Forest Meteorology 85, 1997,
       pp. 87-98; coefficients from memory.
    .. [2] R. G. Allen et al., "Crop evapotranspiration", FAO Irrigation and Drainage Paper 56,
       1998, equation 52 (potential evaporation; 1 kWh/m2 of light evaporates 1.469 mm).
    """
    swing_c = mean_swing_c(climate)
    light_mm = 1.469 * monthly_extraterrestrial_kwh_m2(latitude_deg)[0]
    could_mm_day = (
        0.0023 * np.maximum(climate.temp_mean_c + 17.8, 0.0) * np.sqrt(swing_c) * light_mm
    )
    year_mm = max(365.0 * float(climate.precip_mm_day.mean()), _LEAST_PRECIP_MM_YEAR)
    ratio = could_mm_day / year_mm
    wetness = 1.003 + ratio * (-1.444 + ratio * (12.312 - 32.766 * ratio))
    low_k = climate.temp_mean_c - swing_c / 2.0 + 273.15
    dew_k = low_k * (-0.127 + 1.121 * wetness + 0.0006 * swing_c)
    return np.maximum(low_k - dew_k, 0.0)


def relative_humidity(
    temp_c: FloatArray, low_c: FloatArray, depression_c: FloatArray
) -> FloatArray:
    """Relative humidity with one dew point a day, at or below the night's minimum.

    Parameters
    ----------
    temp_c : ndarray
        ``(runs, days, 24)`` air temperature.
    low_c : ndarray
        ``(runs, days)`` daily minimum.
    depression_c : ndarray
        ``(days,)`` how far the dew point lies below the minimum.

    Returns
    -------
    ndarray
        ``(runs, days, 24)``, above 0 to 1.
    """
    dew_kpa = vapour_pressure_kpa(low_c - depression_c)
    return np.minimum(dew_kpa[..., None] / vapour_pressure_kpa(temp_c), 1.0)


def hourly_wind(wind_m_s: float, normals: FloatArray, sun_time_h: FloatArray) -> FloatArray:
    """Wind speed: a lognormal day times a fixed course of the day.

    Parameters
    ----------
    wind_m_s : float
        The site's mean.
    normals : ndarray
        ``(runs, days)`` independent standard normals.
    sun_time_h : ndarray
        ``(days, 24)`` sun time at mid-hour.

    Returns
    -------
    ndarray
        ``(runs, days, 24)`` m/s, whose mean over runs and days is the site's.
    """
    sigma = np.sqrt(np.log1p(_WIND_SPREAD**2))
    daily = wind_m_s * np.exp(sigma * autoregress(normals, _WIND_PERSISTENCE) - sigma**2 / 2.0)
    course = 1.0 + _WIND_AFTERNOON * np.cos((sun_time_h - _WINDIEST_H) * (np.pi / 12.0))
    return np.asarray(daily[..., None] * course)
