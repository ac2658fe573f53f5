"""Air temperature by day and hour."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.sky.season import DayArray, at_days, keep_month_means
from solarsim.weather.synthesis.daily import autoregress

__all__ = [
    "DailyTemperature",
    "daily_swing_c",
    "daily_temperature",
    "day_to_day_sd_c",
    "hour_weights",
    "hourly_temperature",
    "mean_swing_c",
    "record_swing_c",
]

# Persistence of the daily anomaly: 0.56 to 0.94 by month in two public typical years, mean 0.74.
DAY_TO_DAY = 0.7
# Correlation of a day's brightness with its warmth in the coldest (negative) and the warmest
# (positive) month; the same two typical years show -0.34 and -0.56 in January, 0.60 and 0.54 in
# July.
CLOUD_COUPLING = 0.35
# How many standard deviations of the daily mean a record lies from the season's mean extreme. The
# greatest of about 1,000 independent normals (some twenty seasons of linked days) is expected at
# 3.2; hot spells reach a little further (no source). Winter days are skewed towards the cold: at a
# skewness of -0.6 (from memory) the Pearson III value of one in 1,000 is 3.96 (Interagency Advisory
# Committee on Water Data, Bulletin 17B, 1982, appendix 3).
COLD_RECORD_SD, WARM_RECORD_SD = 4.0, 3.5
# A record comes with an air mass, not with the swing of a cloudless desert day; no source.
_RECORD_SWING_C = 10.0
# Where the sun hardly rises clearness says nothing.
_LEAST_CLEARNESS = 0.05
_LEAST_SD_C, _MOST_SD_C = 1.0, 9.0
# FAO-56, equation 50: KT = kRs sqrt(Tmax - Tmin).
SWING_INLAND, SWING_COAST = 0.16, 0.19
# How much of a day's swing follows its light, the rest being the month's: a regression within the
# months of 27 typical and single years gives 0.4 in winter and 0.75 in summer. Equation 50 is for
# means of ten days and more; day by day its square would give three times the spread.
_LIT_SHARE = 0.6
# Records of cold and of heat are set under clear skies.
_RECORD_CHANCE = 0.9
# Even the darkest day has some swing; no source.
_LEAST_SWING_C = 1.0
# Parton and Logan's lag of the maximum behind noon and night-time decay, for air at 1.5 m.
_LAG_H = 1.86
_NIGHT_DECAY = 2.2
_WARMEST_H = 12.0 + _LAG_H
# Coldest time is sunrise, but a long night or day gives no sunrise to speak of.
_EARLIEST_SUNRISE_H, _LATEST_SUNRISE_H = 3.0, 9.0


@dataclasses.dataclass(frozen=True)
class DailyTemperature:
    """Mean and swing (maximum less minimum) of each day, ``(runs, days)``, degrees C."""

    mean_c: FloatArray
    swing_c: FloatArray


def daily_swing_c(kt: FloatArray, coast_share: float) -> FloatArray:
    """Mean daily maximum less minimum of the air temperature from the mean clearness, degrees C.

    Parameters
    ----------
    kt : ndarray
        Clearness index, mean over ten days or more.
    coast_share : float
        0 inland, 1 at the coast.

    References
    ----------
    .. [1] R. G. Allen et al., "Crop evapotranspiration", FAO Irrigation and Drainage Paper 56,
       1998, equation 50.

    Examples
    --------
    >>> daily_swing_c(np.array([0.549]), 0.0).round(1).tolist()
    [11.8]
    """
    coefficient = SWING_INLAND + (SWING_COAST - SWING_INLAND) * coast_share
    return np.maximum((kt / coefficient) ** 2, _LEAST_SWING_C)


def mean_swing_c(climate: SiteClimate) -> FloatArray:
    """Mean swing of each month's days, ``(12,)`` degrees C."""
    return daily_swing_c(_mean_clearness(climate), climate.coast_share)


def record_swing_c(climate: SiteClimate) -> FloatArray:
    """Swing of a day on which a record may be set, ``(12,)`` degrees C: a bright day's."""
    bright = np.quantile(np.nan_to_num(climate.kt_quantiles), _RECORD_CHANCE, axis=1)
    swing_c = _swing_of_day_c(bright, _mean_clearness(climate), mean_swing_c(climate))
    return np.asarray(np.minimum(swing_c, _RECORD_SWING_C))


def _mean_clearness(climate: SiteClimate) -> FloatArray:
    mean = np.nan_to_num(climate.kt_quantiles).mean(axis=1)
    return np.asarray(np.maximum(mean, _LEAST_CLEARNESS))


def _swing_of_day_c(kt: FloatArray, mean_kt: FloatArray, mean_swing_c: FloatArray) -> FloatArray:
    lit = 1.0 + _LIT_SHARE * (kt / mean_kt - 1.0)
    return np.asarray(np.maximum(mean_swing_c * lit, _LEAST_SWING_C))


def day_to_day_sd_c(climate: SiteClimate) -> FloatArray:
    """Standard deviation of daily mean temperature within a month, ``(12,)`` degrees C.

    The record extremes lie `COLD_RECORD_SD` below the minimum of a bright day in the coldest month
    and `WARM_RECORD_SD` above the maximum of one in the warmest; between, the spread follows the
    month's warmth.
    """
    swing_c = record_swing_c(climate)
    mean_c = climate.temp_mean_c
    cold, warm = int(mean_c.argmin()), int(mean_c.argmax())
    cold_sd_c = (mean_c[cold] - swing_c[cold] / 2.0 - climate.temp_low_c) / COLD_RECORD_SD
    warm_sd_c = (climate.temp_high_c - mean_c[warm] - swing_c[warm] / 2.0) / WARM_RECORD_SD
    range_c = max(float(mean_c[warm] - mean_c[cold]), 1e-9)
    warmth = (mean_c - mean_c[cold]) / range_c
    sd_c = cold_sd_c + warmth * (warm_sd_c - cold_sd_c)
    return np.asarray(np.clip(sd_c, _LEAST_SD_C, _MOST_SD_C))


def daily_temperature(
    climate: SiteClimate,
    day_of_year: DayArray,
    kt: FloatArray,
    brightness: FloatArray,
    normals: FloatArray,
) -> DailyTemperature:
    """Draw mean and swing of consecutive days.

    Parameters
    ----------
    climate : SiteClimate
        Monthly means and record extremes.
    day_of_year : ndarray
        ``(days,)``.
    kt, brightness : ndarray
        ``(runs, days)`` clearness and the standard normal behind it.
    normals : ndarray
        ``(runs, days)`` independent standard normals.
    """
    mean_c = at_days(keep_month_means(climate.temp_mean_c), day_of_year)
    sd_c = at_days(day_to_day_sd_c(climate), day_of_year)
    coldest_c, warmest_c = climate.temp_mean_c.min(), climate.temp_mean_c.max()
    season = 2.0 * (mean_c - coldest_c) / max(float(warmest_c - coldest_c), 10.0) - 1.0
    coupling = CLOUD_COUPLING * np.clip(season, -1.0, 1.0)
    # Only the day's own part is coupled, so that the anomaly's variance stays 1.
    own = autoregress(normals, DAY_TO_DAY)
    anomaly = coupling * brightness + np.sqrt(1.0 - coupling**2) * own
    swing_c = _swing_of_day_c(
        kt,
        at_days(_mean_clearness(climate), day_of_year),
        at_days(mean_swing_c(climate), day_of_year),
    )
    return DailyTemperature(mean_c=mean_c + sd_c * anomaly, swing_c=swing_c)


def hour_weights(sun_time_h: FloatArray, sunset_rad: FloatArray) -> FloatArray:
    """How far each hour lies from the coldest (0) to the warmest (1) of the extremes around it.

    Parameters
    ----------
    sun_time_h : ndarray
        ``(days, 24)`` sun time at mid-hour, 12 at noon; below 0 or above 24 where the clock's
        zone is far from the sun's.
    sunset_rad : ndarray
        ``(days,)`` hour angle of sunset.

    Returns
    -------
    ndarray
        ``(4, days, 24)``: the weights of yesterday's maximum, today's minimum, today's maximum and
        tomorrow's minimum; they sum to 1. A sine leads from sunrise over the maximum to sunset,
        an exponential from there to the next sunrise.

    References
    ----------
    .. [1] W. J. Parton and J. A. Logan, "A model for diurnal variation in soil and air
       temperature", Agricultural Meteorology 23, 1981, pp. 205-216.
    """
    sunrise_h = np.clip(12.0 - sunset_rad * (12.0 / np.pi), _EARLIEST_SUNRISE_H, _LATEST_SUNRISE_H)[
        :, None
    ]
    day_h = 24.0 - 2.0 * sunrise_h
    sunset_h = sunrise_h + day_h

    def sine(clock_h: FloatArray) -> FloatArray:
        return np.asarray(np.sin(np.pi * (clock_h - sunrise_h) / (day_h + 2.0 * _LAG_H)))

    def falling(clock_h: FloatArray) -> FloatArray:
        # Parton and Logan's exponential stops short of the minimum; stretched, it arrives.
        night = np.clip((clock_h - sunset_h) / (24.0 - day_h), 0.0, 1.0)
        end = np.exp(-_NIGHT_DECAY)
        decayed = (np.exp(-_NIGHT_DECAY * night) - end) / (1.0 - end)
        return np.where(clock_h < sunset_h, sine(clock_h), sine(sunset_h) * decayed)

    early, late = sun_time_h < sunrise_h, sun_time_h >= _WARMEST_H
    rising = sine(sun_time_h)
    before = np.where(early, falling(sun_time_h + 24.0), 0.0)
    after = np.where(late, falling(sun_time_h), 0.0)
    midday = ~(early | late)
    return np.stack(
        [
            before,
            np.where(early, 1.0 - before, np.where(midday, 1.0 - rising, 0.0)),
            np.where(late, after, np.where(midday, rising, 0.0)),
            np.where(late, 1.0 - after, 0.0),
        ]
    )


def hourly_temperature(
    daily: DailyTemperature, weights: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Hourly temperature of every day but the first and the last, which only lend extremes.

    Parameters
    ----------
    daily : DailyTemperature
        ``(runs, days + 2)``.
    weights : ndarray
        ``(4, days + 2, 24)`` from `hour_weights`.

    Returns
    -------
    tuple of ndarray
        Hourly temperature ``(runs, days, 24)`` and daily minimum ``(runs, days)``, degrees C.
    """
    # The share of the swing below the mean is such that the hours average to the day's mean.
    below = (weights[0] + weights[2]).mean(axis=-1)
    low_c = daily.mean_c - below * daily.swing_c
    high_c = low_c + daily.swing_c
    before, low, high, after = weights[:, 1:-1]
    temp_c: FloatArray = high_c[:, :-2, None] * before
    temp_c += low_c[:, 1:-1, None] * low
    temp_c += high_c[:, 1:-1, None] * high
    temp_c += low_c[:, 2:, None] * after
    return temp_c, low_c[:, 1:-1]
