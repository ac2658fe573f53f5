"""The dispatch kernel: every hour of every run for every design.

All compiled code lives in this one module, because a cached kernel does not notice an edit in
another file. The kernel never validates: `solarsim.power.dispatch` does. Its readable twin, with
branches, stands in the tests.

Designs go through in blocks of sixteen lanes. The loop over lanes turns into vector instructions
because it holds no branch on a design's state, looks nothing up by a computed index (curves are
sums of hinges ``max(0, soc - knot)``, exact at the data's own knots), and keeps everything of a
block in one flat array whose rows lie a constant distance apart.

One hour of one bank, with the current solved in closed form:

1. What the chargers could give: amperes at the voltage of a bank on charge.
2. While connected, demand is served first. What is left over charges; what is missing discharges.
3. Charging current is the least of the surplus, the chemistry's limit (less in the cold), the
   absorption limit ``(V_absorb - OCV) / R`` and what the available tank can take in the hour.
4. Discharging current is limited by the floor, by the available tank, by the low-voltage cut-off
   ``(OCV - V_cut) / R`` and by the bank's rating. What that leaves unserved disconnects the bank
   until the reconnect level.
5. Power and current agree through ``P = (OCV +- R I) I`` with OCV at the middle of the step.
"""

from __future__ import annotations

import enum
from typing import Any

import numba
import numpy as np

from solarsim.power.ledger import Term

__all__ = ["EFFICIENCY_KNOTS", "LANES", "VOLTAGE_KNOTS", "Column", "dispatch_kernel"]

LANES = 16
VOLTAGE_KNOTS = 12
EFFICIENCY_KNOTS = 4


class Column(enum.IntEnum):
    """Rows of a block: the design's numbers first, then the kernel's own."""

    TANKS_AH = 0
    TANKS_INVERSE = 1
    TANK_KEEP = 2
    TANK_MIX = 3
    TANK_GAIN_H = 4
    TANK_GAIN_INVERSE = 5
    AVAILABLE_AH = 6
    DISCHARGE_OHM = 7
    DISCHARGE_INVERSE = 8
    CHARGE_OHM = 9
    CHARGE_INVERSE = 10
    ABSORPTION_V = 11
    CUTOFF_V = 12
    CHARGE_A = 13
    DISCHARGE_A = 14
    FLOOR_DEPTH = 15
    RECONNECT_DEPTH = 16
    KEEP_PER_H = 17
    CONTROLLER_A = 18
    PANELS = 19
    HEATER_W = 20
    HEATER_INVERSE = 21
    CHARGING_V = 22
    NOMINAL_INVERSE = 23
    VOLTAGE_AT_EMPTY = 24
    VOLTAGE_KNOT = 25
    VOLTAGE_SLOPE = VOLTAGE_KNOT + VOLTAGE_KNOTS
    EFFICIENCY_AT_EMPTY = VOLTAGE_SLOPE + VOLTAGE_KNOTS
    EFFICIENCY_KNOT = EFFICIENCY_AT_EMPTY + 1
    EFFICIENCY_SLOPE = EFFICIENCY_KNOT + EFFICIENCY_KNOTS
    DESIGN_END = EFFICIENCY_SLOPE + EFFICIENCY_KNOTS


# Plain integers, which the compiler folds into constant distances between rows.
_L = LANES
# In the order of Column.
(
    _TANKS, _TANKS_INV, _KEEP, _MIX, _GAIN, _GAIN_INV, _AVAILABLE, _R_OUT, _R_OUT_INV, _R_IN,
    _R_IN_INV, _V_ABS, _V_CUT, _A_IN, _A_OUT, _FLOOR, _RECONNECT, _HOLD, _A_CTRL, _PANELS, _HEAT,
    _HEAT_INV, _V_BUS, _V_NOM_INV,
) = (row * _L for row in range(Column.VOLTAGE_AT_EMPTY))  # fmt: skip
_V_EMPTY = Column.VOLTAGE_AT_EMPTY * _L
_V_KNOT = Column.VOLTAGE_KNOT * _L
_V_SLOPE = Column.VOLTAGE_SLOPE * _L
_E_EMPTY = Column.EFFICIENCY_AT_EMPTY * _L
_E_KNOT = Column.EFFICIENCY_KNOT * _L
_E_SLOPE = Column.EFFICIENCY_SLOPE * _L
# The kernel's own rows follow; those of the ledger come last.
(
    _Q0, _Q1, _ON, _CUT, _SHORT, _DAYS, _ETA, _SOLAR, _SURPLUS, _DEFICIT, _HEATING, _REST,
    _WARM_A, _IN_A, _OUT_A, _OCV, _POWER, _COLD_W, _SERVED, _STORED, _LOST, _ASKED, _GIVEN,
    _MISSED, _LEDGER,
) = ((Column.DESIGN_END + row) * _L for row in range(25))  # fmt: skip
_ROWS = Column.DESIGN_END + 24 + len(Term)
_TERMS = len(Term)
_VK = VOLTAGE_KNOTS
_EK = EFFICIENCY_KNOTS


@numba.njit(
    nogil=True,
    cache=True,
    error_model="numpy",
    fastmath={"nnan", "ninf", "nsz", "contract", "arcp"},
)
def dispatch_kernel(
    panel_w: Any,
    dc_w: Any,
    ac_w: Any,
    inverter_loss_w: Any,
    pulse_w: Any,
    pulse_share: Any,
    alternator_a: Any,
    shore_a: Any,
    capacity_share: Any,
    charge_share: Any,
    heat_share: Any,
    blocks: Any,
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
        ``(runs, hours)`` power of one panel at the controller's output, W.
    dc_w, ac_w, inverter_loss_w : ndarray
        ``(runs or 1, hours)`` demand and the inverter's own loss, W.
    pulse_w, pulse_share : ndarray
        ``(runs or 1, hours)`` power of the hour's pulses, W, and the share of the hour they take;
        their mean is within the demand.
    alternator_a, shore_a : ndarray
        ``(runs or 1, hours)`` mean current that the charger can give, A.
    capacity_share, charge_share : ndarray
        ``(runs or 1, hours)`` what the bank's temperature leaves, 0 to 1.
    heat_share : ndarray
        ``(runs or 1, hours)`` 1 where a self-heating bank would heat, else 0.
    blocks : ndarray
        ``(blocks, DESIGN_END, LANES)``, rows by `Column`; all of one chemistry.
    start_soc : float
        State of charge at arrival.
    ledger_hours : int
        Hours that the ledger and the depletion days cover.
    ledger_wh, first_cut_h, depletion_days : ndarray
        Outputs ``(runs, terms, designs)``, ``(runs, designs)``, ``(runs, designs)``.
    soc : ndarray
        Output ``(runs, hours + 1, kept)`` for the first `kept` designs, which may be none.
    """
    runs, hours = panel_w.shape
    designs = first_cut_h.shape[1]
    kept = soc.shape[2]
    w = np.empty(_ROWS * _L)
    for block in range(blocks.shape[0]):
        first = block * _L
        lanes = min(_L, designs - first)
        for row in range(blocks.shape[1]):
            for i in range(_L):
                w[row * _L + i] = blocks[block, row, i]
        for run in range(runs):
            demand_row = run if dc_w.shape[0] > 1 else 0
            shore_row = run if shore_a.shape[0] > 1 else 0
            drive_row = run if alternator_a.shape[0] > 1 else 0
            bank_row = run if capacity_share.shape[0] > 1 else 0
            for i in range(_L):
                w[_Q0 + i] = start_soc * w[_TANKS + i]
                w[_Q1 + i] = start_soc * w[_AVAILABLE + i]
                w[_ON + i] = 1.0
                w[_CUT + i] = hours
                w[_SHORT + i] = 0.0
                w[_DAYS + i] = 0.0
            for j in range(_TERMS * _L):
                w[_LEDGER + j] = 0.0
            for i in range(min(lanes, kept - first)):
                soc[run, 0, first + i] = start_soc
            for hour in range(hours):
                sun = panel_w[run, hour]
                dc = dc_w[demand_row, hour]
                ac = ac_w[demand_row, hour]
                loss_inverter = inverter_loss_w[demand_row, hour]
                demand = dc + ac + loss_inverter
                tolerance = 1e-9 * (1.0 + demand)
                drive_a = alternator_a[drive_row, hour]
                plug_a = shore_a[shore_row, hour]
                share = capacity_share[bank_row, hour]
                warm_share = charge_share[bank_row, hour]
                heating = heat_share[bank_row, hour]
                chargers_a = drive_a + plug_a
                pulse = pulse_w[demand_row, hour]
                pulsed = pulse_share[demand_row, hour]
                between = demand - pulsed * pulse
                # Short loops over the lanes instead of a long one: the processor works on many
                # lanes at a time rather than waiting for one lane's chain of divisions.
                for i in range(_L):
                    # 1. Sources at the bus.
                    bus_v = w[_V_BUS + i]
                    solar = min(w[_PANELS + i] * sun, w[_A_CTRL + i] * bus_v)
                    given = solar + chargers_a * bus_v
                    w[_SOLAR + i] = solar

                    # Efficiency at the middle of the step.
                    state = w[_Q0 + i] * w[_TANKS_INV + i]
                    space_a = max(w[_AVAILABLE + i] - w[_Q1 + i], 0.0) * w[_GAIN_INV + i]
                    rise_a = max(given - demand, 0.0) * w[_V_NOM_INV + i]
                    rise_a = min(min(rise_a, w[_A_IN + i]), space_a)
                    state = min(state + 0.5 * rise_a * w[_TANKS_INV + i], 1.0)
                    a = w[_E_EMPTY + i]
                    b = 0.0
                    for j in range(2):
                        a += w[_E_SLOPE + j * _L + i] * max(state - w[_E_KNOT + j * _L + i], 0.0)
                        b += w[_E_SLOPE + (j + 2) * _L + i] * max(
                            state - w[_E_KNOT + (j + 2) * _L + i], 0.0
                        )
                    eta = a + b
                    w[_ETA + i] = eta

                    # 2. Connected while above the floor, again from the reconnect level on.
                    risen = w[_Q0 + i] >= w[_TANKS + i] * (1.0 - share * w[_RECONNECT + i])
                    on = 1.0 if risen else w[_ON + i]
                    w[_ON + i] = on
                    w[_GIVEN + i] = given
                    w[_ASKED + i] = demand
                    w[_MISSED + i] = 0.0
                if pulsed > 0.0:
                    for i in range(_L):
                        # What pulses add: their mean square in the resistance, and what goes into
                        # the bank between them only to come out again.
                        given = w[_GIVEN + i]
                        low = between - given
                        high = max(low + pulse, 0.0)
                        mean = max(demand - given, 0.0)
                        square = pulsed * high * high - mean * mean
                        square = square + (1.0 - pulsed) * max(low, 0.0) * max(low, 0.0)
                        spare = (1.0 - pulsed) * max(-low, 0.0)
                        # Half of the spare comes before the pulse: a full bank has no room for it.
                        space_a = max(w[_AVAILABLE + i] - w[_Q1 + i], 0.0) * w[_GAIN_INV + i]
                        missed = max(0.5 * spare - space_a * w[_V_BUS + i], 0.0)
                        cycled = min(pulsed * high, spare - missed)
                        ohm = w[_R_OUT + i] * w[_V_NOM_INV + i] * w[_V_NOM_INV + i]
                        lost = ohm * max(square, 0.0) + (1.0 / w[_ETA + i] - 1.0) * cycled
                        w[_ASKED + i] = demand + lost
                        w[_MISSED + i] = missed
                for i in range(_L):
                    net = w[_GIVEN + i] - w[_ON + i] * (w[_ASKED + i] + w[_MISSED + i])
                    surplus = max(net, 0.0)
                    heat = heating * min(surplus, w[_HEAT + i])
                    w[_HEATING + i] = heat
                    w[_SURPLUS + i] = surplus - heat
                    w[_DEFICIT + i] = max(-net, 0.0)
                for i in range(_L):
                    q0 = w[_Q0 + i]
                    eta = w[_ETA + i]
                    available = w[_AVAILABLE + i]
                    charge_a = w[_A_IN + i]
                    rest = w[_Q1 + i] * w[_KEEP + i] + q0 * w[_MIX + i]
                    w[_REST + i] = rest

                    # 3. Charging limits of tank, chemistry and cold, terminal current.
                    warmth = warm_share + (1.0 - warm_share) * w[_HEATING + i] * w[_HEAT_INV + i]
                    room_a = max(available - rest, 0.0) * w[_GAIN_INV + i] / eta
                    warm_a = min(room_a, charge_a)
                    in_a = min(warm_a, charge_a * warmth)

                    # 4. Discharging limits of floor, tank and rating.
                    floor_a = q0 - w[_TANKS + i] * (1.0 - share * w[_FLOOR + i])
                    tank_a = (rest - (1.0 - share) * available) * w[_GAIN_INV + i]
                    out_a = max(min(min(floor_a, tank_a), w[_A_OUT + i]), 0.0) * w[_ON + i]

                    # 5. Open-circuit voltage at the middle of the step.
                    nominal_inv = w[_V_NOM_INV + i]
                    guess = eta * min(w[_SURPLUS + i] * nominal_inv, in_a)
                    guess = guess - min(w[_DEFICIT + i] * nominal_inv, out_a)
                    middle = (q0 + 0.5 * guess) * w[_TANKS_INV + i]
                    middle = min(max(middle, 0.0), 1.0)
                    a = w[_V_EMPTY + i]
                    b = 0.0
                    c = 0.0
                    d = 0.0
                    for j in range(3):
                        a += w[_V_SLOPE + j * _L + i] * max(middle - w[_V_KNOT + j * _L + i], 0.0)
                        b += w[_V_SLOPE + (j + 3) * _L + i] * max(
                            middle - w[_V_KNOT + (j + 3) * _L + i], 0.0
                        )
                        c += w[_V_SLOPE + (j + 6) * _L + i] * max(
                            middle - w[_V_KNOT + (j + 6) * _L + i], 0.0
                        )
                        d += w[_V_SLOPE + (j + 9) * _L + i] * max(
                            middle - w[_V_KNOT + (j + 9) * _L + i], 0.0
                        )
                    ocv = (a + b) + (c + d)
                    w[_OCV + i] = ocv

                    # 6. Limits that the voltage sets: absorption tapers, sag cuts off.
                    taper_a = max(w[_V_ABS + i] - ocv, 0.0) * w[_R_IN_INV + i]
                    sag_a = max(ocv - w[_V_CUT + i], 0.0) * w[_R_OUT_INV + i]
                    w[_WARM_A + i] = min(warm_a, taper_a)
                    w[_IN_A + i] = min(in_a, taper_a)
                    w[_OUT_A + i] = min(out_a, sag_a)
                for i in range(_L):
                    ocv = w[_OCV + i]
                    r_in = w[_R_IN + i]
                    r_out = w[_R_OUT + i]
                    in_a = w[_IN_A + i]
                    warm_a = w[_WARM_A + i]
                    out_a = w[_OUT_A + i]
                    surplus = w[_SURPLUS + i]
                    deficit = w[_DEFICIT + i]

                    # 7. P = (OCV +- R I) I.
                    into_w = min(surplus, (ocv + r_in * in_a) * in_a)
                    out_w = min(deficit, (ocv - r_out * out_a) * out_a)
                    power = into_w - out_w
                    charging = power > 0.0
                    ohm = r_in if charging else r_out
                    gain = w[_ETA + i] if charging else 1.0
                    root = np.sqrt(max(ocv * ocv + 4.0 * ohm * power, 0.0))
                    current = 2.0 * power / (ocv + root)

                    # 8. Tanks, then self-discharge of both.
                    stored = gain * current
                    q0_next = min(max(w[_Q0 + i] + stored, 0.0), w[_TANKS + i])
                    q1_next = max(w[_REST + i] + stored * w[_GAIN + i], 0.0)
                    leak = q0_next * (1.0 - w[_HOLD + i])
                    w[_Q0 + i] = q0_next - leak
                    w[_Q1 + i] = min(q1_next, w[_AVAILABLE + i]) * w[_HOLD + i]

                    # 9. What was served, and the cut-off.
                    on = w[_ON + i]
                    short = deficit - out_w
                    cut = short > tolerance
                    asked = w[_ASKED + i]
                    served = on * max(1.0 - short / max(asked, 1e-12), 0.0)
                    w[_ON + i] = 0.0 if cut else on
                    w[_CUT + i] = min(w[_CUT + i], (hour + served) if cut else 1e9)

                    # For the ledger.
                    warm_w = min(surplus, (ocv + r_in * warm_a) * warm_a)
                    w[_COLD_W + i] = warm_w - into_w
                    w[_POWER + i] = on * asked - short + w[_HEATING + i] + power
                    w[_SERVED + i] = served
                    w[_STORED + i] = ocv * (stored - leak)
                    lost = ohm * current * current + (current - stored) * ocv
                    lost = lost + served * (asked - demand)
                    w[_LOST + i] = lost + ocv * leak + w[_HEATING + i]
                if hour < ledger_hours:
                    for i in range(_L):
                        # 10. Sun is used first, then the alternator, then shore power.
                        available = w[_PANELS + i] * sun
                        solar = w[_SOLAR + i]
                        taken = w[_POWER + i]
                        bus_v = w[_V_BUS + i]
                        served = w[_SERVED + i]
                        unserved = (1.0 - served) * (dc + ac)
                        w[_SHORT + i] = 1.0 if unserved > tolerance else w[_SHORT + i]
                        solar_used = min(solar, max(taken, 0.0))
                        drive_used = min(drive_a * bus_v, max(taken - solar_used, 0.0))
                        plug_used = min(plug_a * bus_v, max(taken - solar_used - drive_used, 0.0))
                        refused = max(solar - solar_used, 0.0)
                        refused_cold = min(refused, w[_COLD_W + i])
                        w[_LEDGER + i] += available
                        w[_LEDGER + 1 * _L + i] += solar_used
                        w[_LEDGER + 2 * _L + i] += available - solar
                        w[_LEDGER + 3 * _L + i] += refused - refused_cold
                        w[_LEDGER + 4 * _L + i] += refused_cold
                        w[_LEDGER + 5 * _L + i] += drive_used
                        w[_LEDGER + 6 * _L + i] += plug_used
                        w[_LEDGER + 7 * _L + i] += served * dc
                        w[_LEDGER + 8 * _L + i] += served * ac
                        w[_LEDGER + 9 * _L + i] += served * loss_inverter
                        w[_LEDGER + 10 * _L + i] += w[_LOST + i]
                        w[_LEDGER + 11 * _L + i] += w[_STORED + i]
                        w[_LEDGER + 12 * _L + i] += unserved
                for i in range(min(lanes, kept - first)):
                    soc[run, hour + 1, first + i] = w[_Q0 + i] * w[_TANKS_INV + i]
                if hour % 24 == 23 or hour == hours - 1:
                    for i in range(_L):
                        w[_DAYS + i] += w[_SHORT + i]
                        w[_SHORT + i] = 0.0
            for i in range(lanes):
                first_cut_h[run, first + i] = w[_CUT + i]
                depletion_days[run, first + i] = w[_DAYS + i]
                for term in range(_TERMS):
                    ledger_wh[run, term, first + i] = w[_LEDGER + term * _L + i]
