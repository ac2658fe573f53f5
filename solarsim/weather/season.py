"""How the year turns: months to days, the sun's declination, sunset and the sundial.

Days are numbered 1 to 366 as in the calendar; monthly values sit at the months' middles and the
year closes on itself.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from solarsim.weather.extraterrestrial import DAYS_IN_MONTH
from solarsim.weather.record import FloatArray

__all__ = [
    "DayArray",
    "at_days",
    "declination_rad",
    "equation_of_time_h",
    "keep_month_means",
    "sunset_angle_rad",
]

DayArray = npt.NDArray[np.integer[Any]]

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


def _day_angle_rad(day_of_year: DayArray) -> FloatArray:
    angle: FloatArray = 2.0 * np.pi * (np.asarray(day_of_year, dtype=np.float64) - 1.0) / 365.0
    return angle


def declination_rad(day_of_year: DayArray) -> FloatArray:
    """Declination of the sun, radians, the shape of `day_of_year`.

    References
    ----------
    .. [1] J. W. Spencer, "Fourier series representation of the position of the sun", Search 2(5),
       1971, p. 172.
    """
    angle = _day_angle_rad(day_of_year)
    series: FloatArray = (
        0.006918
        - 0.399912 * np.cos(angle)
        + 0.070257 * np.sin(angle)
        - 0.006758 * np.cos(2.0 * angle)
        + 0.000907 * np.sin(2.0 * angle)
        - 0.002697 * np.cos(3.0 * angle)
        + 0.00148 * np.sin(3.0 * angle)
    )
    return series


def equation_of_time_h(day_of_year: DayArray) -> FloatArray:
    """How far the sundial is ahead of the clock's mean sun, hours (Spencer 1971).

    Examples
    --------
    >>> round(60 * float(equation_of_time_h(np.array([34]))[0]), 1)
    -13.5
    """
    angle = _day_angle_rad(day_of_year)
    radians: FloatArray = (
        0.0000075
        + 0.001868 * np.cos(angle)
        - 0.032077 * np.sin(angle)
        - 0.014615 * np.cos(2.0 * angle)
        - 0.040849 * np.sin(2.0 * angle)
    )
    return radians * (12.0 / np.pi)


def sunset_angle_rad(latitude_deg: float, declination: FloatArray) -> FloatArray:
    """Hour angle of sunset, radians: 0 in the polar night, pi in the polar day."""
    cosine = -np.tan(np.radians(latitude_deg)) * np.tan(declination)
    angle: FloatArray = np.arccos(np.clip(cosine, -1.0, 1.0))
    return angle
