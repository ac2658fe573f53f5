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

import zlib
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.power import kernel_hour as at
from solarsim.power.columns import Column
from solarsim.power.kernel_hour import kept_on_disk, one_hour, step

__all__ = ["dispatch_kernel"]

# Hours laid out at a time: whole days, and little enough for the cache.
_TILE_H = 48
# A compiled kernel kept on disk notices edits in this file alone. So it is kept under the checksum
# of the other files it is made of, which goes in as its last parameter.
_MADE_OF = ("columns.py", "kernel_hour.py", "ledger.py")
_SOURCES = zlib.crc32(b"".join(Path(__file__).with_name(name).read_bytes() for name in _MADE_OF))


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
    x: Any, lit: Any, pulsing: Any, first: int, lanes: int, begin: int, end: int, hourly: Any
) -> None:
    """Lay a stretch of hours out by lanes; lanes past the last run repeat it."""
    for row in range(len(hourly)):
        _turn(x, row * at.LANES, hourly[row], first, lanes, begin, end)
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
        lit[j] = given > 0
        pulsing[j] = pulses > 0


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


@kept_on_disk
def dispatch_kernel(
    panel_w: Any,
    hourly: Any,
    designs: Any,
    variants: Any,
    start_soc: float,
    ledger_hours: int,
    ledger_wh: Any,
    first_cut_h: Any,
    depletion_days: Any,
    soc: Any,
    sources: int = _SOURCES,
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
    sources : int
        Never given: what the kernel on disk is known by.
    """
    count, (runs, hours), (stamps, kept) = len(designs), panel_w.shape[1:], soc.shape[1:]
    x = np.empty((_TILE_H, at.HOUR))
    w = np.ones(at.WORK)
    states = np.empty((count, at.STATE))
    sunny, charged, pulsing = np.empty((3, _TILE_H), dtype=np.bool_)
    done = np.empty(count, dtype=np.bool_)
    for first in range(0, runs, at.LANES):
        lanes = min(at.LANES, runs - first)
        n = (lanes + 15) // 16 * 16  # whole vectors, none of them empty
        done[:] = False
        _arrive(states, designs, start_soc, hours)
        soc[first : first + lanes, 0] = start_soc
        for begin in range(0, hours, _TILE_H):
            end = min(begin + _TILE_H, hours)
            _lay_out(x, charged, pulsing, first, lanes, begin, end, hourly)
            variant = -1
            for index in range(count):
                if done[index]:
                    continue
                if variants[index] != variant:
                    variant = variants[index]
                    _turn(x, at.SUN, panel_w[variant], first, lanes, begin, end)
                    for j in range(end - begin):
                        sunny[j] = x[j, at.SUN : at.SUN + at.LANES].max() > 0.0
                d = designs[index]
                w[: at.STATE] = states[index]
                for hour in range(begin, end):
                    j = hour - begin
                    lit, counts = sunny[j] or charged[j], hour < ledger_hours
                    one_hour(w, x, j, d, lit, pulsing[j], hour, counts, n)
                    if index < kept and hour + 1 < stamps:
                        for i in range(lanes):
                            state = w[at.Q0 + i] * d[Column.TANKS_INVERSE]
                            soc[first + i, hour + 1, index] = state
                    if hour % 24 == 23 or hour == hours - 1:
                        for i in range(n):
                            w[at.DAYS + i] += w[at.SHORT + i]
                            w[at.SHORT + i] = 0.0
                states[index] = w[: at.STATE]
                seen = end >= ledger_hours and (index >= kept or end >= stamps - 1)
                done[index] = seen and w[at.CUT : at.CUT + at.LANES].max() < hours
        _give_out(states, first, lanes, ledger_wh, first_cut_h, depletion_days)
