"""Monthly and daily light of a site: how bright its months are, and how its days differ."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.codec import CODES, CODES_PER_CLEARNESS, clearness_codes
from solarsim.weather.climate.data import Bundle
from solarsim.weather.climate.grid import around, blend
from solarsim.weather.climate.satellite import satellite_share, toward_satellite
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2
from solarsim.weather.sky.season import DAYS_IN_MONTH
from solarsim.weather.synthesis.daily import thicken

__all__ = ["bend_to_means", "has_clearness", "monthly_quantiles", "reanalysis_ghi_kwh_m2_day"]

# The clearness cells measure 333 km; the next one's weather is still the same weather.
NEAREST_CLEARNESS_KM = 400.0
MIN_CLEARNESS = 0.01
MAX_CLEARNESS = 0.85  # highest daily values at dry mountain sites; common practice, no source
# Factors on the optical thickness of clouds; what is beyond is met by scaling.
_THICKNESS_RANGE = (0.5, 3.0)
# Five years of 3-degree cells: each month takes this much from either neighbour. Of 0 to 0.33 the
# least error of the months on all of central Europe, Japan and 29 station years.
_OF_NEIGHBOURS = 0.15
# What the reanalysis makes of clouds goes astray in two ways that 25 years of precipitation and
# warmth tell of. Half of central Europe's grid, of Japan's stations and of the station years
# together give 0.10 and 0.21, the other half 0.04 and 0.34; the first is taken a little higher for
# the tropics, of which there is none in either half (thirty monthly tables of dry, humid and
# tropical places, from memory, give 0.17).
# Deep clouds of warm, wet months are too dark (up to a fifth: Florida's summer, the Sahel's and
# northern Australia's rains).
_CONVECTIVE = 0.12
_WARM_FROM_C, _WARM_TO_C = 20.0, 26.0
_WET_MM_DAY = 5.0
# A cell of three degrees does not know its wet and its dry side (Japan's two coasts in winter).
_LOCAL_RAIN = 0.2
_DRY_MM_DAY = 0.5
# How far a month's mean may be off, standard deviation as a share. Satellite and pyranometer: 0.03
# and less (one station, 40 months), and what a hillside does to one van's place.
_SATELLITE_ERROR = 0.04
# Elsewhere 5 % for the year's mean, and more for a month the cloudier it is: together 0.11 at a
# clearness of 0.35 and 0.07 at 0.7. Seen of 0.35 to 0.45, 0.45 to 0.55 and 0.65 to 0.8: central
# Europe 0.11, 0.08, -; Japan 0.11, 0.10, -; stations in North America -, 0.12 and 0.09 (one year's
# own chance in it).
_YEAR_ERROR = 0.05
_CLOUD_ERROR = 0.15
# Where no annual mean is known: median over 1,646 coastal towns (the middle nine tenths: 0.78 to
# 1.06).
_COAST_FACTOR = 0.9


def monthly_quantiles(
    bundle: Bundle, latitude: float, longitude: float, place: Place
) -> tuple[FloatArray, FloatArray]:
    """Quantiles of each month's daily clearness, and how far the months' means may be off.

    The months' means are those of `reanalysis_ghi_kwh_m2_day`, in and near central Europe those of
    the satellite (see `solarsim.weather.climate.satellite`). The reanalysis' quantiles are bent to
    them month by month.

    Returns
    -------
    tuple of ndarray
        ``(12, 64)`` rising quantiles, and ``(12,)`` standard deviations as shares.
    """
    quantiles = _clearness(bundle, latitude, longitude, place)
    ghi_kwh_m2_day = toward_satellite(
        bundle,
        latitude,
        longitude,
        lambda at_latitude, at_longitude: reanalysis_ghi_kwh_m2_day(
            bundle, at_latitude, at_longitude, place
        ),
    )
    h0_kwh_m2, _ = monthly_extraterrestrial_kwh_m2(latitude)
    lit = h0_kwh_m2 > 0.0
    mean_kt = np.where(lit, ghi_kwh_m2_day / np.where(lit, h0_kwh_m2, 1.0), quantiles.mean(axis=1))
    share = satellite_share(latitude, longitude)
    elsewhere = np.hypot(_YEAR_ERROR, _CLOUD_ERROR * (1.0 - mean_kt))
    return bend_to_means(quantiles, mean_kt), share * _SATELLITE_ERROR + (1.0 - share) * elsewhere


def reanalysis_ghi_kwh_m2_day(
    bundle: Bundle, latitude: float, longitude: float, place: Place
) -> FloatArray:
    """Mean daily irradiation of each month where no satellite tells, ``(12,)`` kWh/m2/day.

    MERRA-2's months, corrected for warm wet months and for the wet and dry sides of a cell, share
    one factor that makes their year the site's annual mean. Over central Europe's grid that
    reanalysis is too bright by 9 to 21 % and in every season alike: one factor for the whole year
    keeps the shape, whereas clouds that are thickened until the annual mean fits darken the dark
    months out of measure.
    """
    mean_kt = _clearness(bundle, latitude, longitude, place).mean(axis=1)
    mean_kt = mean_kt * _cloud_correction(bundle, latitude, longitude, place)
    h0_kwh_m2, _ = monthly_extraterrestrial_kwh_m2(latitude)
    ghi_kwh_m2_day = mean_kt * h0_kwh_m2
    cells, shares = blend(bundle.irradiation_grid, latitude, longitude, NEAREST_CLEARNESS_KM, place)
    codes = bundle.lists["ghi"][cells]
    known = codes > 0
    if not known.any():
        return np.asarray(_COAST_FACTOR * ghi_kwh_m2_day)
    annual = float(shares[known] @ codes[known] / shares[known].sum()) * CODES["ghi"].step
    return np.asarray(
        ghi_kwh_m2_day * annual / float(ghi_kwh_m2_day @ DAYS_IN_MONTH / DAYS_IN_MONTH.sum())
    )


def bend_to_means(kt_quantiles: FloatArray, mean_kt: FloatArray) -> FloatArray:
    """Bend each month's clearness quantiles so that their mean is the given one.

    One factor a month on the optical thickness of clouds (see
    `solarsim.weather.synthesis.daily.thicken`). Each month's top quantile stays: a clear day is
    clear whatever the clouds on other days.

    Parameters
    ----------
    kt_quantiles : ndarray
        ``(12, n)``, rising, all above 0.
    mean_kt : ndarray
        ``(12,)`` means to meet. Where a factor would leave 0.5 to 3, it stops there and the
        quantiles are scaled, within 0.01 to 0.85.

    Returns
    -------
    ndarray
        The shape of `kt_quantiles`, still rising.
    """
    top = kt_quantiles[:, -1:]
    relative = kt_quantiles / top
    low, high = (np.full(top.shape, np.log(limit)) for limit in _THICKNESS_RANGE)
    # The means fall as the clouds thicken, and smoothly: halving is safe and quick enough.
    for _ in range(32):
        middle = 0.5 * (low + high)
        mean = (top * thicken(relative, np.exp(middle))).mean(axis=1, keepdims=True)
        too_bright = mean > mean_kt[:, None]
        low, high = np.where(too_bright, middle, low), np.where(too_bright, high, middle)
    bent = top * thicken(relative, np.exp(0.5 * (low + high)))
    scale = mean_kt[:, None] / bent.mean(axis=1, keepdims=True)
    return np.asarray(np.clip(bent * scale, MIN_CLEARNESS, MAX_CLEARNESS))


def has_clearness(bundle: Bundle, latitude: float, longitude: float) -> bool:
    """Whether a clearness cell lies near enough."""
    rows, columns, distance_km = around(
        bundle.clearness_grid, latitude, longitude, NEAREST_CLEARNESS_KM
    )
    near = distance_km <= NEAREST_CLEARNESS_KM
    return bool((bundle.clearness_grid.index[rows[near], columns[near]] >= 0).any())


def _clearness(bundle: Bundle, latitude: float, longitude: float, place: Place) -> FloatArray:
    """Quantiles between the cells' centres, ``(12, 64)``, with the years' noise smoothed."""
    cells, shares = blend(bundle.clearness_grid, latitude, longitude, NEAREST_CLEARNESS_KM, place)
    codes = clearness_codes(bundle.lists["kt_first"][cells], bundle.lists["kt_steps"][cells])
    # Averaging quantiles, not histograms: two neighbours' overcast days meet, they do not pile up.
    kt = np.tensordot(shares, codes, axes=1) / CODES_PER_CLEARNESS
    beside = np.roll(kt, 1, axis=0) + np.roll(kt, -1, axis=0)
    return np.asarray((1.0 - 2.0 * _OF_NEIGHBOURS) * kt + _OF_NEIGHBOURS * beside)


def _cloud_correction(
    bundle: Bundle, latitude: float, longitude: float, place: Place
) -> FloatArray:
    """Factor on each month's clearness, ``(12,)``, whose mean over the year does not matter."""
    cells, shares = blend(bundle.clearness_grid, latitude, longitude, NEAREST_CLEARNESS_KM, place)
    of_cell = bundle.precipitation_mm_day("kt_precipitation", cells, shares)
    cells, shares = blend(bundle.half_grid, latitude, longitude, NEAREST_CLEARNESS_KM, place)
    here = bundle.precipitation_mm_day("precipitation", cells, shares)
    nodes, shares = blend(bundle.node_grid, latitude, longitude, NEAREST_CLEARNESS_KM, place)
    temp_c = bundle.temperature_c(nodes, shares)
    warm = np.clip((temp_c - _WARM_FROM_C) / (_WARM_TO_C - _WARM_FROM_C), 0.0, 1.0)
    convective = warm * np.minimum(here / _WET_MM_DAY, 1.0)
    wetter = np.log((here + _DRY_MM_DAY) / (of_cell + _DRY_MM_DAY))
    return np.asarray(np.exp(_CONVECTIVE * convective - _LOCAL_RAIN * wetter))
