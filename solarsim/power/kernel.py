"""The dispatch kernel: every hour of every run for every design.

The kernel never validates: `solarsim.power.dispatch` does. Its readable twin, with branches, stands
in the tests.

Up to 64 runs go through side by side, one design after the other. The short loops over these
lanes turn into vector instructions because they hold no branch on a bank's state, look nothing up
by a computed index (curves are sums of hinges ``max(0, soc - knot)``, exact at the data's own
knots), and keep everything in one flat array whose rows lie a constant distance apart. What is the
same for all lanes is a real branch: an hour without sun and chargers skips all about charging. A
stretch of hours is laid out by lanes once and serves all designs. A design is done when its ledger
is full and all its lanes have met their first cut-off.

Arithmetic is strict IEEE (no contraction into fused operations, no reciprocals in place of
divisions), so that a run's answer does not depend on the runs beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray, IntArray
from solarsim.compiled.machine_code import (
    MachineCode,
    block_of,
    numbers_of,
    row_of,
    step,
    table_of,
)
from solarsim.power import kernel_hour as at
from solarsim.power.columns import Column
from solarsim.power.kernel_generator import after_hour, before_hour
from solarsim.power.kernel_hour import one_hour

__all__ = ["CODE", "dispatch_kernel"]

# Hours laid out at a time: whole days, and little enough for the cache.
_TILE_H = 48
# What is true of an hour in a stretch, and of a design.
_CHARGED, _PULSING, _SUNNY = 0, _TILE_H, 2 * _TILE_H
_DONE = 3 * _TILE_H
# Number of the first series by the hour among the arrays.
_HOURLY = 12


@step
def _turn(x: Any, row: int, values: Any, first: int, lanes: int, begin: int, end: int) -> None:
    """Lay one series out by lanes, eight lanes at a time for the cache's sake."""
    if values.shape[0] == 1:
        for j in range(end - begin):
            h = x[j]
            h[row : row + at.LANES] = values[0, begin + j]
        return
    for group in range(0, at.LANES, 8):
        for j in range(end - begin):
            h = x[j]
            for i in range(group, group + 8):
                h[row + i] = values[first + min(i, lanes - 1), begin + j]


@step
def _lay_out(
    x: Any, flags: Any, first: int, lanes: int, begin: int, end: int, arrays: Any, shapes: Any
) -> None:
    """Lay a stretch of hours out by lanes; lanes past the last run repeat it."""
    for row in range(at.SERIES):
        series = table_of(arrays, shapes, _HOURLY + row)
        _turn(x, row * at.LANES, series, first, lanes, begin, end)
    for j in range(end - begin):
        h = x[j]
        given, pulses = 0, 0
        for i in range(at.LANES):
            demand = h[at.DC + i] + h[at.AC + i] + h[at.LOSS + i]
            chargers_a = h[at.DRIVE_A + i] + h[at.PLUG_A + i]
            h[at.CHARGERS_A + i] = chargers_a
            h[at.DEMAND + i] = demand
            h[at.BETWEEN + i] = max(demand - h[at.PULSED + i] * h[at.PULSE + i], 0.0)
            given += h[at.OTHER + i] + h[at.OTHER_A + i] + chargers_a + h[at.PLUG_W + i] > 0.0
            pulses += h[at.PULSED + i] > 0.0
        flags[_CHARGED + j] = given
        flags[_PULSING + j] = pulses


@step
def _arrive(states: Any, designs: Any, start_soc: float, hours: int) -> None:
    """All designs at arrival."""
    states[:] = 0.0
    for index in range(len(designs)):
        states[index, at.Q0 : at.Q0 + at.LANES] = start_soc * designs[index, Column.TANKS_AH]
        states[index, at.Q1 : at.Q1 + at.LANES] = start_soc * designs[index, Column.AVAILABLE_AH]
        states[index, at.ON : at.ON + at.LANES] = 1.0
        states[index, at.CUT : at.CUT + at.LANES] = hours


@step
def _give_out(
    states: Any, first: int, lanes: int, ledger_wh: Any, first_cut_h: Any, depletion_days: Any
) -> None:
    """Fill the outputs, a few designs at a time: states lie by lanes, outputs by designs."""
    count = len(states)
    for group in range(0, count, 8):
        members = range(group, min(group + 8, count))
        for i in range(lanes):
            for index in members:
                first_cut_h[first + i, index] = states[index, at.CUT + i]
                depletion_days[first + i, index] = states[index, at.DAYS + i]
            for term in range(at.TERMS):
                for index in members:
                    ledger_wh[first + i, term, index] = states[
                        index, at.LEDGER + term * at.LANES + i
                    ]


@step
def _copy(source: Any, target: Any) -> None:
    """Copy a design's state; a whole assignment could raise."""
    for i in range(at.STATE):
        target[i] = source[i]


@step
def _note_sun(x: Any, flags: Any, hours: int) -> None:
    """Note in which hours of the stretch any lane has sun."""
    for j in range(hours):
        h = x[j]
        sunny = 0
        for i in range(at.LANES):
            sunny += h[at.SUN + i] > 0.0
        flags[_SUNNY + j] = sunny


@step
def _end_day(w: Any, n: int) -> None:
    """Count the day where it fell short."""
    for i in range(n):
        w[at.DAYS + i] += w[at.SHORT + i]
        w[at.SHORT + i] = 0.0


@step
def _all_cut(w: Any, hours: int) -> bool:
    """Whether all lanes have met their first cut-off."""
    lasting = 0
    for i in range(at.LANES):
        lasting += w[at.CUT + i] >= hours
    return lasting == 0


def _entry(arrays: Any, shapes: Any, whole: Any, real: Any) -> None:
    """The kernel as the loader calls it: see `dispatch_kernel`."""
    panel_w, designs = block_of(arrays, shapes, 0), table_of(arrays, shapes, 1)
    variants, ledger_wh = numbers_of(arrays, shapes, 2), block_of(arrays, shapes, 3)
    first_cut_h, depletion_days = table_of(arrays, shapes, 4), table_of(arrays, shapes, 5)
    soc, x = block_of(arrays, shapes, 6), table_of(arrays, shapes, 7)
    w, states = row_of(arrays, shapes, 8), table_of(arrays, shapes, 9)
    flags, start_soc, ledger_hours = numbers_of(arrays, shapes, 10), real[0], whole[0]
    aside, looked_at = table_of(arrays, shapes, 11), whole[1] > 0
    count, (runs, hours), (stamps, kept) = len(designs), panel_w.shape[1:], soc.shape[1:]
    for first in range(0, runs, at.LANES):
        lanes = min(at.LANES, runs - first)
        n = (lanes + 15) // 16 * 16  # whole vectors, none of them empty
        flags[_DONE : _DONE + count] = 0
        _arrive(states, designs, start_soc, hours)
        soc[first : first + lanes, 0] = start_soc
        for begin in range(0, hours, _TILE_H):
            end = min(begin + _TILE_H, hours)
            _lay_out(x, flags, first, lanes, begin, end, arrays, shapes)
            variant = -1
            for index in range(count):
                if flags[_DONE + index] > 0:
                    continue
                if variants[index] != variant:
                    variant = variants[index]
                    _turn(x, at.SUN, panel_w[variant], first, lanes, begin, end)
                    _note_sun(x, flags, end - begin)
                d = designs[index]
                _copy(states[index], w)
                for hour in range(begin, end):
                    j = hour - begin
                    lit = flags[_SUNNY + j] + flags[_CHARGED + j] > 0
                    counts, pulsing = hour < ledger_hours, flags[_PULSING + j] > 0
                    runs_now, held = False, False
                    if looked_at:
                        runs_now = aside[0, hour] + aside[1, hour] > 0.0
                        held = runs_now or aside[3, hour] < np.inf
                        before_hour(w, x[j], d, aside, hour, real, held, n)
                    one_hour(w, x, j, d, lit or runs_now, pulsing, hour, counts, n)
                    if held:
                        after_hour(w, x[j], counts and runs_now)
                    if index < kept and hour + 1 < stamps:
                        for i in range(lanes):
                            state = w[at.Q0 + i] * d[Column.TANKS_INVERSE]
                            soc[first + i, hour + 1, index] = state
                    if hour % 24 == 23 or hour == hours - 1:
                        _end_day(w, n)
                _copy(w, states[index])
                seen = end >= ledger_hours and (index >= kept or end >= stamps - 1)
                flags[_DONE + index] = 1 if seen and _all_cut(w, hours) else 0
        _give_out(states, first, lanes, ledger_wh, first_cut_h, depletion_days)


def _aligned(*shape: int) -> FloatArray:
    """Room whose rows begin where the processor's vectors and cache lines do."""
    room = np.empty(math.prod(shape) + 8)
    first = -room.ctypes.data // 8 % 8
    return room[first : first + math.prod(shape)].reshape(shape)


_FILES = ("kernel.py", "columns.py", "kernel_generator.py", "kernel_hour.py", "ledger.py")
CODE = MachineCode("dispatch", _entry, [Path(__file__).with_name(name) for name in _FILES])


def dispatch_kernel(
    panel_w: FloatArray,
    hourly: Sequence[FloatArray],
    designs: FloatArray,
    variants: IntArray,
    start_soc: float,
    ledger_hours: int,
    ledger_wh: FloatArray,
    first_cut_h: FloatArray,
    depletion_days: FloatArray,
    soc: FloatArray,
    aside: tuple[FloatArray, float, float, float] | None = None,
) -> None:
    """Fill the outputs for all runs and designs.

    Parameters
    ----------
    panel_w : ndarray
        ``(variants, runs, hours)`` power of one panel at the controller's output, W.
    hourly : tuple of ndarray
        Each ``(runs or 1, hours)``: power of other arrays after their own controllers, W, and
        current of those whose controllers are PWM or at their limit, A; DC and AC
        demand and the inverter's own loss, W; power of the hour's pulses, W, and the share of the
        hour they take (their mean is within the demand); mean current that alternator and shore
        charger can give, A, and what the shore charger can give while the post limits it, W; the
        shares of capacity and of charging current that the bank's
        temperature leaves; 1 where a self-heating bank would heat, else 0.
    designs : ndarray
        ``(designs, DESIGN_END)``, columns by `Column`; all of one chemistry.
    variants : ndarray
        ``(designs,)`` the panel series of each.
    start_soc : float
        State of charge at arrival.
    ledger_hours : int
        Hours that the ledger and the depletion days cover.
    ledger_wh, first_cut_h, depletion_days : ndarray
        Outputs ``(runs, terms, designs)``, ``(runs, designs)``, ``(runs, designs)``.
    soc : ndarray
        Output ``(runs, stamps, kept)`` for the first `kept` designs and the first stamps.
    aside : tuple, optional
        What is looked at by each design's bank: ``(4, hours)`` amperes and watts that a generator
        gives where it may run, and the rated amperes that its charger and the shore charger never
        pass while they give watts, infinite where there is no such limit; then the states of charge
        at which it is started and stopped, and 1 where the first is counted from each design's
        floor, else 0.
    """
    count = len(designs)
    x, w, states = _aligned(_TILE_H, at.HOUR), _aligned(at.WORK), _aligned(count, at.STATE)
    w[:] = 1.0
    flags = np.zeros(_DONE + count, dtype=np.int64)
    outputs = (ledger_wh, first_cut_h, depletion_days, soc)
    rows, *levels = aside or (x[:1], 0.0, 0.0, 0.0)
    arrays = [panel_w, designs, variants, *outputs, x, w, states, flags, rows, *hourly]
    CODE(arrays, whole=[ledger_hours, aside is not None], real=[start_soc, *levels])
