"""One hour of one bank, in steps that are compiled into the dispatch kernel.

Each step is a short loop over the lanes, rather than one long loop: the processor then works on
many lanes at a time instead of waiting for one lane's chain of divisions. The current is solved in
closed form. In order:

1. A bank that has risen to its reconnect level is connected again.
2. What the sources could give: amperes of chargers at their limit and of PWM controllers are worth
   what the bank's own voltage makes of them, ``OCV + R I`` up to absorption.
3. What pulses of the AC loads add.
4. While connected, demand is served first. What is left over charges; what is missing discharges.
5. Discharging is limited by the floor, the available tank, the bank's rating, and the low-voltage
   cut-off, ``(OCV - V_cut) / R``.
6. Charging is limited by the surplus, the chemistry (less in the cold), the room in the available
   tank, and absorption, ``(V_absorb - OCV) / R``.
7. Power and current agree through ``P = (OCV +- R I) I`` with OCV at the middle of the step; the
   tanks take the charge.
8. What stays unserved disconnects the bank until the reconnect level.
9. The hour is entered in the ledger.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from solarsim.compiled.machine_code import step
from solarsim.power.columns import EFFICIENCY_KNOTS, VOLTAGE_KNOTS, Column
from solarsim.power.ledger import Term

__all__ = ["SERIES", "one_hour", "settle_ahead"]

# Runs side by side.
LANES = 64
# Rows of lanes, each as its distance from the start of an array: a plain integer, which the
# compiler folds. Of `w`: first the state that a design carries from stretch to stretch, with its
# ledger, then what one hour works with.
(Q0, Q1, ON, CUT, SHORT, DAYS, RUNS) = (row * LANES for row in range(7))
TERMS = len(Term)
LEDGER = 7 * LANES
STATE = LEDGER + TERMS * LANES
(
    ETA, SOLAR, GIVEN, SURPLUS, DEFICIT, HEATING, REST, WARM_A, IN_A, OUT_A, MIDDLE,
    OCV, OUT_W, POWER, COLD_W, TAKEN, SERVED, STORED, LOST, ASKED, MISSED,
    BUS_V, SUN_W, STEADY_A, POST_A, POST_W, RUN_A, RUN_W, KEPT_A, KEPT_W,
) = (STATE + row * LANES for row in range(30))  # fmt: skip
WORK = STATE + 30 * LANES
# Of `h`, an hour's inputs: the series in the kernel's order, then what follows from them.
(
    OTHER, OTHER_A, DC, AC, LOSS, PULSE, PULSED, DRIVE_A, PLUG_A, PLUG_W, SHARE, WARM, HEAT,
    SUN, CHARGERS_A, DEMAND, BETWEEN,
) = (row * LANES for row in range(17))  # fmt: skip
SERIES, HOUR = 13, 17 * LANES
# Less is rounding.
_NO_SHORT_W = 1e-9


@step
def _hinges(w: Any, into: int, soc: int, d: Any, start: int, knots: int, n: int) -> None:
    """Value of a broken line at each lane: the value at empty, then knots, then slopes."""
    w[into : into + LANES] = d[start]
    for j in range(0, knots, 4):
        knot = start + 1 + j
        slope = knot + knots
        k0, k1, k2, k3 = d[knot], d[knot + 1], d[knot + 2], d[knot + 3]
        s0, s1, s2, s3 = d[slope], d[slope + 1], d[slope + 2], d[slope + 3]
        for i in range(n):
            x = w[soc + i]
            low = s0 * max(x - k0, 0.0) + s1 * max(x - k1, 0.0)
            high = s2 * max(x - k2, 0.0) + s3 * max(x - k3, 0.0)
            w[into + i] += low + high


@step
def _reconnect(w: Any, h: Any, d: Any, n: int) -> None:
    """Connect from the reconnect level on; a connected bank stays so."""
    tanks, reconnect = d[Column.TANKS_AH], d[Column.RECONNECT_DEPTH]
    for i in range(n):
        risen = w[Q0 + i] >= tanks * (1.0 - h[SHARE + i] * reconnect)
        w[ON + i] = 1.0 if risen else w[ON + i]
        w[ASKED + i] = h[DEMAND + i]
        w[MISSED + i] = w[GIVEN + i] = 0.0


@step
def _offer(w: Any, h: Any, d: Any, n: int) -> None:
    """Sources at the bus, and the coulombic efficiency at the middle of the step.

    What comes in amperes is worth what the bank's voltage makes of it; until that is known, it is
    taken at the voltage of a bank on charge, which sets no more than the middle of the step.
    """
    bus_v, panels, limit_a = d[Column.CHARGING_V], d[Column.PANELS], d[Column.CONTROLLER_A]
    pwm_a_per_w, mppt = d[Column.PWM_A_PER_W], d[Column.MPPT]
    available, tanks_inv = d[Column.AVAILABLE_AH], d[Column.TANKS_INVERSE]
    gain_inv, nominal_inv = d[Column.TANK_GAIN_INVERSE], d[Column.NOMINAL_INVERSE]
    charge_a, never_clipped_w = d[Column.CHARGE_A], limit_a * d[Column.CUTOFF_V]
    varying = 0
    for i in range(n):
        sun, chargers_a = panels * h[SUN + i], h[CHARGERS_A + i]
        steady_a = min(sun * pwm_a_per_w, limit_a) + h[OTHER_A + i] + chargers_a
        power = sun * mppt
        solar = min(power, limit_a * bus_v) + h[OTHER + i] + (steady_a - chargers_a) * bus_v
        given = solar + chargers_a * bus_v + h[PLUG_W + i]
        w[BUS_V + i], w[SUN_W + i], w[STEADY_A + i] = bus_v, power, steady_a
        w[SOLAR + i], w[GIVEN + i] = solar, given
        space_a = max(available - w[Q1 + i], 0.0) * gain_inv
        rise_a = max(given - h[DEMAND + i], 0.0) * nominal_inv
        rise_a = min(min(rise_a, charge_a), space_a)
        state = w[Q0 + i] * tanks_inv
        w[MIDDLE + i] = min(state + 0.5 * rise_a * tanks_inv, 1.0)
        varying += max(steady_a, power - never_clipped_w) > 0.0
    _hinges(w, ETA, MIDDLE, d, Column.EFFICIENCY_AT_EMPTY, EFFICIENCY_KNOTS, n)
    if varying > 0:
        _settle_voltage(w, h, d, n)


@step
def _settle_voltage(w: Any, h: Any, d: Any, n: int) -> None:
    """The bus voltage at which amperes and watts agree, and what the sources are worth there.

    ``V = OCV + R (A + P / V)`` with the amperes A of chargers at their limit and of PWM
    controllers, and the watts P of the others less the load; never above absorption.
    """
    _hinges(w, OCV, MIDDLE, d, Column.VOLTAGE_AT_EMPTY, VOLTAGE_KNOTS, n)
    r_in, r_out, limit_a = d[Column.CHARGE_OHM], d[Column.DISCHARGE_OHM], d[Column.CONTROLLER_A]
    absorption_v, cutoff_v = d[Column.ABSORPTION_V], d[Column.CUTOFF_V]
    for i in range(n):
        ocv, power, steady_a = w[OCV + i], w[SUN_W + i], w[STEADY_A + i]
        rest = h[OTHER + i] + h[PLUG_W + i] - w[ON + i] * h[DEMAND + i]
        ohm = r_in if steady_a * ocv + power + rest > 0.0 else r_out
        linear = ocv + ohm * steady_a
        free_v = 0.5 * (linear + np.sqrt(max(linear * linear + 4.0 * ohm * (power + rest), 0.0)))
        clipped = linear + ohm * limit_a
        clipped_v = 0.5 * (clipped + np.sqrt(max(clipped * clipped + 4.0 * ohm * rest, 0.0)))
        bus_v = clipped_v if power > limit_a * free_v else free_v
        bus_v = min(max(bus_v, cutoff_v), absorption_v)
        chargers_a = h[CHARGERS_A + i]
        solar = min(power, limit_a * bus_v) + h[OTHER + i] + (steady_a - chargers_a) * bus_v
        w[BUS_V + i], w[SOLAR + i] = bus_v, solar
        w[GIVEN + i] = solar + chargers_a * bus_v + h[PLUG_W + i]


@step
def settle_ahead(w: Any, h: Any, d: Any, n: int) -> None:
    """Find the hour's bus voltage ahead of it, as its inputs stand."""
    _reconnect(w, h, d, n)
    _offer(w, h, d, n)
    _settle_voltage(w, h, d, n)


@step
def _add_pulses(w: Any, h: Any, d: Any, n: int) -> None:
    """Add the pulses' mean square in the resistance, and what the bank takes between them."""
    bus_v, nominal_inv = d[Column.CHARGING_V], d[Column.NOMINAL_INVERSE]
    available, gain_inv = d[Column.AVAILABLE_AH], d[Column.TANK_GAIN_INVERSE]
    pulse_ohm = d[Column.DISCHARGE_OHM] * nominal_inv * nominal_inv
    for i in range(n):
        pulsed, given, demand = h[PULSED + i], w[GIVEN + i], h[DEMAND + i]
        low = h[BETWEEN + i] - given
        high = max(low + h[PULSE + i], 0.0)
        mean = max(demand - given, 0.0)
        square = pulsed * high * high - mean * mean
        square = square + (1.0 - pulsed) * max(low, 0.0) * max(low, 0.0)
        # What goes into the bank between the pulses only to come out again.
        spare = (1.0 - pulsed) * max(-low, 0.0)
        # Half of the spare comes before the pulse: a full bank has no room.
        space_a = max(available - w[Q1 + i], 0.0) * gain_inv
        missed = max(0.5 * spare - space_a * bus_v, 0.0)
        cycled = min(pulsed * high, spare - missed)
        lost = pulse_ohm * max(square, 0.0) + (1.0 / w[ETA + i] - 1.0) * cycled
        some = pulsed > 0.0
        w[ASKED + i] = demand + (lost if some else 0.0)
        w[MISSED + i] = missed if some else 0.0


@step
def _serve_first(w: Any, h: Any, d: Any, lit: bool, n: int) -> None:
    """Serve demand before the bank: what is left over, and what is missing."""
    if not lit:
        for i in range(n):
            w[DEFICIT + i] = w[ON + i] * w[ASKED + i]
        return
    heater_w = d[Column.HEATER_W]
    for i in range(n):
        net = w[GIVEN + i] - w[ON + i] * (w[ASKED + i] + w[MISSED + i])
        surplus = max(net, 0.0)
        heat = h[HEAT + i] * min(surplus, heater_w)
        w[HEATING + i] = heat
        w[SURPLUS + i] = surplus - heat
        w[DEFICIT + i] = max(-net, 0.0)


@step
def _limit_discharge(w: Any, h: Any, d: Any, n: int) -> None:
    """Limit discharging by floor, tank and rating; move the state to the middle of the step."""
    keep, mix = d[Column.TANK_KEEP], d[Column.TANK_MIX]
    tanks, tanks_inv = d[Column.TANKS_AH], d[Column.TANKS_INVERSE]
    available, gain_inv = d[Column.AVAILABLE_AH], d[Column.TANK_GAIN_INVERSE]
    floor, discharge_a = d[Column.FLOOR_DEPTH], d[Column.DISCHARGE_A]
    nominal_inv = d[Column.NOMINAL_INVERSE]
    for i in range(n):
        q0, share = w[Q0 + i], h[SHARE + i]
        rest = w[Q1 + i] * keep + q0 * mix
        w[REST + i] = rest
        floor_a = q0 - tanks * (1.0 - share * floor)
        tank_a = (rest - (1.0 - share) * available) * gain_inv
        out_a = max(min(min(floor_a, tank_a), discharge_a), 0.0) * w[ON + i]
        w[OUT_A + i] = out_a
        out_ah = min(w[DEFICIT + i] * nominal_inv, out_a)
        w[MIDDLE + i] = min(max((q0 - 0.5 * out_ah) * tanks_inv, 0.0), 1.0)


@step
def _limit_charge(w: Any, h: Any, d: Any, n: int) -> None:
    """Limit charging by tank, chemistry and cold; move the state to the middle of the step."""
    available, gain_inv = d[Column.AVAILABLE_AH], d[Column.TANK_GAIN_INVERSE]
    charge_a, heater_inv = d[Column.CHARGE_A], d[Column.HEATER_INVERSE]
    tanks_inv, nominal_inv = d[Column.TANKS_INVERSE], d[Column.NOMINAL_INVERSE]
    for i in range(n):
        eta, warm = w[ETA + i], h[WARM + i]
        warmth = warm + (1.0 - warm) * w[HEATING + i] * heater_inv
        room_a = max(available - w[REST + i], 0.0) * gain_inv / eta
        warm_a = min(room_a, charge_a)
        in_a = min(warm_a, charge_a * warmth)
        w[WARM_A + i] = warm_a
        w[IN_A + i] = in_a
        in_ah = eta * min(w[SURPLUS + i] * nominal_inv, in_a)
        w[MIDDLE + i] = min(w[MIDDLE + i] + 0.5 * in_ah * tanks_inv, 1.0)


@step
def _limit_by_voltage(w: Any, d: Any, lit: bool, n: int) -> None:
    """Power in and out: sag cuts off, absorption tapers, both at the middle's voltage."""
    _hinges(w, OCV, MIDDLE, d, Column.VOLTAGE_AT_EMPTY, VOLTAGE_KNOTS, n)
    r_out, r_out_inv = d[Column.DISCHARGE_OHM], d[Column.DISCHARGE_INVERSE]
    r_in, r_in_inv = d[Column.CHARGE_OHM], d[Column.CHARGE_INVERSE]
    absorption_v, cutoff_v = d[Column.ABSORPTION_V], d[Column.CUTOFF_V]
    for i in range(n):
        ocv = w[OCV + i]
        out_a = min(w[OUT_A + i], max(ocv - cutoff_v, 0.0) * r_out_inv)
        out_w = min(w[DEFICIT + i], (ocv - r_out * out_a) * out_a)
        w[OUT_W + i] = out_w
        w[POWER + i] = -out_w
    if not lit:
        return
    for i in range(n):
        ocv = w[OCV + i]
        taper_a = max(absorption_v - ocv, 0.0) * r_in_inv
        warm_a = min(w[WARM_A + i], taper_a)
        in_a = min(w[IN_A + i], taper_a)
        surplus = w[SURPLUS + i]
        into_w = min(surplus, (ocv + r_in * in_a) * in_a)
        w[POWER + i] += into_w
        w[COLD_W + i] = min(surplus, (ocv + r_in * warm_a) * warm_a) - into_w


@step
def _move_charge(w: Any, d: Any, n: int) -> None:
    """Current from power, ``P = (OCV +- R I) I``; then both tanks and their self-discharge."""
    r_in, r_out = d[Column.CHARGE_OHM], d[Column.DISCHARGE_OHM]
    tanks, available = d[Column.TANKS_AH], d[Column.AVAILABLE_AH]
    gain_h, hold = d[Column.TANK_GAIN_H], d[Column.KEEP_PER_H]
    for i in range(n):
        ocv = w[OCV + i]
        power = w[POWER + i]
        charging = power > 0.0
        ohm = r_in if charging else r_out
        root = np.sqrt(max(ocv * ocv + 4.0 * ohm * power, 0.0))
        current = 2.0 * power / (ocv + root)
        stored = (w[ETA + i] if charging else 1.0) * current
        q0_next = min(max(w[Q0 + i] + stored, 0.0), tanks)
        q1_next = max(w[REST + i] + stored * gain_h, 0.0)
        leak = q0_next * (1.0 - hold)
        w[Q0 + i] = q0_next - leak
        w[Q1 + i] = min(q1_next, available) * hold
        w[STORED + i] = ocv * (stored - leak)
        lost = ohm * current * current + (current - stored) * ocv
        w[LOST + i] = lost + ocv * leak


@step
def _count_taken(w: Any, n: int) -> None:
    """What was taken from the sources; a heater's energy is the bank's loss."""
    for i in range(n):
        taken = w[ON + i] * w[ASKED + i] - (w[DEFICIT + i] - w[OUT_W + i])
        w[TAKEN + i] = taken + w[HEATING + i] + w[POWER + i]
        w[LOST + i] += w[HEATING + i]


@step
def _cut_off(w: Any, h: Any, hour: int, n: int) -> None:
    """Share of the demand that was served; a bank that fell short is cut off."""
    short_lanes = 0
    for i in range(n):
        w[SERVED + i] = w[ON + i]
        short_lanes += w[DEFICIT + i] - w[OUT_W + i] > _NO_SHORT_W
    if short_lanes == 0:
        return
    for i in range(n):
        short = w[DEFICIT + i] - w[OUT_W + i]
        short = short if short > _NO_SHORT_W else 0.0
        cut = short > 1e-9 * (1.0 + h[DEMAND + i])
        on = w[ON + i]
        served = on * max(1.0 - short / max(w[ASKED + i], 1e-12), 0.0)
        w[SERVED + i] = served
        w[ON + i] = 0.0 if cut else on
        w[CUT + i] = min(w[CUT + i], (hour + served) if cut else 1e9)


@step
def _enter_sources(w: Any, h: Any, d: Any, n: int) -> None:
    """Enter what the sources gave: sun is used first, then the alternator, then shore power."""
    pwm_a_per_panel_w = d[Column.PANELS] * d[Column.PWM_A_PER_W]
    for i in range(n):
        bus_v = w[BUS_V + i]
        sun_a = pwm_a_per_panel_w * h[SUN + i] + h[OTHER_A + i]
        available = w[SUN_W + i] + h[OTHER + i] + sun_a * bus_v
        solar, taken = w[SOLAR + i], w[TAKEN + i]
        solar_used = min(solar, max(taken, 0.0))
        left = max(taken - solar_used, 0.0)
        drive, plug = h[DRIVE_A + i] * bus_v, h[PLUG_A + i] * bus_v + h[PLUG_W + i]
        drive_used = min(drive, left)
        plug_used = min(plug, max(left - drive_used, 0.0))
        refused = max(solar - solar_used, 0.0)
        refused_cold = min(refused, w[COLD_W + i])
        w[LEDGER + Term.SOLAR_AVAILABLE * LANES + i] += available
        w[LEDGER + Term.SOLAR_USED * LANES + i] += solar_used
        w[LEDGER + Term.SOLAR_CLIPPED * LANES + i] += available - solar
        w[LEDGER + Term.SOLAR_REFUSED_FULL * LANES + i] += refused - refused_cold
        w[LEDGER + Term.SOLAR_REFUSED_COLD * LANES + i] += refused_cold
        w[LEDGER + Term.ALTERNATOR * LANES + i] += drive_used
        w[LEDGER + Term.SHORE * LANES + i] += plug_used
        w[LEDGER + Term.ALTERNATOR_REFUSED * LANES + i] += drive - drive_used
        w[LEDGER + Term.SHORE_REFUSED * LANES + i] += plug - plug_used


@step
def _enter_uses(w: Any, h: Any, n: int) -> None:
    """Enter loads, losses and the change in store, and whether the day fell short."""
    for i in range(n):
        served, dc, ac = w[SERVED + i], h[DC + i], h[AC + i]
        demand = h[DEMAND + i]
        unserved = (1.0 - served) * (dc + ac)
        w[SHORT + i] = 1.0 if unserved > 1e-9 * (1.0 + demand) else w[SHORT + i]
        w[LEDGER + Term.LOAD_DC * LANES + i] += served * dc
        w[LEDGER + Term.LOAD_AC * LANES + i] += served * ac
        w[LEDGER + Term.INVERTER_LOSS * LANES + i] += served * h[LOSS + i]
        lost = w[LOST + i] + served * (w[ASKED + i] - demand)
        w[LEDGER + Term.BATTERY_LOSS * LANES + i] += lost
        w[LEDGER + Term.STORED_CHANGE * LANES + i] += w[STORED + i]
        w[LEDGER + Term.UNSERVED * LANES + i] += unserved


@step
def one_hour(
    w: Any, x: Any, j: int, d: Any, lit: bool, pulsing: bool, hour: int, counts: bool, n: int
) -> None:
    """One hour of one design; `counts` where the ledger covers it."""
    h = x[j]
    _reconnect(w, h, d, n)
    if lit:
        _offer(w, h, d, n)
    if pulsing:
        _add_pulses(w, h, d, n)
    _serve_first(w, h, d, lit, n)
    _limit_discharge(w, h, d, n)
    if lit:
        _limit_charge(w, h, d, n)
    _limit_by_voltage(w, d, lit, n)
    _move_charge(w, d, n)
    if lit and counts:
        _count_taken(w, n)
    _cut_off(w, h, hour, n)
    if lit and counts:
        _enter_sources(w, h, d, n)
    if counts:
        _enter_uses(w, h, n)
