"""Daily clearness index quantiles per 3-degree cell and month, from smoothed histograms."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.site import QUANTILE_COUNT
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2
from solarsim.weather.sky.season import DAYS_IN_MONTH

__all__ = ["clearness_quantiles", "month_quantiles"]

# Below this a day's clearness is a ratio of two small numbers: polar winter.
MIN_EXTRATERRESTRIAL_KWH_M2 = 0.5
MIN_CLEARNESS = 0.01
MAX_CLEARNESS = 0.85  # highest daily values at dry mountain sites; common practice, no source
_YEARS = 5  # 2011 to 2015
# The histograms are kernel density estimates. Their Fourier transforms show the kernel: a
# bandwidth of 0.376 (quartiles 0.34 and 0.41 over 300 cells and months) times the spread of about
# 175 samples, which is the normal reference rule 1.059 s n^(-1/5) for five years of daily values.
_BANDWIDTH_FACTOR = 1.059


def month_quantiles(
    ghi_w_m2: FloatArray, weights: FloatArray, h0_kwh_m2: float, h0_square: float, days: int
) -> FloatArray:
    """Quantiles of the daily clearness index behind one month's smoothed histogram of GHI.

    The spread of a histogram over the month's mean H0 holds three parts: the clearness, the march
    of H0 through the month, and the smoothing kernel. The last two are taken out by moments:
    Var(KT) = (Var(H) + E(H)^2) / E(H0^2) - E(KT)^2, after Var(H) lost the kernel's share, and the
    quantiles are drawn towards their mean accordingly.

    Parameters
    ----------
    ghi_w_m2, weights : ndarray
        ``(bins,)`` daily mean GHI, W/m2, rising, and its weights.
    h0_kwh_m2, h0_square : float
        Mean and mean square of H0 over the month's days, kWh/m2/day and its square.
    days : int
        Days in the month.

    Returns
    -------
    ndarray
        ``(64,)`` at the probabilities ``(i + 0.5) / 64``, rising.
    """
    irradiation = ghi_w_m2 * 0.024
    share = weights / weights.sum()
    mean = float(share @ irradiation)
    smoothed_variance = float(share @ (irradiation - mean) ** 2)
    kernel = _BANDWIDTH_FACTOR * (_YEARS * days) ** -0.2
    variance = smoothed_variance / (1.0 + kernel**2)
    mean_kt = mean / h0_kwh_m2
    kt_variance = (variance + mean**2) / h0_square - mean_kt**2
    # Where the march of H0 alone explains the spread, a fifth of it is kept rather than none.
    shrink = max(kt_variance * h0_kwh_m2**2 / smoothed_variance, 0.2**2) ** 0.5
    probability = (np.arange(QUANTILE_COUNT) + 0.5) / QUANTILE_COUNT
    at = np.interp(probability, np.cumsum(share) - share / 2.0, irradiation) / h0_kwh_m2
    return np.asarray(np.clip(mean_kt + shrink * (at - mean_kt), MIN_CLEARNESS, MAX_CLEARNESS))


def clearness_quantiles(
    ghi_w_m2: FloatArray, weights: FloatArray, latitude_deg: FloatArray
) -> FloatArray:
    """Quantiles of all cells; a cell without data is NaN.

    Months in which the sun hardly rises take the quantiles of the nearest month that has sun.

    Parameters
    ----------
    ghi_w_m2, weights : ndarray
        ``(rows, columns, 12, bins)`` histograms of daily mean GHI.
    latitude_deg : ndarray
        ``(rows,)`` centres of the cells.

    Returns
    -------
    ndarray
        ``(rows, columns, 12, 64)``.
    """
    rows, columns = weights.shape[:2]
    out = np.full((rows, columns, 12, QUANTILE_COUNT), np.nan)
    finite = np.isfinite(weights) & np.isfinite(ghi_w_m2)
    filled = (np.where(finite, weights, 0.0).sum(axis=-1) > 0.0) & (finite.sum(axis=-1) > 100)
    for row in range(rows):
        h0, h0_square = monthly_extraterrestrial_kwh_m2(float(latitude_deg[row]))
        sunny = h0 >= MIN_EXTRATERRESTRIAL_KWH_M2
        for column in range(columns):
            usable = filled[row, column] & sunny
            # A cell on land has every month in which the sun rises.
            if not usable.any() or not np.array_equal(usable, sunny):
                continue
            for month in np.flatnonzero(usable):
                keep = finite[row, column, month]
                out[row, column, month] = month_quantiles(
                    ghi_w_m2[row, column, month, keep].astype(np.float64),
                    weights[row, column, month, keep].astype(np.float64),
                    float(h0[month]),
                    float(h0_square[month]),
                    int(DAYS_IN_MONTH[month]),
                )
            for month in np.flatnonzero(~usable):
                distance = np.abs((np.arange(12) - month + 6) % 12 - 6)
                nearest = usable & (distance == distance[usable].min())
                out[row, column, month] = out[row, column, nearest].mean(axis=0)
    return out
