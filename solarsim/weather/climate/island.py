"""Daily clearness on small islands that the climate data lack, from published relations."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.site import QUANTILE_COUNT
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2

__all__ = [
    "ISLAND_LIMIT_DEG",
    "greatest_clearness",
    "island_quantiles",
    "quantiles_from_mean_clearness",
    "rate_from_mean_clearness",
]

# FAO-56, equation 51: Rs = 0.7 Ra - 4 MJ/m2/day.
_SLOPE, _LOSS_MJ_M2 = 0.7, 4.0
_MJ_PER_KWH = 3.6
# Poleward of it the winter's Ra is so small that the equation's constant loss takes most of it.
ISLAND_LIMIT_DEG = 45.0
_LEAST_CLEARNESS = 0.05


def greatest_clearness(mean_kt: FloatArray) -> FloatArray:
    """Clearness index of the brightest day of a month with the given mean.

    References
    ----------
    .. [1] K. G. T. Hollands and R. G. Huget, "A probability density function for the clearness
       index, with applications", Solar Energy 30, 1983, pp. 195-209.

    Examples
    --------
    >>> greatest_clearness(np.array([0.3, 0.5, 0.7])).round(4).tolist()
    [0.6914, 0.7646, 0.8182]
    """
    return np.asarray(0.6313 + 0.267 * mean_kt - 11.9 * (mean_kt - 0.75) ** 8)


def rate_from_mean_clearness(mean_kt: FloatArray) -> FloatArray:
    """Rate of the exponential distribution of daily clearness whose mean is the given one.

    References
    ----------
    .. [1] P. Bendt, M. Collares-Pereira and A. Rabl, "The frequency distribution of daily
       insolation values", Solar Energy 27, 1981, pp. 1-5.
    .. [2] M. E. Herzog's fit of the rate, 1985, as in J. A. Duffie and W. A. Beckman, "Solar
       Engineering of Thermal Processes", section 2.9.

    Examples
    --------
    >>> rate_from_mean_clearness(np.array([0.3, 0.5, 0.7])).round(2).tolist()
    [-2.1, 2.31, 8.52]
    """
    width = greatest_clearness(mean_kt) - _LEAST_CLEARNESS
    ratio = width / (greatest_clearness(mean_kt) - mean_kt)
    return np.asarray(-1.498 + (1.184 * ratio - 27.182 * np.exp(-1.5 * ratio)) / width)


def quantiles_from_mean_clearness(mean_kt: FloatArray) -> FloatArray:
    """Quantiles of the daily clearness index of months known by their means alone.

    Parameters
    ----------
    mean_kt : ndarray
        ``(months,)`` monthly mean clearness, 0.2 to 0.75.

    Returns
    -------
    ndarray
        ``(months, 64)`` at the probabilities ``(i + 0.5) / 64``, rising from 0.05 to the value of
        `greatest_clearness`.
    """
    rate = rate_from_mean_clearness(mean_kt)[:, None]
    chance = (np.arange(QUANTILE_COUNT) + 0.5) / QUANTILE_COUNT
    low = np.exp(rate * _LEAST_CLEARNESS)
    high = np.exp(rate * greatest_clearness(mean_kt)[:, None])
    return np.asarray(np.log(low + chance * (high - low)) / rate)


def island_quantiles(latitude_deg: float) -> FloatArray:
    """Daily clearness of a low, narrow island from its latitude alone, ``(12, 64)``.

    The sea around rules the sky, so that the latitude says most; a cloudy windward slope is darker.

    References
    ----------
    .. [1] R. G. Allen et al., "Crop evapotranspiration", FAO Irrigation and Drainage Paper 56,
       1998, equation 51: islands up to 20 km wide, 0 to 100 m above the sea.
    """
    above_mj_m2 = _MJ_PER_KWH * monthly_extraterrestrial_kwh_m2(latitude_deg)[0]
    return quantiles_from_mean_clearness(_SLOPE - _LOSS_MJ_M2 / above_mj_m2)
