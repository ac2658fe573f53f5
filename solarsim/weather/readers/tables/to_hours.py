"""Samples at any regular step put on whole hours, and gaps closed where they are short."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray, IntArray
from solarsim.errors import WeatherFileError

__all__ = ["MAX_GAP_H", "fill_short_gaps", "on_hours", "regular_step_s"]

# Cloud and air still resemble their neighbours over so long; a longer gap would be made-up weather.
# Common practice, no source.
MAX_GAP_H = 3
_SHORTEST_STEP_S = 60
_HOUR_S = 3600


def regular_step_s(moments: pd.DatetimeIndex, *, source: str, first_row: int) -> int:
    """Return the step of stamps that run forward, apart from gaps, in seconds.

    Raises
    ------
    WeatherFileError
        A stamp that stands twice or goes back, steps that are no multiple of the common one, or
        a step that is not a minute to an hour; the row is named.
    """
    seconds = moments.asi8
    steps = np.diff(seconds)
    back = steps <= 0
    if back.any():
        at = int(np.argmax(back)) + 1
        found = "stands again" if steps[at - 1] == 0 else f"comes after {moments[at - 1]}"
        message = f"{moments[at]} {found}; every moment must stand once and in order"
        raise WeatherFileError(message, source=source, field=f"row {first_row + at}, time")
    step = int(np.median(steps))
    if not _SHORTEST_STEP_S <= step <= _HOUR_S:
        message = f"rows are {step / 60.0:g} minutes apart; must be 1 to 60"
        raise WeatherFileError(message, source=source)
    off = steps % step != 0
    if off.any():
        at = int(np.argmax(off)) + 1
        message = (
            f"comes {steps[at - 1] / 60.0:g} minutes after the row before it; must be a multiple "
            f"of the file's {step / 60.0:g} minutes"
        )
        raise WeatherFileError(message, source=source, field=f"row {first_row + at}, time")
    return step


def on_hours(
    starts_s: IntArray, step_s: int, values: FloatArray
) -> tuple[int, FloatArray, IntArray]:
    """Mean of samples over whole hours; an hour needs half of its samples.

    Parameters
    ----------
    starts_s : ndarray of int
        Starts of the samples in seconds of a clock whose hours are wanted.
    step_s : int
        Length of a sample, s.
    values : ndarray
        ``(quantities, samples)``, NaN where there is none.

    Returns
    -------
    tuple
        Start of the first hour in seconds, ``(quantities, hours)`` means with NaN in gaps, and
        the first sample of each hour (that of the hour before it where it has none).
    """
    first = int(starts_s[0]) // _HOUR_S * _HOUR_S
    hours = -(-(int(starts_s[-1]) + step_s - first) // _HOUR_S)
    # Samples are cut into pieces that lie within one hour each.
    piece_s = math.gcd(step_s, _HOUR_S, int(starts_s[0]) - first)
    per_sample, per_hour = step_s // piece_s, _HOUR_S // piece_s
    at = (starts_s - first) // piece_s
    index = (at[:, np.newaxis] + np.arange(per_sample)).ravel()
    sums = np.zeros((len(values), hours))
    counts = np.zeros((len(values), hours))
    hour = index // per_hour
    for row, samples in enumerate(values):
        pieces = np.repeat(samples, per_sample)
        known = np.isfinite(pieces)
        sums[row] = np.bincount(hour[known], weights=pieces[known], minlength=hours)
        counts[row] = np.bincount(hour[known], minlength=hours)
    enough = counts >= 0.5 * per_hour
    means = np.where(enough, sums / np.maximum(counts, 1.0), np.nan)
    sample = np.maximum(np.searchsorted(at, np.arange(hours) * per_hour, side="right") - 1, 0)
    return first, means, sample.astype(np.int64)


def fill_short_gaps(
    values: FloatArray, *, name: str, times: pd.DatetimeIndex, source: str, what: str = "hours"
) -> tuple[FloatArray, int]:
    """Close gaps of up to `MAX_GAP_H` hours by straight lines; return how many hours that were.

    Raises
    ------
    WeatherFileError
        A longer gap; its start and length are named.
    """
    missing = np.isnan(values)
    if not missing.any():
        return values, 0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], missing, [False]]).astype(np.int8)))
    begins, ends = edges[0::2], edges[1::2]
    lengths = ends - begins
    long = lengths > MAX_GAP_H
    if long.any():
        at = int(np.argmax(long))
        more = f" ({int(long.sum())} such gaps)" if long.sum() > 1 else ""
        message = (
            f"is missing for {lengths[at]} {what} from {times[begins[at]]:%Y-%m-%d %H:%M}{more}; "
            f"gaps of up to {MAX_GAP_H} are closed, longer ones would be made-up weather"
        )
        raise WeatherFileError(message, source=source, field=name)
    known = np.flatnonzero(~missing)
    filled = values.copy()
    filled[missing] = np.interp(np.flatnonzero(missing), known, values[known])
    return filled, int(missing.sum())
