"""A bank and its chargers at one-minute steps, from published physics, with a voltage of its own.

It shares no code with the dispatch. What it takes from elsewhere is data (the curves and limits of
a chemistry) and what others check: light on the cells, their temperature, the panel's five
parameters, the power of an MPPT controller, and demand, each held within its hour. By itself:

- Two tanks by the differential equations of Manwell and McGowan 1993 (Solar Energy 50, 399-405),
  ``dq1/dt = I - k' (h1 - h2)``, ``dq2/dt = k' (h1 - h2)`` with heads ``h1 = q1 / c`` and
  ``h2 = q2 / (1 - c)``, by the midpoint rule.
- The terminal voltage of every minute, ``V = OCV + R I(V)``, found by halving: DC-DC and shore are
  constant currents (the shore charger within what the post's breaker leaves it), MPPT a constant
  power up to its limit in amperes, PWM the panel's single-diode curve (Lambert's W, Jain and
  Kapoor 2004, by pvlib) at its share of that voltage, loads a constant power. At absorption all of
  them give way.
- Coulombic efficiency and open-circuit voltage at the state of charge of the minute.
- The rules of cut-off and reconnection, minute by minute.
"""

from __future__ import annotations

import dataclasses

import numba
import numpy as np
from pvlib import pvsystem
from scipy.linalg import expm

from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.power.chemistry import capacity_share_at, charge_share_at, load_chemistry
from solarsim.power.ledger import Term
from solarsim.power.sources import plan_share
from solarsim.solar.module import fit_panels

MINUTES = 60
RATED_H = 20.0
HOURS_PER_MONTH = 730.5
VOLTAGES = 96
HALVINGS = 28
TERMS = len(Term)
(SUN, SUN_USED, CLIPPED, DRIVE, PLUG, DC, LOSS, BANK_LOSS, STORED, UNSERVED) = (
    int(term)
    for term in (
        *(Term.SOLAR_AVAILABLE, Term.SOLAR_USED, Term.SOLAR_CLIPPED, Term.ALTERNATOR),
        *(Term.SHORE, Term.LOAD_DC, Term.INVERTER_LOSS, Term.BATTERY_LOSS),
        *(Term.STORED_CHANGE, Term.UNSERVED),
    )
)


@dataclasses.dataclass(frozen=True)
class MinuteAnswer:
    """Ledgers ``(runs, terms)`` in Wh, ``(runs,)`` hours to the first cut-off.

    Of the terms, loads stand together as the DC load, and what is refused is left out.
    """

    ledger_wh: np.ndarray
    cut_h: np.ndarray


def minute_answer(question):
    """Follow every run of a question minute by minute."""
    van, runs = question.van, question.runs
    times = question_times(question)
    hours = len(times)
    scene = build_scene(question, times, first_run=0, runs=runs)
    curves = load_chemistry(van.battery.chemistry)
    scale = van.van.system_voltage_v / 12.0
    parallel = van.battery.units * van.battery.unit_voltage_v // van.van.system_voltage_v
    capacity_ah = van.battery.unit_capacity_ah * parallel
    ohm_scale = scale / capacity_ah
    floor = curves.floor_soc if van.battery.floor_soc is None else van.battery.floor_soc
    reconnect = curves.reconnect_soc if floor == curves.floor_soc else min(floor + 0.1, 1.0)

    def by_run(array):
        return np.ascontiguousarray(np.broadcast_to(array, (runs, hours)), dtype=np.float64)

    voltages_v = np.linspace(0.8, 1.25, VOLTAGES) * 12.0 * scale
    pwm = van.controller.kind == "pwm"
    count = van.panels.count
    pwm_a = np.zeros((1, 1, VOLTAGES))
    mppt_w = np.zeros((runs, hours)) if pwm else by_run(count * scene.panel.power_w)
    if pwm:
        strings = count // van.panels.series
        pwm_a = strings * panel_current_a(van.panels, scene.panel, voltages_v)
    shore_a, post_w = shore_limits(van.shore, scene.demand.ac_w, times, question.place.timezone)
    alternator_a = np.zeros(hours) if van.alternator is None else scene.chargers.alternator_a
    bank = (
        total_ah(curves, capacity_ah),
        *(curves.tank_share, curves.tank_rate_per_h, scale),
        *(curves.charge_ohm_ah * ohm_scale, curves.discharge_ohm_ah * ohm_scale),
        *(curves.absorption_v * scale, curves.cutoff_v * scale),
        *(curves.charge_c_rate * capacity_ah, curves.discharge_c_rate * capacity_ah),
        *(floor, reconnect, van.controller.max_output_a),
        (1.0 - curves.self_discharge_share_per_month) ** (1.0 / HOURS_PER_MONTH / MINUTES),
    )
    ledger_wh, cut_h = np.zeros((runs, TERMS)), np.full(runs, float(hours))
    steady_w = by_run(scene.demand.dc_w + scene.ac_inverter_w + scene.inverter_loss_w)
    _follow(
        *(mppt_w, pwm_a, voltages_v, by_run(alternator_a), by_run(shore_a), by_run(post_w)),
        *(steady_w, by_run(scene.inverter_loss_w)),
        *(by_run(scene.pulses.power_w), by_run(scene.pulses.share)),
        by_run(capacity_share_at(curves, scene.bank_temp_c)),
        by_run(charge_share_at(curves, scene.bank_temp_c)),
        *(curves.open_circuit_soc, curves.open_circuit_v),
        *(curves.coulombic_soc, curves.coulombic_share),
        *(np.array(bank), van.stay.start_soc, 24 * van.stay.days, ledger_wh, cut_h),
    )
    carried_wh = by_run(scene.chargers.shore_ac_w)[:, : 24 * van.stay.days].sum(axis=1)
    ledger_wh[:, [PLUG, DC]] += carried_wh[:, np.newaxis]
    return MinuteAnswer(ledger_wh, cut_h)


def total_ah(curves, rated_ah):
    """Both tanks together, of which 20 hours at one current leave the available one empty."""
    c, k = curves.tank_share, curves.tank_rate_per_h
    flow = k * c * (1.0 - c)
    # State (q1, q2, I) with dI/dt = 0.
    rates = [[-flow / c, flow / (1.0 - c), -1.0], [flow / c, -flow / (1.0 - c), 0.0], [0.0] * 3]
    after = expm(RATED_H * np.array(rates))
    # q1(20 h) = total (after_11 c + after_12 (1 - c)) + I after_13 = 0 with I = rated / 20 h.
    return -after[0, 2] * rated_ah / RATED_H / (after[0, 0] * c + after[0, 1] * (1.0 - c))


def panel_current_a(panels, output, voltages_v):
    """Current of one panel at each voltage of the bank, ``(runs, hours, voltages)``."""
    module = fit_panels(panels)
    light, temp_c = output.absorbed_w_m2, output.temp_cell_c
    current_a = np.zeros((*light.shape, len(voltages_v)))
    lit = light > 1.0
    photo_a, saturation_a, series_ohm, shunt_ohm, ideality_v = pvsystem.calcparams_desoto(
        light[lit],
        temp_c[lit],
        alpha_sc=module.alpha_isc_a_k,
        a_ref=module.modified_ideality_v,
        I_L_ref=module.light_current_a,
        I_o_ref=module.saturation_current_a,
        R_sh_ref=module.shunt_ohm,
        R_s=module.series_ohm,
    )
    for index, voltage_v in enumerate(voltages_v / panels.series):
        found_a = pvsystem.i_from_v(
            voltage_v, photo_a, saturation_a, series_ohm, shunt_ohm, ideality_v, method="lambertw"
        )
        current_a[lit, index] = np.maximum(found_a, 0.0)
    return current_a * (1.0 - panels.degradation_share_per_year * panels.age_years)


def shore_limits(shore, ac_w, times, timezone):
    """Amperes of the shore charger, and the watts that the post leaves it, by the hour."""
    if shore is None or shore.plugged_h == 0.0:
        return np.zeros(len(times)), np.zeros(len(times))
    plugged = plan_share(
        times,
        timezone,
        start_hour=shore.start_hour,
        duration_h=shore.plugged_h,
        every_days=shore.every_days,
    )
    post_w = shore.breaker_a * shore.mains_voltage_v
    left_w = np.maximum(post_w - ac_w, 0.0) * shore.charger_efficiency
    return shore.charger_a * plugged, left_w * plugged


@numba.njit(cache=True)
def _offered(v, mppt_w, limit_a, pwm_a, low_v, step_v, drive_a, shore_a, post_w):
    """Amperes of sun, DC-DC and shore at a terminal voltage."""
    at = min(max((v - low_v) / step_v, 0.0), len(pwm_a) - 1.001)
    cell = int(at)
    panel_a = pwm_a[cell] + (at - cell) * (pwm_a[cell + 1] - pwm_a[cell])
    return min(mppt_w / v + panel_a, limit_a), drive_a, min(shore_a, post_w / v)


@numba.njit(cache=True)
def _terminal_v(ocv, r_in, r_out, low, high, load_w, source):
    """Where ``V = OCV + R I(V)``, between two voltages; the nearer of them where it is beyond."""
    for step in range(HALVINGS):
        v = high if step == 0 else low if step == 1 else 0.5 * (low + high)
        sun_a, drive_a, plug_a = _offered(v, *source)
        current = sun_a + drive_a + plug_a - load_w / v
        above = ocv + (r_in if current > 0.0 else r_out) * current > v
        if (step == 0 and above) or (step == 1 and not above):
            return v
        if step > 1:
            low, high = (v, high) if above else (low, v)
    return 0.5 * (low + high)


@numba.njit(cache=True)
def _follow(
    mppt_w, pwm_a, voltages_v, alternator_a, shore_a, post_w, demand_w, loss_w, pulse_w,
    pulse_share, capacity_share, charge_share, ocv_soc, ocv_v, eta_soc, eta_share, bank,
    start_soc, ledger_hours, ledger_wh, cut_h,
):  # fmt: skip
    (total, c, k, scale, r_in, r_out, absorption_v, cutoff_v) = bank[:8]
    (charge_a, discharge_a, floor, reconnect, limit_a, hold) = bank[8:]
    low_v, step_v = voltages_v[0], voltages_v[1] - voltages_v[0]
    dt, flow_rate = 1.0 / MINUTES, k * c * (1.0 - c)
    runs, hours = demand_w.shape
    for run in range(runs):
        q1, q2, on = start_soc * c * total, start_soc * (1.0 - c) * total, True
        for minute in range(hours * MINUTES):
            hour = minute // MINUTES
            panel_a = pwm_a[run, hour] if len(pwm_a) > 1 else pwm_a[0, 0]
            source = (
                *(mppt_w[run, hour], limit_a, panel_a, low_v, step_v),
                *(alternator_a[run, hour], shore_a[run, hour], post_w[run, hour]),
            )
            share, pulsed = capacity_share[run, hour], pulse_share[run, hour]
            soc = (q1 + q2) / total
            on = on or soc >= 1.0 - share * (1.0 - reconnect)
            # The pulse stands in the middle of its hour.
            first = 0.5 * MINUTES * (1.0 - pulsed)
            covered = min(minute % MINUTES + 1.0, first + MINUTES * pulsed)
            covered = max(covered - max(minute % MINUTES, first), 0.0)
            wanted_w = demand_w[run, hour] + pulse_w[run, hour] * (covered - pulsed)
            ocv = scale * np.interp(soc, ocv_soc, ocv_v)
            flow = flow_rate * (q1 / c - q2 / (1.0 - c))
            # What two tanks and the chemistry let in and out over this minute.
            eta = np.interp(soc, eta_soc, eta_share)
            most_in = min(
                max(c * total - q1 + flow * dt, 0.0) / dt / eta, charge_a * charge_share[run, hour]
            )
            most_out = min(
                *(q1 + q2 - total * (1.0 - share * (1.0 - floor)), q1 - (1.0 - share) * c * total),
            )
            most_out = min(most_out / dt, discharge_a)
            load_w = wanted_w if on else 0.0
            for _attempt in range(2):
                v = _terminal_v(ocv, r_in, r_out, cutoff_v, absorption_v, load_w, source)
                sun_a, drive_a, plug_a = _offered(v, *source)
                current = sun_a + drive_a + plug_a - load_w / v
                lacks = current < -max(most_out, 0.0) - 1e-9
                if current < 0.0:
                    lacks = lacks or ocv + r_out * current < cutoff_v - 1e-6
                if not lacks or load_w == 0.0:
                    break
                # Cut off at once.
                on, load_w = False, 0.0
                cut_h[run] = min(cut_h[run], minute * dt)
            if current > 0.0:
                current = min(current, most_in, max(absorption_v - ocv, 0.0) / r_in)
                v = ocv + r_in * current
                sun_a, drive_a, plug_a = _offered(v, *source)
                stored = eta * current
            else:
                stored = current
            ohm = r_in if current > 0.0 else r_out
            # Two tanks by the midpoint rule.
            half_1, half_2 = q1 + 0.5 * dt * (stored - flow), q2 + 0.5 * dt * flow
            flow = flow_rate * (half_1 / c - half_2 / (1.0 - c))
            q1 = min(max(q1 + dt * (stored - flow), 0.0), c * total)
            q2 = min(max(q2 + dt * flow, 0.0), (1.0 - c) * total)
            leak = (q1 + q2) * (1.0 - hold)
            q1, q2 = q1 * hold, q2 * hold
            if hour >= ledger_hours:
                if cut_h[run] < hours:
                    break
                continue
            ledger = ledger_wh[run]
            taken = load_w + v * current
            sun_used = min(sun_a * v, max(taken, 0.0))
            drive_used = min(drive_a * v, max(taken - sun_used, 0.0))
            loss = loss_w[run, hour] * load_w / max(demand_w[run, hour], 1e-9)
            ledger[SUN] += dt * max(mppt_w[run, hour], sun_a * v)
            ledger[SUN_USED] += dt * sun_used
            ledger[CLIPPED] += dt * max(mppt_w[run, hour] - sun_a * v, 0.0)
            ledger[DRIVE] += dt * drive_used
            ledger[PLUG] += dt * max(taken - sun_used - drive_used, 0.0)
            ledger[DC] += dt * (load_w - loss)
            ledger[LOSS] += dt * loss
            ledger[BANK_LOSS] += dt * (ohm * current * current + (current - stored) * ocv)
            ledger[BANK_LOSS] += leak * ocv
            ledger[STORED] += dt * stored * ocv - leak * ocv
            ledger[UNSERVED] += dt * (wanted_w - load_w)
