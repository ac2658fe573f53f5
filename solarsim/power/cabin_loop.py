"""The cabin's temperature stepped through the hours, all runs at once; compiled.

An hour goes in two halves around one exponential, which is left to NumPy between them, so that it
is the same everywhere in an answer. Hours in which no run lets air in need none and are passed
through at once.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.compiled.machine_code import MachineCode, numbers_of, row_of, step, table_of

__all__ = ["CODE", "Stream", "step_cabin"]

# Rows of the room to work in, each of all runs: the cabin at the hour's start and at its end with
# all closed, what it tends to with air let in, the share left by coolers, and sums over streams of
# conductance and of conductance times temperature.
_NOW, _CLOSED, _BALANCE, _LEFT, _TOTAL, _DRIVE = range(6)
_ROWS = 6
# What is told of a stream.
_START_C, _PER_KELVIN, _CONDUCTANCE, _COOLS = range(4)
# What is told of the cabin.
_LOSS_W_K, _KEEP, _PER_KELVIN_W, _PER_HOUR, _LOWEST_C = range(5)
# Where the loop stands: its hour, and whether that waits for its exponential.
_HOUR, _WAITS = range(2)
# Number of the first stream's arrays, and how many each has.
_STREAMS, _OF_STREAM = 11, 3


@step
def _end_closed(
    work: Any, settled_c: Any, set_c: float, limit_w: float, heat_w: Any, wanted_w: Any, real: Any
) -> None:
    """Work out the end of the hour with all closed, heated up to the set-point where it can be."""
    keep, per_kelvin_w = real[_KEEP], real[_PER_KELVIN_W]
    rest = 1.0 - keep
    for i in range(len(settled_c)):
        end_c = settled_c[i] * rest + keep * work[_NOW, i]
        if limit_w > 0.0:
            short_w = max(set_c - end_c, 0.0) * per_kelvin_w
            given_w = min(short_w, limit_w)
            wanted_w[i], heat_w[i] = short_w, given_w
            end_c = end_c + given_w / per_kelvin_w
        work[_CLOSED, i] = end_c


@step
def _any_above(values: Any, limit: float) -> bool:
    """Whether any run's cabin is that warm."""
    above = 0
    for i in range(len(values)):
        above += values[i] > limit
    return above > 0


@step
def _open(work: Any, settled_c: Any, loss_w_k: float) -> None:
    """Begin an hour in which air is let in with the loss through the skin alone."""
    for i in range(len(settled_c)):
        work[_LEFT, i] = 1.0
        work[_TOTAL, i] = loss_w_k
        work[_DRIVE, i] = loss_w_k * settled_c[i]


@step
def _let_in(
    work: Any, share: Any, supply_c: Any, usable: Any, numbers: Any, open_share: float
) -> None:
    """Let one stream in; evaporative coolers come first, and others rest while these run."""
    start_c, per_kelvin = numbers[_START_C], numbers[_PER_KELVIN]
    conductance_w_k, evaporative = numbers[_CONDUCTANCE], numbers[_COOLS] > 0.0
    for i in range(len(share)):
        closed_c = work[_CLOSED, i]
        opened = min(max((closed_c - start_c) * per_kelvin, 0.0), open_share)
        cools = 1.0 if supply_c[i] < closed_c else 0.0
        if evaporative:
            opened = opened * (usable[i] * cools)
            work[_LEFT, i] = min(work[_LEFT, i], 1.0 - opened)
        else:
            opened = opened * work[_LEFT, i]
        # A fan also runs for the draught alone, where the air outside is no cooler.
        share[i] = opened
        let_in_w_k = opened * (conductance_w_k * cools)
        work[_TOTAL, i] += let_in_w_k
        work[_DRIVE, i] += let_in_w_k * supply_c[i]


@step
def _tend(work: Any, exponent: Any, per_hour: float) -> None:
    """Find what the cabin tends to, and how far it gets in the hour, as an exponent."""
    for i in range(len(exponent)):
        total_w_k = work[_TOTAL, i]
        work[_BALANCE, i] = work[_DRIVE, i] / total_w_k
        exponent[i] = total_w_k * per_hour


@step
def _end_aired(work: Any, kept: Any, lowest_c: float) -> None:
    """Work out the end of the hour with air let in: not below where the first stream starts."""
    for i in range(len(kept)):
        balance_c = work[_BALANCE, i]
        end_c = balance_c + (work[_NOW, i] - balance_c) * kept[i]
        # Also leaves a run that is too cool for any stream as it was, whoever shares its chunk.
        work[_CLOSED, i] = min(max(end_c, lowest_c), work[_CLOSED, i])


@step
def _take(work: Any, temp_c: Any) -> None:
    """Take the hour's mean, and its end for the next one's start."""
    for i in range(len(temp_c)):
        end_c = work[_CLOSED, i]
        temp_c[i] = (work[_NOW, i] + end_c) * 0.5
        work[_NOW, i] = end_c


def _entry(arrays: Any, shapes: Any, whole: Any, real: Any) -> None:
    """Go on to the next hour that waits for its exponential, or to the end."""
    at, work, exponent = (
        numbers_of(arrays, shapes, 0),
        table_of(arrays, shapes, 1),
        row_of(arrays, shapes, 2),
    )
    settled_c, set_c, limit_w = (
        table_of(arrays, shapes, 3),
        row_of(arrays, shapes, 4),
        row_of(arrays, shapes, 5),
    )
    temp_c, heat_w, wanted_w = (
        table_of(arrays, shapes, 6),
        table_of(arrays, shapes, 7),
        table_of(arrays, shapes, 8),
    )
    numbers, open_share = table_of(arrays, shapes, 9), table_of(arrays, shapes, 10)
    hours, hour = len(set_c), at[_HOUR]
    if at[_WAITS] > 0:
        _end_aired(work, exponent, real[_LOWEST_C])
        _take(work, temp_c[hour])
        hour += 1
        at[_WAITS] = 0
    while hour < hours:
        _end_closed(
            work, settled_c[hour], set_c[hour], limit_w[hour], heat_w[hour], wanted_w[hour], real
        )
        if _any_above(work[_CLOSED], real[_LOWEST_C]):
            _open(work, settled_c[hour], real[_LOSS_W_K])
            for stream in range(len(numbers)):
                if open_share[stream, hour] > 0.0:
                    first = _STREAMS + _OF_STREAM * stream
                    supply_c = table_of(arrays, shapes, first)
                    usable = table_of(arrays, shapes, first + 1)
                    share = table_of(arrays, shapes, first + 2)
                    _let_in(
                        work,
                        share[hour],
                        supply_c[hour],
                        usable[hour],
                        numbers[stream],
                        open_share[stream, hour],
                    )
            _tend(work, exponent, real[_PER_HOUR])
            at[_WAITS] = 1
            break
        _take(work, temp_c[hour])
        hour += 1
    at[_HOUR] = hour


CODE = MachineCode("cabin", _entry, [Path(__file__)])


@dataclasses.dataclass(frozen=True)
class Stream:
    """Air that is let in: ``open_share`` is ``(hours,)``, others ``(hours, runs)``.

    It grows from `start_c` over `span_k` to full flow. ``usable_share`` (1 or 0) is given for an
    evaporative cooler: where its air is cool enough.
    """

    start_c: float
    span_k: float
    conductance_w_k: float
    open_share: FloatArray
    supply_c: FloatArray
    usable_share: FloatArray | None


def step_cabin(
    *,
    settled_c: FloatArray,
    start_c: FloatArray,
    set_c: FloatArray,
    limit_w: FloatArray,
    loss_w_k: float,
    capacity_wh_k: float,
    streams: Sequence[Stream],
) -> tuple[FloatArray, FloatArray, FloatArray, list[FloatArray]]:
    """Step the cabin through all hours.

    Parameters
    ----------
    settled_c : ndarray
        ``(hours, runs)`` temperature that the closed, unheated cabin tends to, degrees C.
    start_c : ndarray
        ``(runs,)`` temperature at the first hour's start.
    set_c, limit_w : ndarray
        ``(hours,)`` set-point, degrees C, and what the heaters give at most, W.
    loss_w_k, capacity_wh_k : float
        Of the closed cabin, W/K and Wh/K.
    streams : sequence of Stream
        At least one.

    Returns
    -------
    temp_c, heat_w, wanted_w : ndarray
        ``(hours, runs)`` mean temperature, heat given and heat wanted.
    running : list of ndarray
        ``(hours, runs)`` share of full flow of each stream.
    """
    hours, runs = settled_c.shape
    keep = float(np.exp(-loss_w_k / capacity_wh_k))
    lowest_c = min(stream.start_c for stream in streams)
    temp_c, (heat_w, wanted_w) = np.empty((hours, runs)), np.zeros((2, hours, runs))
    running = [np.zeros((hours, runs)) for _ in streams]
    order = sorted(range(len(streams)), key=lambda number: streams[number].usable_share is None)
    ordered = [streams[number] for number in order]
    numbers = np.array(
        [
            (each.start_c, 1.0 / each.span_k, each.conductance_w_k, each.usable_share is not None)
            for each in ordered
        ]
    )
    at, work, exponent = np.zeros(2, dtype=np.int64), np.empty((_ROWS, runs)), np.empty(runs)
    work[_NOW] = start_c
    arrays = [at, work, exponent, settled_c, set_c, limit_w, temp_c, heat_w, wanted_w, numbers]
    arrays.append(np.array([each.open_share for each in ordered]))
    for number, each in zip(order, ordered, strict=True):
        usable = each.supply_c if each.usable_share is None else each.usable_share
        arrays += [each.supply_c, usable, running[number]]
    go_on = CODE.bound(
        arrays, real=[loss_w_k, keep, loss_w_k / (1.0 - keep), -1.0 / capacity_wh_k, lowest_c]
    )
    go_on()
    while at[_HOUR] < hours:
        np.exp(exponent, out=exponent)
        go_on()
    return temp_c, heat_w, wanted_w, running
