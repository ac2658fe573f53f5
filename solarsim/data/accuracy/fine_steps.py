"""Hourly steps against minutes: a bank without sun under a hob's and a kettle's pulses.

The minutes are integrated here with nothing of the kernel: constant power over the open-circuit
voltage behind the resistance, the two tanks by small steps. What the pulses do under sun and clouds
is in the tests.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.inputs.inverter import Inverter
from solarsim.power.chemistry import load_chemistry, tank_total_ah
from solarsim.power.demand_record import Demand
from solarsim.power.design import Design
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.power.inverter import inverter_loss_w, loss_coefficients, pulses_of

__all__ = ["COMPARISONS"]

_DAYS = 10
_MINUTES = 60
_STEADY_W = 25.0
_INVERTER = Inverter(power_w=2000.0, idle_w=8.0)
_BANKS_AH = {"lfp": np.linspace(150.0, 400.0, 11), "agm": np.linspace(250.0, 500.0, 11)}
# Clock hour, minutes, W: a hob in the evening, a kettle in the morning.
_PULSES = ((18, 20, 1800.0), (7, 5, 1500.0))


def _design(chemistry: str, capacity_ah: float) -> Design:
    return Design(chemistry, float(capacity_ah), 12.0, 0, 30.0, load_chemistry(chemistry).floor_soc)


def _ac_w() -> FloatArray:
    """AC power, ``(hours, minutes)``; the pulses lie in the middle of their hours."""
    day = np.zeros((24, _MINUTES))
    for hour, minutes, power_w in _PULSES:
        first = (_MINUTES - minutes) // 2
        day[hour, first : first + minutes] = power_w
    return np.tile(day, (_DAYS, 1))


def _cut_by_hours(design: Design) -> float:
    ac_w = _ac_w()
    hours = len(ac_w)
    none = np.zeros((1, hours))
    demand = Demand(
        dc_w=none + _STEADY_W,
        ac_w=ac_w.mean(axis=1)[np.newaxis],
        ac_square_w2=(ac_w**2).mean(axis=1)[np.newaxis],
        ac_on_share=(ac_w > 0.0).mean(axis=1)[np.newaxis],
        dc_peak_w=none,
        ac_peak_w=none,
        wh_per_day={},
        cabin_temp_c=none,
    )
    outcome = dispatch(
        panel_w=none,
        dc_w=demand.dc_w,
        ac_w=demand.ac_w,
        inverter_loss_w=inverter_loss_w(_INVERTER, demand, np.zeros(hours)),
        pulses=pulses_of(_INVERTER, demand, np.zeros(hours)),
        chargers=Chargers(none, none, none),
        bank_temp_c=none + 25.0,
        designs=[design],
        start_soc=1.0,
        ledger_hours=hours,
    )
    return float(outcome.first_cut_h[0, 0])


def _cut_by_minutes(design: Design) -> float:
    chemistry = load_chemistry(design.chemistry)
    a, b, c = loss_coefficients(_INVERTER)
    ac_w = _ac_w().ravel()
    power_w = _STEADY_W + ac_w + np.where(ac_w > 0.0, a + b * ac_w + c * ac_w**2, 0.0)
    total_ah = tank_total_ah(chemistry, design.capacity_ah)
    share, rate = chemistry.tank_share, chemistry.tank_rate_per_h
    ohm = chemistry.discharge_ohm_ah / design.capacity_ah
    month_kept = 1.0 - chemistry.self_discharge_share_per_month
    lost_per_h = -np.log(month_kept) / 730.5
    step_h = 1.0 / _MINUTES
    free_ah, bound_ah = share * total_ah, (1.0 - share) * total_ah
    for minute, asked_w in enumerate(power_w):
        soc = (free_ah + bound_ah) / total_ah
        if soc <= design.floor_soc or free_ah <= 0.0:
            return minute * step_h
        ocv_v = np.interp(soc, chemistry.open_circuit_soc, chemistry.open_circuit_v)
        current_a = (ocv_v - np.sqrt(ocv_v**2 - 4.0 * ohm * asked_w)) / (2.0 * ohm)
        # Manwell & McGowan 1993: flow between the tanks in proportion to their difference in head.
        head_ah = bound_ah / (1.0 - share) - free_ah / share
        flow_a = rate * share * (1.0 - share) * head_ah
        free_ah += (flow_a - current_a - lost_per_h * free_ah) * step_h
        bound_ah -= (flow_a + lost_per_h * bound_ah) * step_h
    return len(power_w) * step_h


def _too_long_pct(chemistry: str) -> Callable[[], float]:
    """Mean over bank sizes, for a single one may reach its floor in the middle of a pulse."""

    def difference() -> float:
        designs = [_design(chemistry, capacity_ah) for capacity_ah in _BANKS_AH[chemistry]]
        ratios = [_cut_by_hours(design) / _cut_by_minutes(design) for design in designs]
        return 100.0 * (float(np.mean(ratios)) - 1.0)

    return difference


COMPARISONS: tuple[Comparison, ...] = tuple(
    Comparison(
        subject="hours against minutes",
        what=f"{label} without sun, hob of 1,800 W: time to the cut-off, hours over minutes",
        source="own integration at one-minute steps",
        expected=0.0,
        tolerance=0.5,
        unit="%",
        got=_too_long_pct(chemistry),
    )
    for chemistry, label in (("lfp", "150 to 400 Ah of LFP"), ("agm", "250 to 500 Ah of AGM"))
)
