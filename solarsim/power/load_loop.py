"""What loads do hour by hour and what they add up to, in one pass over memory each; compiled.

Every array is ``(hours, runs)``, time first. The same in NumPy takes a pass for each step of
arithmetic, and these arrays are larger than the processor's cache.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray, IntArray
from solarsim.compiled.machine_code import MachineCode, numbers_of, step, table_of

__all__ = ["CODE", "add_load", "glow_share", "run_heater", "scheduled_hours"]

# What the loop is asked for.
_ADD, _HEATER, _GLOW, _SCHEDULE = range(4)
# What is told of a heater: count, least heat, span of heats, power at the least, and at most more.
_COUNT, _LEAST_W, _SPAN_W, _LOWEST_W, _MORE_W = range(5)
# Stands for hours where none are chosen.
_NO_ROWS = np.zeros(1, dtype=np.int64)


@step
def _add_row(mean_w: Any, sum_w: Any, peak_w: Any, on: Any, above_w: Any) -> None:
    for i in range(len(on)):
        mean = on[i] * above_w[i]
        mean_w[i] = mean
        sum_w[i] += mean
        peak_w[i] += above_w[i] if on[i] > 0.0 else 0.0


@step
def _add_steady_row(mean_w: Any, sum_w: Any, peak_w: Any, on: Any, above_w: float) -> None:
    """Add a load that draws the same whenever it runs."""
    for i in range(len(on)):
        mean = on[i] * above_w
        mean_w[i] = mean
        sum_w[i] += mean
        peak_w[i] += above_w if on[i] > 0.0 else 0.0


@step
def _add_within(variance_w2: Any, off: Any, mean_w: Any, on: Any, above_w: Any) -> None:
    """Add what only AC loads need: the variance within the hour, and the rests."""
    for i in range(len(on)):
        rest = 1.0 - on[i]
        variance_w2[i] += mean_w[i] * above_w[i] * rest
        off[i] *= rest


@step
def _add_steady_within(variance_w2: Any, off: Any, mean_w: Any, on: Any, above_w: float) -> None:
    for i in range(len(on)):
        rest = 1.0 - on[i]
        variance_w2[i] += mean_w[i] * above_w * rest
        off[i] *= rest


@step
def _run_heater(on: Any, running_w: Any, heat_w: Any, part: float, real: Any) -> None:
    """Share of the hour that a heater runs, and its power by how hard it burns."""
    count, least_w, span_w = real[_COUNT], real[_LEAST_W], real[_SPAN_W]
    lowest_w, more_w = real[_LOWEST_W], real[_MORE_W]
    per_w = 1.0 / least_w if least_w > 0.0 else 0.0
    for i in range(len(on)):
        own_w = heat_w[i] * part / count
        by_least = min(own_w * per_w, 1.0)
        lit = 1.0 if own_w > 0.0 else 0.0
        on[i] = by_least if least_w > 0.0 else lit
        above = min(max((own_w - least_w) / span_w, 0.0), 1.0)
        running_w[i] = lowest_w + above * more_w


@step
def _glow_row(glow: Any, on: Any, before: Any, most: float, minutes: float, first: bool) -> None:
    """Share of the hour that a heater's plug glows, by its starts."""
    for i in range(len(glow)):
        starts = most * on[i] * (1.0 - on[i])
        cold = on[i] > 0.0 and (first or before[i] == 0.0)
        starts = starts + 1.0 if cold else starts
        glow[i] = min(starts * minutes / 60.0, 1.0)


@step
def _schedule_row(share: Any, today: Any, before: Any, after: Any, weights: Any) -> None:
    """Share of the hour by its day's factor, and by those of windows that cross midnight."""
    of_day, of_before, of_after = weights[0], weights[1], weights[2]
    for i in range(len(share)):
        found = of_day * today[i] + of_before * before[i]
        found = found + of_after * after[i]
        # Rounding of share x factor may end 1 ulp above the whole hour.
        share[i] = min(found, 1.0)


def _entry(arrays: Any, shapes: Any, whole: Any, real: Any) -> None:
    """Go through the hours of one load; what the arrays are depends on what is asked for."""
    asked, hours, within, varies = whole[0], whole[1], whole[2], whole[3]
    of_hour, given = numbers_of(arrays, shapes, 0), table_of(arrays, shapes, 1)
    second, third = table_of(arrays, shapes, 2), table_of(arrays, shapes, 3)
    for j in range(hours):
        if asked == _HEATER:
            _run_heater(second[j], third[j], given[j], table_of(arrays, shapes, 4)[j, 0], real)
        elif asked == _GLOW:
            _glow_row(second[j], given[j], given[max(j - 1, 0)], real[0], real[1], j == 0)
        elif asked == _SCHEDULE:
            day = of_hour[j]
            _schedule_row(second[j], given[day + 1], given[day], given[day + 2], third[j])
        else:
            sum_w, peak_w = table_of(arrays, shapes, 4), table_of(arrays, shapes, 5)
            row = of_hour[j]
            if varies > 0:
                _add_row(third[j], sum_w[row], peak_w[row], given[j], second[j])
            else:
                _add_steady_row(third[j], sum_w[row], peak_w[row], given[j], real[0])
            if within > 0:
                variance_w2 = table_of(arrays, shapes, 6)[row]
                off = table_of(arrays, shapes, 7)[row]
                if varies > 0:
                    _add_within(variance_w2, off, third[j], given[j], second[j])
                else:
                    _add_steady_within(variance_w2, off, third[j], given[j], real[0])


CODE = MachineCode("loads", _entry, [Path(__file__)])


def add_load(
    on_share: FloatArray,
    above_w: FloatArray | float,
    rows: IntArray,
    sums: Sequence[FloatArray],
    mean_w: FloatArray,
) -> None:
    """Add a load to sums over loads.

    Parameters
    ----------
    on_share : ndarray
        ``(rows, runs)`` share of the hour in which it runs.
    above_w : ndarray or float
        ``(rows, runs)`` what it draws then above its standby, W.
    rows : ndarray
        ``(rows,)`` numbers of its hours.
    sums : sequence of ndarray
        ``(hours, runs)`` sums of mean and peak, W, and for AC loads of the variance within the
        hour, W2, and the product of the shares of it in which they rest; they are added to.
    mean_w : ndarray
        Output ``(rows, runs)``: the load's own mean, W.
    """
    varies = isinstance(above_w, np.ndarray)
    CODE(
        [rows, on_share, above_w if isinstance(above_w, np.ndarray) else on_share, mean_w, *sums],
        whole=[_ADD, len(rows), len(sums) > 2, varies],
        real=[0.0 if isinstance(above_w, np.ndarray) else above_w],
    )


def run_heater(
    heat_w: FloatArray,
    part: FloatArray,
    *,
    count: int,
    least_w: float,
    most_w: float,
    lowest_power_w: float,
    power_w: float,
) -> tuple[FloatArray, FloatArray]:
    """Work out in which share of each hour a heater runs, and at which power.

    Parameters
    ----------
    heat_w : ndarray
        ``(hours, runs)`` heat of all heaters together, W.
    part : ndarray
        ``(hours, 1)`` part of it that these give.
    count : int
        How many of them.
    least_w, most_w : float
        Heat at the lowest setting, 0 where there is none, and at the highest, W; between them the
        power follows the heat.
    lowest_power_w, power_w : float
        Electric power at these, W.

    Returns
    -------
    on_share, running_w : ndarray
        ``(hours, runs)`` share of the hour; power of one of them, W.
    """
    on_share, running_w = np.empty_like(heat_w), np.empty_like(heat_w)
    # One setting has no span: its power plays no part.
    span_w = most_w - least_w or 1.0
    told = [float(count), least_w, span_w, lowest_power_w, power_w - lowest_power_w]
    CODE(
        [_NO_ROWS, heat_w, on_share, running_w, part],
        whole=[_HEATER, len(heat_w), 0, 0],
        real=told,
    )
    return on_share, running_w


def glow_share(on_share: FloatArray, *, most_starts: float, minutes: float) -> FloatArray:
    """Work out in which share of each hour a heater glows, ``(hours, runs)``.

    Parameters
    ----------
    on_share : ndarray
        ``(hours, runs)`` share of the hour in which it runs.
    most_starts : float
        Four times its starts an hour at a share of a half: the thermostat's parabola. Its first
        hour with heat adds a start.
    minutes : float
        How long a start glows.
    """
    glow = np.empty_like(on_share)
    CODE(
        [_NO_ROWS, on_share, glow, glow],
        whole=[_GLOW, len(on_share), 0, 0],
        real=[most_starts, minutes],
    )
    return glow


def scheduled_hours(factors: FloatArray, days: IntArray, weights: FloatArray) -> FloatArray:
    """Work out in which share of each hour a load runs by the clock, ``(rows, runs)``.

    Parameters
    ----------
    factors : ndarray
        ``(days + 2, runs)`` share of its windows on each day, the first row for the day before the
        first date.
    days : ndarray
        ``(rows,)`` number of each hour's date.
    weights : ndarray
        ``(rows, 3)`` share of the hour within windows of its own date, of the day before, and of
        the day after.
    """
    share = np.empty((len(days), factors.shape[1]))
    CODE([days, factors, share, weights], whole=[_SCHEDULE, len(days), 0, 0])
    return share
