"""When an appliance runs: windows of the local clock, days of use, day-to-day variation."""

from __future__ import annotations

import dataclasses
import functools
import math
from collections.abc import Sequence

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray, IntArray
from solarsim.inputs.appliance import WEEKDAYS, Appliance
from solarsim.power.load_loop import scheduled_hours

__all__ = [
    "LocalClock",
    "local_clock",
    "scheduled_share",
    "unit_mean_factors",
    "window_share",
]


@dataclasses.dataclass(frozen=True, eq=False)
class LocalClock:
    """Local time of each hour, arrays of shape ``(hours,)``; equal to itself alone.

    Attributes
    ----------
    start_h : ndarray
        Clock time at which the hour starts, 0 to 24.
    day : ndarray
        Number of the local date, 0 on the first one.
    weekday : ndarray
        0 on Monday.
    hour_of_year : ndarray
        Hours since 1 January of the local date's own year, counted in a common year: 29 February
        repeats the 28th.
    leap_hour_of_year : ndarray
        The same, counted in a leap year: a common year skips 29 February.
    """

    start_h: FloatArray
    day: IntArray
    weekday: IntArray
    hour_of_year: IntArray
    leap_hour_of_year: IntArray


def local_clock(times: pd.DatetimeIndex, timezone: str) -> LocalClock:
    """Read the local clock at each stamp.

    Parameters
    ----------
    times : pandas.DatetimeIndex
        ``(hours,)`` tz-aware stamps.
    timezone : str
        IANA name of the zone that people's clocks follow.

    Examples
    --------
    Clocks jump from 2:00 to 3:00 on 29 March 2026:

    >>> times = pd.date_range("2026-03-29T00:00+01:00", periods=4, freq="h")
    >>> local_clock(times, "Europe/Vienna").start_h.tolist()
    [0.0, 1.0, 3.0, 4.0]
    """
    return _clock(times.as_unit("us").asi8.tobytes(), timezone)


# The profiles and plans of one question all ask for the same hours.
@functools.lru_cache(maxsize=4)
def _clock(stamps_us: bytes, timezone: str) -> LocalClock:
    stamps = pd.DatetimeIndex(np.frombuffer(stamps_us, dtype="M8[us]"), tz="UTC")
    local = stamps.tz_convert(timezone)
    start_h = np.asarray(local.hour + local.minute / 60.0 + local.second / 3600.0, dtype=np.float64)
    midnight = local.tz_localize(None).normalize()
    day = np.asarray((midnight - midnight[0]).days, dtype=np.int64)
    day_of_year = np.asarray(local.day_of_year, dtype=np.int64) - 1
    from_march = np.asarray(local.month, dtype=np.int64) > 2
    leap = np.asarray(local.is_leap_year, dtype=np.bool_)
    leap_day = leap & (day_of_year == 59)
    hour = np.floor(start_h).astype(np.int64)
    clock = LocalClock(
        start_h=start_h,
        day=day,
        weekday=np.asarray(local.day_of_week, dtype=np.int64),
        hour_of_year=(day_of_year - (leap & (from_march | leap_day))) * 24 + hour,
        leap_hour_of_year=(day_of_year + (~leap & from_march)) * 24 + hour,
    )
    for array in vars(clock).values():
        array.setflags(write=False)
    return clock


def window_share(
    windows: Sequence[tuple[float, float]],
    clock: LocalClock,
    weekdays: Sequence[str] = WEEKDAYS,
) -> dict[int, FloatArray]:
    """Share of each hour that lies in a window, by the day that the window belongs to.

    Parameters
    ----------
    windows : sequence of (from, to)
        Clock hours; one whose end is not after its start crosses midnight.
    clock : LocalClock
        Local time of the hours.
    weekdays : sequence of str
        Days on which windows start.

    Returns
    -------
    dict
        ``(hours,)`` shares, 0 to 1, for windows that started that many days before: 0 for windows
        of the same date, 1 for those that crossed midnight, -1 where an hour that starts before
        midnight (a clock offset of half an hour) reaches into the next day's window. Days without
        any share are left out.

    Examples
    --------
    >>> times = pd.date_range("2026-01-12T21:00+00:00", periods=6, freq="h")
    >>> shares = window_share([(22.5, 1.0)], local_clock(times, "UTC"))
    >>> shares[0].tolist(), shares[1].tolist()
    ([0.0, 0.5, 1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0, 0.0, 0.0])
    """
    return dict(_window_share(tuple(windows), clock, tuple(weekdays)))


# Every chunk of runs, and most profiles that are compared, ask for the same windows.
@functools.lru_cache(maxsize=128)
def _window_share(
    windows: tuple[tuple[float, float], ...], clock: LocalClock, weekdays: tuple[str, ...]
) -> dict[int, FloatArray]:
    days_of_use = np.array([day in weekdays for day in WEEKDAYS])
    shares: dict[int, FloatArray] = {}
    for days_before in (0, 1, -1):
        start_h = clock.start_h + 24.0 * days_before
        total = np.zeros_like(start_h)
        for window_from, window_to in windows:
            end_h = window_to if window_to > window_from else window_to + 24.0
            overlap = np.minimum(start_h + 1.0, end_h) - np.maximum(start_h, window_from)
            total += np.maximum(overlap, 0.0)
        total *= days_of_use[(clock.weekday - days_before) % 7]
        if total.any():
            shares[days_before] = np.minimum(total, 1.0)
            shares[days_before].setflags(write=False)
    return shares


def unit_mean_factors(normals: FloatArray, variation_share: float, largest: float) -> FloatArray:
    """Turn normal draws into day-to-day factors of mean 1 that never exceed `largest`.

    A lognormal factor of mean 1 and the coefficient of variation ``variation_share`` would
    sometimes ask for more time than its window holds. It is cut at `largest` and scaled so that
    the mean stays 1: E[min(m X, c)] = m Phi(d - s) + c (1 - Phi(d)) = 1 is solved for m, with
    d = ln(c/m)/s + s/2. The cut takes some of the variation away.

    Parameters
    ----------
    normals : ndarray
        Standard normal draws, any shape.
    variation_share : float
        Coefficient of variation before the cut, >= 0.
    largest : float
        Window hours over hours of use, >= 1; at 1 nothing can vary.

    Examples
    --------
    >>> draws = np.random.default_rng(1).standard_normal(200_000)
    >>> factors = unit_mean_factors(draws, 0.5, 1.5)
    >>> round(float(factors.mean()), 2), float(factors.max())
    (1.0, 1.5)
    """
    if variation_share <= 0.0 or largest <= 1.0 + 1e-6:
        return np.ones_like(normals)
    sigma = math.sqrt(math.log1p(variation_share**2))
    scale = _mean_keeping_scale(sigma, largest)
    return np.minimum(scale * np.exp(sigma * normals - sigma**2 / 2.0), largest)


def scheduled_share(
    appliance: Appliance, clock: LocalClock, normals: FloatArray | None
) -> tuple[IntArray, FloatArray]:
    """Share of each hour in which a scheduled appliance runs.

    The hours of use are spread evenly over the windows; on each day of use they are multiplied by
    that day's factor (`unit_mean_factors`).

    Parameters
    ----------
    appliance : Appliance
        With ``response = "none"``.
    clock : LocalClock
        Local time of the hours.
    normals : ndarray or None
        ``(days + 2, runs)`` draws, the first row for the day before the first date; None where
        nothing varies.

    Returns
    -------
    rows : ndarray
        Hours in which it can run.
    share : ndarray
        ``(rows, runs)``, or ``(rows, 1)`` where all runs are alike; 0 to 1.
    """
    shares = window_share(appliance.windows, clock, appliance.weekdays)
    mean_share = appliance.use_h / appliance.window_h
    if not shares or mean_share == 0.0:
        return np.empty(0, dtype=np.int64), np.empty((0, 1))
    rows = np.flatnonzero(sum(shares.values()))
    if normals is None:
        total = np.sum(list(shares.values()), axis=0)
        return rows, mean_share * total[rows, np.newaxis]
    factors = mean_share * unit_mean_factors(
        normals, appliance.variation_share, appliance.window_h / appliance.use_h
    )
    weights = np.zeros((len(rows), 3))
    for days_before, hours in shares.items():
        # The next day's, -1, stand last.
        weights[:, days_before] = hours[rows]
    return rows, scheduled_hours(np.ascontiguousarray(factors), clock.day[rows], weights)


@functools.lru_cache(maxsize=256)
def _mean_keeping_scale(sigma: float, largest: float) -> float:
    """Solve for the logarithm of the scale by bisection: the mean rises with it."""
    low, high = 0.0, 1.0
    while _cut_mean(high, sigma, largest) < 1.0 and high < 200.0:
        high *= 2.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if _cut_mean(middle, sigma, largest) < 1.0:
            low = middle
        else:
            high = middle
    return math.exp(high)


def _cut_mean(log_scale: float, sigma: float, largest: float) -> float:
    d = (math.log(largest) - log_scale) / sigma + sigma / 2.0
    return math.exp(log_scale) * _normal_cdf(d - sigma) + largest * (1.0 - _normal_cdf(d))


def _normal_cdf(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2.0))
