"""The dispatch kernel: every hour of every run for every design.

All compiled code lives in this one module, because a cached kernel does not notice an edit in
another file. The kernel never validates: `solarsim.power.dispatch` does. Its readable twin, with
branches, stands in the tests.

Up to 64 runs go through side by side, one design after the other. The short loops over these
lanes turn into vector instructions because they hold no branch on a bank's state, look nothing up
by a computed index (curves are sums of hinges ``max(0, soc - knot)``, exact at the data's own
knots), and keep everything in one flat array whose rows lie a constant distance apart. What is the
same for all lanes is a real branch: an hour without sun and chargers skips all about charging. A
stretch of hours is laid out by lanes once and serves all designs. A design is done when its ledger
is full and all its lanes have met their first cut-off.

Arithmetic is strict IEEE (no contraction into fused operations, no reciprocals in place of
divisions), so that a run's answer does not depend on the runs beside it.

One hour of one bank, with the current solved in closed form:

1. What the chargers could give, their amperes at the voltage of a bank on charge.
2. While connected, demand is served first. What is left over charges; what is missing discharges.
3. Charging is limited by the surplus, the chemistry (less in the cold), the room in the available
   tank, and absorption, ``(V_absorb - OCV) / R``.
4. Discharging is limited by the floor, the available tank, the bank's rating, and the low-voltage
   cut-off, ``(OCV - V_cut) / R``. What that leaves unserved disconnects the bank until the
   reconnect level.
5. Power and current agree through ``P = (OCV +- R I) I`` with OCV at the middle of the step.
"""

from __future__ import annotations

from typing import Any

import numba
import numpy as np

from solarsim.power.columns import EFFICIENCY_KNOTS, VOLTAGE_KNOTS, Column
from solarsim.power.ledger import Term

__all__ = ["dispatch_kernel"]

# Runs side by side, and hours laid out at a time: whole days, and little enough for the cache.
_L = 64
_TILE_H = 48
_TERMS = len(Term)
# Less is rounding.
_NO_SHORT_W = 1e-9
# Plain integers, which the compiler folds into constant distances between rows: first the state
# that a design carries from stretch to stretch with its ledger, then what one hour works with.
(_Q0, _Q1, _ON, _CUT, _SHORT, _DAYS) = (row * _L for row in range(6))
_LEDGER = 6 * _L
_STATE = _LEDGER + _TERMS * _L
(
    _ETA, _SOLAR, _GIVEN, _SURPLUS, _DEFICIT, _HEATING, _REST, _WARM_A, _IN_A, _OUT_A, _MIDDLE,
    _OCV, _OUT_W, _POWER, _COLD_W, _TAKEN, _SERVED, _STORED, _LOST, _ASKED, _MISSED,
) = (_STATE + row * _L for row in range(21))  # fmt: skip
_WORK = _STATE + 21 * _L
# Rows of an hour's inputs: the series in their order, then what follows from them.
(
    _OTHER, _DC, _AC, _LOSS, _PULSE, _PULSED, _DRIVE_A, _PLUG_A, _SHARE, _WARM, _HEAT,
    _SUN, _CHARGERS_A, _DEMAND, _BETWEEN,
) = (row * _L for row in range(15))  # fmt: skip
_HOUR = 15 * _L

_MATH = {"nnan", "ninf", "nsz"}
_compiled = numba.njit(nogil=True, cache=True, error_model="numpy", fastmath=_MATH)


@_compiled
def _lay_out(
    x: Any, lit: Any, pulsing: Any, first: int, lanes: int, begin: int, end: int, hourly: Any
) -> None:
    """Lay a stretch of hours out by lanes; lanes past the last run repeat it."""
    for row in range(len(hourly)):
        _turn(x, row * _L, hourly[row], first, lanes, begin, end)
    for j in range(end - begin):
        h = x[j]
        given, pulses = 0, 0
        for i in range(_L):
            demand = h[_DC + i] + h[_AC + i] + h[_LOSS + i]
            chargers_a = h[_DRIVE_A + i] + h[_PLUG_A + i]
            h[_CHARGERS_A + i] = chargers_a
            h[_DEMAND + i] = demand
            h[_BETWEEN + i] = max(demand - h[_PULSED + i] * h[_PULSE + i], 0.0)
            given += h[_OTHER + i] + chargers_a > 0.0
            pulses += h[_PULSED + i] > 0.0
        lit[j] = given > 0
        pulsing[j] = pulses > 0


@_compiled
def _turn(x: Any, row: int, values: Any, first: int, lanes: int, begin: int, end: int) -> None:
    """Lay one series out by lanes, eight lanes at a time for the cache's sake."""
    if values.shape[0] == 1:
        for j in range(end - begin):
            h = x[j]
            h[row : row + _L] = values[0, begin + j]
        return
    for group in range(0, _L, 8):
        for j in range(end - begin):
            h = x[j]
            for i in range(group, group + 8):
                h[row + i] = values[first + min(i, lanes - 1), begin + j]


@_compiled
def _hinges(w: Any, into: int, at: int, design: Any, start: int, knots: int, n: int) -> None:
    """Value of a broken line at each lane: the value at empty, then knots, then slopes."""
    w[into : into + _L] = design[start]
    for j in range(0, knots, 4):
        knot = start + 1 + j
        slope = knot + knots
        k0, k1, k2, k3 = design[knot], design[knot + 1], design[knot + 2], design[knot + 3]
        s0, s1, s2, s3 = design[slope], design[slope + 1], design[slope + 2], design[slope + 3]
        for i in range(n):
            x = w[at + i]
            low = s0 * max(x - k0, 0.0) + s1 * max(x - k1, 0.0)
            high = s2 * max(x - k2, 0.0) + s3 * max(x - k3, 0.0)
            w[into + i] += low + high


@_compiled
def _enter(w: Any, h: Any, lit: bool, panels: float, bus_v: float, n: int) -> None:
    """Enter an hour in the ledger."""
    if lit:
        for i in range(n):
            # Sun is used first, then the alternator, then shore power.
            available = panels * h[_SUN + i] + h[_OTHER + i]
            solar, taken = w[_SOLAR + i], w[_TAKEN + i]
            solar_used = min(solar, max(taken, 0.0))
            left = max(taken - solar_used, 0.0)
            drive_used = min(h[_DRIVE_A + i] * bus_v, left)
            plug_used = min(h[_PLUG_A + i] * bus_v, max(left - drive_used, 0.0))
            refused = max(solar - solar_used, 0.0)
            refused_cold = min(refused, w[_COLD_W + i])
            w[_LEDGER + i] += available
            w[_LEDGER + 1 * _L + i] += solar_used
            w[_LEDGER + 2 * _L + i] += available - solar
            w[_LEDGER + 3 * _L + i] += refused - refused_cold
            w[_LEDGER + 4 * _L + i] += refused_cold
            w[_LEDGER + 5 * _L + i] += drive_used
            w[_LEDGER + 6 * _L + i] += plug_used
    for i in range(n):
        served, dc, ac = w[_SERVED + i], h[_DC + i], h[_AC + i]
        demand = h[_DEMAND + i]
        unserved = (1.0 - served) * (dc + ac)
        w[_SHORT + i] = 1.0 if unserved > 1e-9 * (1.0 + demand) else w[_SHORT + i]
        w[_LEDGER + 7 * _L + i] += served * dc
        w[_LEDGER + 8 * _L + i] += served * ac
        w[_LEDGER + 9 * _L + i] += served * h[_LOSS + i]
        w[_LEDGER + 10 * _L + i] += w[_LOST + i] + served * (w[_ASKED + i] - demand)
        w[_LEDGER + 11 * _L + i] += w[_STORED + i]
        w[_LEDGER + 12 * _L + i] += unserved


@_compiled
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
) -> None:
    """Fill the outputs for all runs and designs.

    Parameters
    ----------
    panel_w : ndarray
        ``(variants, runs, hours)`` power of one panel at the controller's output, W.
    hourly : tuple of ndarray
        Each ``(runs or 1, hours)``: power of other arrays after their own controllers, W; DC and AC
        demand and the inverter's own loss, W; power of the hour's pulses, W, and the share of the
        hour they take (their mean is within the demand); mean current that alternator and shore
        charger can give, A; the shares of capacity and of charging current that the bank's
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
    """
    count, (runs, hours), (stamps, kept) = len(designs), panel_w.shape[1:], soc.shape[1:]
    x = np.empty((_TILE_H, _HOUR))
    w = np.ones(_WORK)
    states = np.empty((count, _STATE))
    sunny, charged, pulsing = np.empty((3, _TILE_H), dtype=np.bool_)
    done = np.empty(count, dtype=np.bool_)
    for first in range(0, runs, _L):
        lanes = min(_L, runs - first)
        n = (lanes + 15) // 16 * 16  # whole vectors, none of them empty
        done[:] = False
        states[:] = 0.0
        for index in range(count):
            states[index, _Q0 : _Q0 + _L] = start_soc * designs[index, Column.TANKS_AH]
            states[index, _Q1 : _Q1 + _L] = start_soc * designs[index, Column.AVAILABLE_AH]
            states[index, _ON : _ON + _L] = 1.0
            states[index, _CUT : _CUT + _L] = hours
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
                    _turn(x, _SUN, panel_w[variant], first, lanes, begin, end)
                    for j in range(end - begin):
                        sunny[j] = x[j, _SUN : _SUN + _L].max() > 0.0
                d = designs[index]
                w[:_STATE] = states[index]
                tanks, tanks_inv = d[Column.TANKS_AH], d[Column.TANKS_INVERSE]
                keep, mix = d[Column.TANK_KEEP], d[Column.TANK_MIX]
                gain_h, gain_inv = d[Column.TANK_GAIN_H], d[Column.TANK_GAIN_INVERSE]
                available, hold = d[Column.AVAILABLE_AH], d[Column.KEEP_PER_H]
                r_out, r_out_inv = d[Column.DISCHARGE_OHM], d[Column.DISCHARGE_INVERSE]
                r_in, r_in_inv = d[Column.CHARGE_OHM], d[Column.CHARGE_INVERSE]
                absorption_v, cutoff_v = d[Column.ABSORPTION_V], d[Column.CUTOFF_V]
                charge_a, discharge_a = d[Column.CHARGE_A], d[Column.DISCHARGE_A]
                floor, reconnect = d[Column.FLOOR_DEPTH], d[Column.RECONNECT_DEPTH]
                controller_w = d[Column.CONTROLLER_A] * d[Column.CHARGING_V]
                panels, bus_v = d[Column.PANELS], d[Column.CHARGING_V]
                heater_w, heater_inv = d[Column.HEATER_W], d[Column.HEATER_INVERSE]
                nominal_inv = d[Column.NOMINAL_INVERSE]
                pulse_ohm = r_out * nominal_inv * nominal_inv
                for hour in range(begin, end):
                    h = x[hour - begin]
                    lit = sunny[hour - begin] or charged[hour - begin]
                    # Short loops over the lanes instead of a long one: the processor works on
                    # many lanes at a time rather than waiting for one lane's chain of divisions.
                    for i in range(n):
                        # Connected while above the floor, again from the reconnect level on.
                        risen = w[_Q0 + i] >= tanks * (1.0 - h[_SHARE + i] * reconnect)
                        w[_ON + i] = 1.0 if risen else w[_ON + i]
                        w[_ASKED + i] = h[_DEMAND + i]
                        w[_MISSED + i] = w[_GIVEN + i] = 0.0
                    if lit:
                        for i in range(n):
                            # Sources at the bus.
                            solar = min(panels * h[_SUN + i], controller_w) + h[_OTHER + i]
                            given = solar + h[_CHARGERS_A + i] * bus_v
                            w[_SOLAR + i], w[_GIVEN + i] = solar, given
                            # Where the efficiency is taken: at the middle of the step.
                            space_a = max(available - w[_Q1 + i], 0.0) * gain_inv
                            rise_a = max(given - h[_DEMAND + i], 0.0) * nominal_inv
                            rise_a = min(min(rise_a, charge_a), space_a)
                            state = w[_Q0 + i] * tanks_inv
                            w[_MIDDLE + i] = min(state + 0.5 * rise_a * tanks_inv, 1.0)
                        _hinges(
                            w, _ETA, _MIDDLE, d, Column.EFFICIENCY_AT_EMPTY, EFFICIENCY_KNOTS, n
                        )
                    if pulsing[hour - begin]:
                        for i in range(n):
                            # What pulses add: their mean square in the resistance, and what goes
                            # into the bank between them only to come out again.
                            pulsed, given, demand = h[_PULSED + i], w[_GIVEN + i], h[_DEMAND + i]
                            low = h[_BETWEEN + i] - given
                            high = max(low + h[_PULSE + i], 0.0)
                            mean = max(demand - given, 0.0)
                            square = pulsed * high * high - mean * mean
                            square = square + (1.0 - pulsed) * max(low, 0.0) * max(low, 0.0)
                            spare = (1.0 - pulsed) * max(-low, 0.0)
                            # Half of the spare comes before the pulse: a full bank has no room.
                            space_a = max(available - w[_Q1 + i], 0.0) * gain_inv
                            missed = max(0.5 * spare - space_a * bus_v, 0.0)
                            cycled = min(pulsed * high, spare - missed)
                            lost = pulse_ohm * max(square, 0.0) + (1.0 / w[_ETA + i] - 1.0) * cycled
                            some = pulsed > 0.0
                            w[_ASKED + i] = demand + (lost if some else 0.0)
                            w[_MISSED + i] = missed if some else 0.0
                    if lit:
                        for i in range(n):
                            # Demand is served first.
                            net = w[_GIVEN + i] - w[_ON + i] * (w[_ASKED + i] + w[_MISSED + i])
                            surplus = max(net, 0.0)
                            heat = h[_HEAT + i] * min(surplus, heater_w)
                            w[_HEATING + i] = heat
                            w[_SURPLUS + i] = surplus - heat
                            w[_DEFICIT + i] = max(-net, 0.0)
                    else:
                        for i in range(n):
                            w[_DEFICIT + i] = w[_ON + i] * w[_ASKED + i]
                    for i in range(n):
                        # Discharging limits of floor, tank and rating.
                        q0, share = w[_Q0 + i], h[_SHARE + i]
                        rest = w[_Q1 + i] * keep + q0 * mix
                        w[_REST + i] = rest
                        floor_a = q0 - tanks * (1.0 - share * floor)
                        tank_a = (rest - (1.0 - share) * available) * gain_inv
                        out_a = max(min(min(floor_a, tank_a), discharge_a), 0.0) * w[_ON + i]
                        w[_OUT_A + i] = out_a
                        out_ah = min(w[_DEFICIT + i] * nominal_inv, out_a)
                        w[_MIDDLE + i] = min(max((q0 - 0.5 * out_ah) * tanks_inv, 0.0), 1.0)
                    if lit:
                        for i in range(n):
                            # Charging limits of tank, chemistry and cold.
                            eta, warm = w[_ETA + i], h[_WARM + i]
                            warmth = warm + (1.0 - warm) * w[_HEATING + i] * heater_inv
                            room_a = max(available - w[_REST + i], 0.0) * gain_inv / eta
                            warm_a = min(room_a, charge_a)
                            in_a = min(warm_a, charge_a * warmth)
                            w[_WARM_A + i] = warm_a
                            w[_IN_A + i] = in_a
                            in_ah = eta * min(w[_SURPLUS + i] * nominal_inv, in_a)
                            w[_MIDDLE + i] = min(w[_MIDDLE + i] + 0.5 * in_ah * tanks_inv, 1.0)
                    # Open-circuit voltage at the middle of the step.
                    _hinges(w, _OCV, _MIDDLE, d, Column.VOLTAGE_AT_EMPTY, VOLTAGE_KNOTS, n)
                    for i in range(n):
                        # Sag cuts off.
                        ocv = w[_OCV + i]
                        out_a = min(w[_OUT_A + i], max(ocv - cutoff_v, 0.0) * r_out_inv)
                        out_w = min(w[_DEFICIT + i], (ocv - r_out * out_a) * out_a)
                        w[_OUT_W + i] = out_w
                        w[_POWER + i] = -out_w
                    if lit:
                        for i in range(n):
                            # Absorption tapers.
                            ocv = w[_OCV + i]
                            taper_a = max(absorption_v - ocv, 0.0) * r_in_inv
                            warm_a = min(w[_WARM_A + i], taper_a)
                            in_a = min(w[_IN_A + i], taper_a)
                            surplus = w[_SURPLUS + i]
                            into_w = min(surplus, (ocv + r_in * in_a) * in_a)
                            w[_POWER + i] += into_w
                            w[_COLD_W + i] = min(surplus, (ocv + r_in * warm_a) * warm_a) - into_w
                    for i in range(n):
                        # P = (OCV +- R I) I.
                        ocv = w[_OCV + i]
                        power = w[_POWER + i]
                        charging = power > 0.0
                        ohm = r_in if charging else r_out
                        root = np.sqrt(max(ocv * ocv + 4.0 * ohm * power, 0.0))
                        current = 2.0 * power / (ocv + root)

                        # Tanks, then self-discharge of both.
                        stored = (w[_ETA + i] if charging else 1.0) * current
                        q0_next = min(max(w[_Q0 + i] + stored, 0.0), tanks)
                        q1_next = max(w[_REST + i] + stored * gain_h, 0.0)
                        leak = q0_next * (1.0 - hold)
                        w[_Q0 + i] = q0_next - leak
                        w[_Q1 + i] = min(q1_next, available) * hold
                        w[_STORED + i] = ocv * (stored - leak)
                        lost = ohm * current * current + (current - stored) * ocv
                        w[_LOST + i] = lost + ocv * leak
                    if lit and hour < ledger_hours:
                        for i in range(n):
                            # For the ledger.
                            taken = w[_ON + i] * w[_ASKED + i] - (w[_DEFICIT + i] - w[_OUT_W + i])
                            w[_TAKEN + i] = taken + w[_HEATING + i] + w[_POWER + i]
                            w[_LOST + i] += w[_HEATING + i]
                    short_lanes = 0
                    for i in range(n):
                        # What was served, and the cut-off.
                        w[_SERVED + i] = w[_ON + i]
                        short_lanes += w[_DEFICIT + i] - w[_OUT_W + i] > _NO_SHORT_W
                    if short_lanes > 0:
                        for i in range(n):
                            short = w[_DEFICIT + i] - w[_OUT_W + i]
                            short = short if short > _NO_SHORT_W else 0.0
                            cut = short > 1e-9 * (1.0 + h[_DEMAND + i])
                            on = w[_ON + i]
                            served = on * max(1.0 - short / max(w[_ASKED + i], 1e-12), 0.0)
                            w[_SERVED + i] = served
                            w[_ON + i] = 0.0 if cut else on
                            w[_CUT + i] = min(w[_CUT + i], (hour + served) if cut else 1e9)
                    if hour < ledger_hours:
                        _enter(w, h, lit, panels, bus_v, n)
                    if index < kept and hour + 1 < stamps:
                        for i in range(lanes):
                            soc[first + i, hour + 1, index] = w[_Q0 + i] * tanks_inv
                    if hour % 24 == 23 or hour == hours - 1:
                        for i in range(n):
                            w[_DAYS + i] += w[_SHORT + i]
                            w[_SHORT + i] = 0.0
                states[index] = w[:_STATE]
                seen = end >= ledger_hours and (index >= kept or end >= stamps - 1)
                done[index] = seen and w[_CUT : _CUT + _L].max() < hours
        # A few designs at a time: the states lie lane by lane, the outputs design by design.
        for group in range(0, count, 8):
            members = range(group, min(group + 8, count))
            for i in range(lanes):
                for index in members:
                    first_cut_h[first + i, index] = states[index, _CUT + i]
                    depletion_days[first + i, index] = states[index, _DAYS + i]
                for term in range(_TERMS):
                    for index in members:
                        ledger_wh[first + i, term, index] = states[index, _LEDGER + term * _L + i]
