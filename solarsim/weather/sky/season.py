"""How the year turns: months to days, the sun's declination, sunset and the sundial.

Days are numbered 1 to 366 as in the calendar; monthly values sit at the months' middles and the
year closes on itself. The sun is that of a mean year: a day's number does not know where in the
leap cycle it stands, which moves the declination by up to 0.16 degrees (seen over 2024 to 2028).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray

__all__ = [
    "DAYS_IN_MONTH",
    "DayArray",
    "at_days",
    "declination_rad",
    "equation_of_time_h",
    "keep_month_means",
    "sunset_angle_rad",
]

DayArray = npt.NDArray[np.integer[Any]]

DAYS_IN_MONTH = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
# How far the noon of 1 January is past the same point of the sun's year as the noon of 1 January
# 2000, days: 0.19 in 2024, 0.95, 0.70 and 0.46 in 2027, the mean of the four.
_NEW_YEAR_DAYS = 0.574
_OBLIQUITY = np.radians(23.439)

_MONTH_END = np.cumsum(DAYS_IN_MONTH).astype(np.float64)
_MONTH_MIDDLE = _MONTH_END - DAYS_IN_MONTH / 2.0
_YEAR_DAYS = 365.0


def at_days(monthly: FloatArray, day_of_year: DayArray) -> FloatArray:
    """Interpolate monthly values to days, straight from one month's middle to the next.

    Parameters
    ----------
    monthly : ndarray
        ``(12, ...)``, January first.
    day_of_year : ndarray
        ``(days,)``, 1 to 366.

    Returns
    -------
    ndarray
        ``(days, ...)``.

    Examples
    --------
    >>> float(at_days(np.arange(12.0), np.array([46]))[0])
    1.0169491525423728
    """
    middle = np.asarray(day_of_year, dtype=np.float64) - 0.5
    later = np.searchsorted(_MONTH_MIDDLE, middle, side="right") % 12
    earlier = (later - 1) % 12
    gap = (_MONTH_MIDDLE[later] - _MONTH_MIDDLE[earlier]) % _YEAR_DAYS
    share = ((middle - _MONTH_MIDDLE[earlier]) % _YEAR_DAYS) / gap
    share = share.reshape(share.shape + (1,) * (monthly.ndim - 1))
    between: FloatArray = monthly[earlier] * (1.0 - share) + monthly[later] * share
    return between


def keep_month_means(monthly: FloatArray, day_weights: FloatArray | None = None) -> FloatArray:
    """Values at the months' middles whose `at_days` has the given monthly means.

    Straight lines through the means themselves would cut the peaks of the year.

    Parameters
    ----------
    monthly : ndarray
        ``(12,)`` monthly means.
    day_weights : ndarray, optional
        ``(365,)`` weights of the days within their month, above 0; equal by default.

    Returns
    -------
    ndarray
        ``(12,)``.

    Examples
    --------
    >>> bool(np.allclose(keep_month_means(np.full(12, 3.0)), 3.0))
    True
    """
    weights = np.ones(365) if day_weights is None else day_weights
    starts = np.concatenate([[0], np.cumsum(DAYS_IN_MONTH)[:-1]])
    lines = at_days(np.eye(12), np.arange(1, 366)) * weights[:, None]
    means = np.add.reduceat(lines, starts, axis=0)
    means /= np.add.reduceat(weights, starts)[:, None]
    return np.asarray(np.linalg.solve(means, monthly))


def _longitudes_rad(day_of_year: DayArray) -> tuple[FloatArray, FloatArray]:
    """Mean longitude and ecliptic longitude of the sun at noon."""
    days = np.asarray(day_of_year, dtype=np.float64) - 1.0 + _NEW_YEAR_DAYS
    mean = np.radians(280.460 + 0.9856474 * days)
    anomaly = np.radians(357.528 + 0.9856003 * days)
    true = mean + np.radians(1.915) * np.sin(anomaly) + np.radians(0.020) * np.sin(2.0 * anomaly)
    return mean, true


def declination_rad(day_of_year: DayArray) -> FloatArray:
    """Declination of the sun at noon, radians, the shape of `day_of_year`.

    Notes
    -----
    Within 0.16 degrees of the solar position algorithm from 2024 to 2028. The handbooks' sines of
    the calendar (FAO-56's equation 24, Cooper's formula) are off by more than a degree in October,
    and Spencer's series of 1971 by up to 0.5 degrees: it was fitted to an almanac against which
    the seasons have moved by half a day since.

    References
    ----------
    .. [1] "The Astronomical Almanac", section C, low-precision formulas for the sun: 0.01 degrees
       from 1950 to 2050.
    """
    longitude = _longitudes_rad(day_of_year)[1]
    declination: FloatArray = np.arcsin(np.sin(_OBLIQUITY) * np.sin(longitude))
    return declination


def equation_of_time_h(day_of_year: DayArray) -> FloatArray:
    """How far the sundial is ahead of the clock's mean sun, hours (the almanac's formula).

    Examples
    --------
    >>> round(60 * float(equation_of_time_h(np.array([307]))[0]), 1)
    16.4
    """
    mean, longitude = _longitudes_rad(day_of_year)
    ascension = np.arctan2(np.cos(_OBLIQUITY) * np.sin(longitude), np.cos(longitude))
    ahead: FloatArray = (mean - ascension + np.pi) % (2.0 * np.pi) - np.pi
    return ahead * (12.0 / np.pi)


def sunset_angle_rad(latitude_deg: float, declination: FloatArray) -> FloatArray:
    """Hour angle of sunset, radians: 0 in the polar night, pi in the polar day."""
    cosine = -np.tan(np.radians(latitude_deg)) * np.tan(declination)
    angle: FloatArray = np.arccos(np.clip(cosine, -1.0, 1.0))
    return angle
