"""The brightness of each day: daily clearness index KT = H / H0."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.site import QUANTILE_COUNT, SiteClimate
from solarsim.weather.normal import ndtr
from solarsim.weather.sky.extraterrestrial import (
    daily_extraterrestrial_kwh_m2,
    monthly_extraterrestrial_kwh_m2,
)
from solarsim.weather.sky.season import DayArray, at_days, keep_month_means

__all__ = [
    "DAY_TO_DAY",
    "DailyLight",
    "autoregress",
    "daily_light",
    "linked_days",
    "mean_ghi_wh_m2",
    "thicken",
]

# V. A. Graham, K. G. T. Hollands and T. E. Unny, Solar Energy 40(2), 1988, find 0.29 for the
# correlation of neighbours, which the two parts below have together: 0.34.
DAY_TO_DAY = 0.26
# Spells of weather that last: by days alone months would differ between years by three quarters of
# what they do (central Europe's satellite grid, 1991-2025, without its trend: 0.15 of the mean
# in December, 0.10 in June); with this share of the variance, by 0.95 of it. Days that are one to
# five apart are correlated as in 32 station years: 0.25, 0.05, -0.02, -0.03, -0.04 within months.
_SPELL_SHARE = 0.12
_SPELL_TO_DAY = 0.9
# Below this H0 the ratio H / H0 says nothing (polar winter).
_LEAST_H0_WH_M2 = 100.0
_THICKNESSES = np.geomspace(0.1, 10.0, 61)


@dataclasses.dataclass(frozen=True)
class DailyLight:
    """Daily irradiation of every run.

    Attributes
    ----------
    kt : ndarray
        ``(runs, days)`` daily clearness index.
    ghi_wh_m2 : ndarray
        ``(runs, days)`` daily global horizontal irradiation, never above the clear sky's.
    brightness : ndarray
        ``(runs, days)`` the standard normal behind `kt`: above 0 a day brighter than the median.
    capped : ndarray
        ``(runs, days)`` true where the draw was brighter than the clear sky and was cut to it.
    """

    kt: FloatArray
    ghi_wh_m2: FloatArray
    brightness: FloatArray
    capped: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


def autoregress(normals: FloatArray, coefficient: float) -> FloatArray:
    """Turn independent standard normals into a first-order autoregression of unit variance.

    Parameters
    ----------
    normals : ndarray
        ``(..., steps)`` independent draws.
    coefficient : float
        Correlation of neighbours, 0 to below 1.

    Returns
    -------
    ndarray
        ``(..., steps)``; the first step is the first draw.
    """
    steps = np.empty_like(normals)
    fresh = np.sqrt(1.0 - coefficient**2)
    steps[..., 0] = normals[..., 0]
    for step in range(1, normals.shape[-1]):
        steps[..., step] = coefficient * steps[..., step - 1] + fresh * normals[..., step]
    return steps


def thicken(transmittance: FloatArray, thickness: FloatArray | float) -> FloatArray:
    """Transmittance of clouds whose optical thickness is multiplied by a factor.

    A cloud that scatters and does not absorb lets T = 1 / (1 + c tau) through, so a factor on the
    thickness tau is one on the odds (1 - T) / T: a clear day stays clear, and an overcast one
    dims by the factor at most. A power of T would darken the overcast days out of measure.

    Parameters
    ----------
    transmittance : ndarray
        Share of a clear day's light, above 0 to 1.
    thickness : ndarray or float
        Factor on the optical thickness, above 0; 1 changes nothing.

    References
    ----------
    .. [1] C. F. Bohren, "Multiple scattering of light and some of its observable consequences",
       American Journal of Physics 55, 1987, pp. 524-533 (from memory).

    Examples
    --------
    >>> thicken(np.array([0.2, 0.5, 1.0]), 2.0).round(3).tolist()
    [0.111, 0.333, 1.0]
    """
    return np.asarray(transmittance / (transmittance + thickness * (1.0 - transmittance)))


def linked_days(day_normals: FloatArray, spell_normals: FloatArray) -> FloatArray:
    """Standard normals of consecutive days, linked by days and by longer spells.

    Parameters
    ----------
    day_normals, spell_normals : ndarray
        ``(runs, days)`` independent standard normals.

    References
    ----------
    .. [1] V. A. Graham, K. G. T. Hollands and T. E. Unny, "A time series model for Kt with
       application to global synthetic weather generation", Solar Energy 40(2), 1988, pp. 83-92.
    """
    days = np.sqrt(1.0 - _SPELL_SHARE) * autoregress(day_normals, DAY_TO_DAY)
    return np.asarray(days + np.sqrt(_SPELL_SHARE) * autoregress(spell_normals, _SPELL_TO_DAY))


def daily_light(
    climate: SiteClimate,
    latitude_deg: float,
    day_of_year: DayArray,
    clear_wh_m2: FloatArray,
    brightness: FloatArray,
    site_factor: FloatArray,
) -> DailyLight:
    """Draw the clearness of consecutive days from the site's climate.

    The clouds behind the month's quantiles, interpolated to the day, are thickened by one factor
    (see `thicken`; the brightest quantile stays) until the mean, cut at the clear sky, is the
    climate's mean times the run's `site_factor`. Where a factor above 1 cannot be
    reached (a site that is nearly always clear), the factors below 1 are held to the same
    distance, so that the mean over runs remains the climate's.

    Parameters
    ----------
    climate : SiteClimate
        Quantiles of KT and mean irradiation by month.
    latitude_deg : float
        North positive.
    day_of_year : ndarray
        ``(days,)``.
    clear_wh_m2 : ndarray
        ``(days,)`` irradiation of a clear day.
    brightness : ndarray
        ``(runs, days)`` standard normals, such as those of `linked_days`.
    site_factor : ndarray
        ``(runs, days)`` factor on the mean irradiation, or what broadcasts to it.
    """
    h0_wh_m2 = _h0_wh_m2(latitude_deg, day_of_year)
    quantiles = at_days(np.clip(np.nan_to_num(climate.kt_quantiles), 1e-6, 1.0), day_of_year)
    brightest = np.maximum(quantiles[:, -1], 1e-6)
    clear_kt = np.where(
        h0_wh_m2 > _LEAST_H0_WH_M2, clear_wh_m2 / np.maximum(h0_wh_m2, _LEAST_H0_WH_M2), 1.0
    )
    mean_kt = _mean_kt(climate, latitude_deg, day_of_year)
    thickness = _thicknesses(
        quantiles / brightest[:, None],
        brightest,
        clear_kt,
        mean_kt,
        np.broadcast_to(site_factor, brightness.shape),
    )

    place_in_list = np.clip(ndtr(brightness) * QUANTILE_COUNT - 0.5, 0.0, QUANTILE_COUNT - 1.0)
    lower = np.minimum(place_in_list.astype(np.intp), QUANTILE_COUNT - 2)
    share = place_in_list - lower
    day = np.arange(len(day_of_year))
    drawn = quantiles[day, lower] * (1.0 - share) + quantiles[day, lower + 1] * share
    kt = brightest * thicken(drawn / brightest, thickness)

    ghi_wh_m2 = kt * h0_wh_m2
    capped = ghi_wh_m2 > clear_wh_m2
    return DailyLight(
        kt=np.where(capped, np.minimum(kt, clear_kt), kt),
        ghi_wh_m2=np.minimum(ghi_wh_m2, clear_wh_m2),
        brightness=brightness,
        capped=capped & (clear_wh_m2 > 0.0),
    )


def _h0_wh_m2(latitude_deg: float, day_of_year: DayArray) -> FloatArray:
    return 1000.0 * daily_extraterrestrial_kwh_m2(latitude_deg, day_of_year.astype(np.float64))


def mean_ghi_wh_m2(climate: SiteClimate, latitude_deg: float, day_of_year: DayArray) -> FloatArray:
    """The climate's mean daily irradiation by day, ``(days,)``; its monthly means are kept."""
    return _mean_kt(climate, latitude_deg, day_of_year) * _h0_wh_m2(latitude_deg, day_of_year)


def _mean_kt(climate: SiteClimate, latitude_deg: float, day_of_year: DayArray) -> FloatArray:
    h0_wh_m2 = 1000.0 * monthly_extraterrestrial_kwh_m2(latitude_deg)[0]
    of_quantiles = np.nan_to_num(climate.kt_quantiles).mean(axis=1)
    monthly = np.where(
        h0_wh_m2 > _LEAST_H0_WH_M2,
        1000.0 * climate.ghi_kwh_m2_day / np.maximum(h0_wh_m2, _LEAST_H0_WH_M2),
        of_quantiles,
    )
    by_day_wh_m2 = np.maximum(_h0_wh_m2(latitude_deg, np.arange(1, 366)), 1.0)
    # The correction for the lines between months must not run wild where a month is nearly dark.
    nearby = np.stack([np.roll(monthly, 1), monthly, np.roll(monthly, -1)])
    knots = np.clip(
        keep_month_means(monthly, by_day_wh_m2),
        0.6 * nearby.min(axis=0),
        1.25 * nearby.max(axis=0),
    )
    return at_days(knots, day_of_year)


def _thicknesses(
    relative: FloatArray,
    brightest: FloatArray,
    clear_kt: FloatArray,
    mean_kt: FloatArray,
    site_factor: FloatArray,
) -> FloatArray:
    thickness = np.empty(site_factor.shape)
    for day, wanted in enumerate(mean_kt):
        bent = brightest[day] * thicken(relative[day], _THICKNESSES[:, None])
        means = np.minimum(bent, clear_kt[day]).mean(axis=1)
        room = max(means[0] / wanted - 1.0, 0.0) if wanted > 0.0 else 0.0
        target = wanted * np.clip(site_factor[:, day], 1.0 - room, 1.0 + room)
        # The means fall as the clouds thicken; np.interp wants them rising.
        thickness[:, day] = np.interp(target, means[::-1], _THICKNESSES[::-1])
    return thickness
