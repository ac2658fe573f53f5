"""A bank on the test bench: constant currents through the dispatch kernel, in hourly steps."""

from __future__ import annotations

import dataclasses
import math

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.power.chemistry import Chemistry, load_chemistry, tank_total_ah
from solarsim.power.design import Design
from solarsim.power.dispatch import Chargers, Outcome, dispatch
from solarsim.power.ledger import Term

__all__ = [
    "BENCH_C",
    "RATED_AH",
    "Charge",
    "Discharge",
    "RoundTrip",
    "capacity_held_ah",
    "capacity_multiplier",
    "charge",
    "constant_current_w",
    "discharge",
    "round_trip",
    "run_bank",
]

RATED_AH = 100.0
_SYSTEM_V = 12.0
BENCH_C = 25.0


@dataclasses.dataclass(frozen=True)
class Discharge:
    """How long a bank held a load, and what it gave until the cut-off."""

    duration_h: float
    delivered_ah: float


@dataclasses.dataclass(frozen=True)
class Charge:
    """A bank under a charger, hour by hour.

    Attributes
    ----------
    soc : ndarray
        ``(hours + 1,)`` state of charge at the stamps, 0 to 1.
    current_a : ndarray
        ``(hours,)`` mean current at the terminals, A.
    """

    soc: FloatArray
    current_a: FloatArray

    def hours_to(self, soc: float) -> float:
        """Hours until a state of charge is reached, linear within the hour; infinite if never."""
        reached = np.flatnonzero(self.soc >= soc)
        if reached.size == 0:
            return math.inf
        hour = int(reached[0])
        if hour == 0:
            return 0.0
        before, after = float(self.soc[hour - 1]), float(self.soc[hour])
        return hour - 1 + (soc - before) / (after - before)


@dataclasses.dataclass(frozen=True)
class RoundTrip:
    """Charge and energy out over charge and energy in, once the cycle repeats itself."""

    coulombic_share: float
    energy_share: float
    lowest_soc: float
    highest_soc: float


def run_bank(
    chemistry: str,
    *,
    dc_w: FloatArray,
    panel_w: FloatArray | None = None,
    temp_c: float = BENCH_C,
    start_soc: float = 1.0,
    floor_soc: float = 0.0,
    capacity_ah: float = RATED_AH,
    ledger_hours: int | None = None,
) -> Outcome:
    """One 12 V bank through the dispatch kernel: no weather, no inverter, no charger's limits.

    Parameters
    ----------
    chemistry : str
        Its name.
    dc_w, panel_w : ndarray
        ``(hours,)`` demand on the bank and power offered to it, W.
    temp_c : float
        The bank's temperature.
    start_soc, floor_soc : float
        State of charge at the start, and where the bank is cut off, 0 to 1.
    capacity_ah : float
        Its 20-hour capacity at 25 C.
    ledger_hours : int, optional
        Hours that the ledger covers; all of them if not given.
    """
    hours = dc_w.size
    none = np.zeros((1, hours))
    return dispatch(
        panel_w=none if panel_w is None else panel_w[np.newaxis],
        dc_w=dc_w[np.newaxis],
        ac_w=none,
        inverter_loss_w=none,
        chargers=Chargers(none, none, none),
        bank_temp_c=none + temp_c,
        designs=[Design(chemistry, capacity_ah, _SYSTEM_V, 1, 1e4, floor_soc)],
        start_soc=start_soc,
        ledger_hours=hours if ledger_hours is None else ledger_hours,
        soc_designs=1,
    )


def constant_current_w(
    chemistry: str,
    current_a: float,
    hours: int,
    *,
    start_soc: float,
    capacity_ah: float = RATED_AH,
    steps_per_h: int = 1,
) -> FloatArray:
    """Power that holds a current through the terminals, ``(hours * steps_per_h,)``, W.

    A bench holds currents, the kernel serves powers: ``(OCV + R I) I`` with the open-circuit
    voltage in the middle of each step, until the bank's limits bind.

    Parameters
    ----------
    chemistry : str
        Its name.
    current_a : float
        Current into the bank, A; negative while it is drawn.
    hours, steps_per_h : int
        Length and resolution.
    start_soc : float
        State of charge at the start, 0 to 1.
    capacity_ah : float
        The bank's 20-hour capacity.
    """
    curves = load_chemistry(chemistry)
    total_ah = tank_total_ah(curves, capacity_ah)
    ohm_ah = curves.charge_ohm_ah if current_a > 0.0 else curves.discharge_ohm_ah
    step_h = 1.0 / steps_per_h
    power_w = np.empty(hours * steps_per_h)
    soc = start_soc
    for step in range(power_w.size):
        eta = float(_coulombic(curves, soc)) if current_a > 0.0 else 1.0
        rise = eta * current_a * step_h / total_ah
        middle = min(max(soc + 0.5 * rise, 0.0), 1.0)
        rest_v = float(np.interp(middle, curves.open_circuit_soc, curves.open_circuit_v))
        terminal_v = min(rest_v + ohm_ah / capacity_ah * current_a, curves.absorption_v)
        power_w[step] = terminal_v * abs(current_a)
        soc = min(max(soc + rise, 0.0), 1.0)
    return power_w


def discharge(
    chemistry: str, rated_h: float, *, temp_c: float = BENCH_C, capacity_ah: float = RATED_AH
) -> Discharge:
    """Draw `RATED_AH` over `rated_h` from a full bank, on until it is cut off.

    The bank has no floor but empty. In the hour of the cut-off the load is served in the share
    that the bank can give, which is what the duration counts.
    """
    hours = math.ceil(2.0 * rated_h) + 2
    current_a = -RATED_AH / rated_h
    dc_w = constant_current_w(chemistry, current_a, hours, start_soc=1.0, capacity_ah=capacity_ah)
    outcome = run_bank(chemistry, dc_w=dc_w, temp_c=temp_c, capacity_ah=capacity_ah)
    duration_h = float(outcome.first_cut_h[0, 0])
    soc = outcome.soc[0, :, 0]
    total_ah = tank_total_ah(load_chemistry(chemistry), capacity_ah)
    return Discharge(
        duration_h=duration_h,
        delivered_ah=float((soc[0] - soc[math.ceil(duration_h)]) * total_ah),
    )


def capacity_held_ah(chemistry: str, hours: int) -> float:
    """Capacity at the `hours`-hour rate, Ah: the largest current held so long, times the hours.

    Found by bisection from full at 25 C. Whole hours leave no hour of the cut-off to share out, so
    that this is what the two tanks give at their exact end.
    """
    low, high = 0.0, 1.5 * RATED_AH / hours
    for _ in range(30):
        middle = 0.5 * (low + high)
        dc_w = constant_current_w(chemistry, -middle, hours, start_soc=1.0)
        if run_bank(chemistry, dc_w=dc_w).first_cut_h[0, 0] < hours:
            high = middle
        else:
            low = middle
    return low * hours


def charge(chemistry: str, current_a: float, *, start_soc: float, hours: int) -> Charge:
    """Charge a rested bank at 25 C with all the current that it takes, up to `current_a`."""
    offered_w = constant_current_w(chemistry, current_a, hours, start_soc=start_soc)
    outcome = run_bank(chemistry, dc_w=np.zeros(hours), panel_w=offered_w, start_soc=start_soc)
    return _charge_of(chemistry, outcome.soc[0, :, 0])


def capacity_multiplier(chemistry: str, temp_c: float) -> float:
    """How many times larger a cold bank must be, to hold the 20-hour current as long as at 25 C.

    Found by bisection over banks in the kernel.
    """
    warm_h = discharge(chemistry, 20.0).duration_h
    low, high = 0.5, 4.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        cold = discharge(chemistry, 20.0, temp_c=temp_c, capacity_ah=middle * RATED_AH)
        if cold.duration_h < warm_h:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def round_trip(
    chemistry: str, *, draw_a: float, draw_h: int, charge_a: float, charge_h: int
) -> RoundTrip:
    """Repeat one discharge and charge until nothing changes, then count the last cycle.

    Energy is the ledger's. Charge into the bank is worked out from the rise of the charge held
    and the coulombic share at the hour's middle, as the kernel reads it.
    """
    cycles, cycle_h = 12, draw_h + charge_h
    curves = load_chemistry(chemistry)
    drawing = np.tile(np.arange(cycle_h) < draw_h, cycles)
    dc_w = np.where(drawing, draw_a * _SYSTEM_V, 0.0)
    panel_w = np.where(drawing, 0.0, charge_a * curves.absorption_v)
    whole = run_bank(chemistry, dc_w=dc_w, panel_w=panel_w)
    before = run_bank(chemistry, dc_w=dc_w, panel_w=panel_w, ledger_hours=dc_w.size - cycle_h)
    energy_wh = (whole.ledger_wh - before.ledger_wh)[0, :, 0]
    soc = whole.soc[0, -cycle_h - 1 :, 0]
    charging = _charge_of(chemistry, soc)
    out_ah = -np.diff(soc)[:draw_h].sum() * tank_total_ah(curves, RATED_AH)
    return RoundTrip(
        coulombic_share=float(out_ah / charging.current_a[draw_h:].sum()),
        energy_share=float(energy_wh[Term.LOAD_DC] / energy_wh[Term.SOLAR_USED]),
        lowest_soc=float(soc.min()),
        highest_soc=float(soc.max()),
    )


def _charge_of(chemistry: str, soc: FloatArray) -> Charge:
    curves = load_chemistry(chemistry)
    kept = (1.0 - curves.self_discharge_share_per_month) ** (1.0 / 730.5)
    stored_ah = (soc[1:] / kept - soc[:-1]) * tank_total_ah(curves, RATED_AH)
    middle = 0.5 * (soc[1:] + soc[:-1])
    return Charge(soc=soc, current_a=stored_ah / _coulombic(curves, middle))


def _coulombic(curves: Chemistry, soc: FloatArray | float) -> FloatArray:
    return np.asarray(np.interp(soc, curves.coulombic_soc, curves.coulombic_share))
