"""Readable twin of the dispatch kernel: one bank, one run, plain branches. The tests' oracle."""

from __future__ import annotations

import math

import numpy as np

from solarsim.power.chemistry import (
    load_chemistry,
    panels_bus_voltage_v,
    resting_voltage_v,
    tank_total_ah,
)
from solarsim.power.design import Design
from solarsim.power.ledger import Term


def twin(
    design: Design,
    panel_w,
    dc_w,
    ac_w,
    inverter_loss_w,
    alternator_a,
    shore_a,
    capacity_share,
    charge_share,
    heat_share,
    *,
    other_w=None,
    other_a=None,
    shore_w=None,
    shore_rated_a=None,
    pulse_w=None,
    pulse_share=None,
    generator_a=None,
    generator_w=None,
    generator_rated_a=None,
    generator_start_soc=0.0,
    generator_stop_soc=0.0,
    start_soc: float,
    ledger_hours: int,
    step_h: float = 1.0,
):
    """Return ledger (dict), first cut in hours, depletion days and the SOC at every stamp."""
    chemistry = load_chemistry(design.chemistry)
    scale = design.system_voltage_v / 12.0
    total_ah = tank_total_ah(chemistry, design.capacity_ah)
    c, k = chemistry.tank_share, chemistry.tank_rate_per_h
    keep = math.exp(-k * step_h)
    # Change of the available tank per ampere over the step.
    gain_h = ((1.0 - keep) + c * (k * step_h - 1.0 + keep)) / k
    r_in = chemistry.charge_ohm_ah * scale / design.capacity_ah
    r_out = chemistry.discharge_ohm_ah * scale / design.capacity_ah
    v_abs = chemistry.absorption_v * scale
    bus_v = panels_bus_voltage_v(chemistry, design.system_voltage_v)
    nominal_v = scale * resting_voltage_v(chemistry)
    v_cut = chemistry.cutoff_v * scale
    charge_limit_a = chemistry.charge_c_rate * design.capacity_ah
    discharge_limit_a = chemistry.discharge_c_rate * design.capacity_ah
    limit_a = design.controller_max_a
    hold = (1.0 - chemistry.self_discharge_share_per_month) ** (step_h / 730.5)
    reconnect = (
        chemistry.reconnect_soc
        if design.floor_soc == chemistry.floor_soc
        else min(design.floor_soc + 0.1, 1.0)
    )

    def open_circuit_v(soc):
        return scale * np.interp(soc, chemistry.open_circuit_soc, chemistry.open_circuit_v)

    def settled(soc, space_a, demand, load, sun_w, other, amperes, watts):
        """State at the middle of the step, for which the usual voltage will do, and voltage there.

        V = OCV + R (amperes + P / V), with the resistance of charging where that is positive.
        """
        about = min(sun_w, limit_a * bus_v) + other + amperes * bus_v + watts
        rise_a = min(max(about - demand, 0) / nominal_v, charge_limit_a, space_a)
        mid_soc = min(soc + rise_a * step_h / 2 / total_ah, 1)
        ocv, rest_w = open_circuit_v(mid_soc), other + watts - load
        ohm = r_in if amperes * ocv + sun_w + rest_w > 0 else r_out

        def voltage_v(amperes, watts):
            linear = ocv + ohm * amperes
            return (linear + math.sqrt(max(linear**2 + 4 * ohm * watts, 0))) / 2

        at_v = voltage_v(amperes, sun_w + rest_w)
        if sun_w > limit_a * at_v:
            at_v = voltage_v(amperes + limit_a, rest_w)
        return mid_soc, min(max(at_v, v_cut), v_abs)

    q = start_soc * total_ah
    q_free = start_soc * c * total_ah
    connected = True
    running = False
    cut_h = None
    ledger = dict.fromkeys(Term, 0.0)
    short_days = set()
    socs = [start_soc]
    for step in range(len(panel_w)):
        hour = step * step_h
        share = capacity_share[step]
        soc = q / total_ah
        other = 0.0 if other_w is None else other_w[step]
        sun_w, sun_a = design.panel_count * panel_w[step], 0.0
        if design.pwm:
            sun_w, sun_a = 0.0, sun_w / bus_v
        own_a = min(sun_a, limit_a)
        beside_a = 0.0 if other_a is None else other_a[step]
        post_a, post_w = shore_a[step], 0.0 if shore_w is None else shore_w[step]
        run_a = run_w = 0.0
        if generator_a is not None:
            allowed = generator_a[step] > 0 or generator_w[step] > 0
            if not allowed:
                running = False
            elif step % round(1 / step_h) == 0:
                # Somebody looks at each full hour.
                if running:
                    running = soc < generator_stop_soc
                else:
                    running = soc <= generator_start_soc and soc < generator_stop_soc
            if running:
                run_a, run_w = generator_a[step], generator_w[step]

        if soc >= 1 - share * (1 - reconnect):
            connected = True
        demand = dc_w[step] + ac_w[step] + inverter_loss_w[step]
        space_a = max(c * total_ah - q_free, 0) / gain_h
        bank = (soc, space_a, demand, demand if connected else 0.0, sun_w, other)
        others_a = own_a + beside_a + alternator_a[step]
        # A charger on watts that would pass its rating at the voltage gives its amperes.
        at_v = settled(*bank, others_a + post_a + run_a, post_w + run_w)[1]
        if shore_rated_a is not None and post_w > shore_rated_a[step] * at_v:
            post_a, post_w = shore_rated_a[step], 0.0
        if generator_rated_a is not None and run_w > generator_rated_a[step] * at_v:
            run_a, run_w = generator_rated_a[step], 0.0
        mid_soc, at_v = settled(*bank, others_a + post_a + run_a, post_w + run_w)
        eta = np.interp(mid_soc, chemistry.coulombic_soc, chemistry.coulombic_share)
        available = sun_w + other + (sun_a + beside_a) * at_v
        solar = min(sun_w, limit_a * at_v) + other + (own_a + beside_a) * at_v
        drive, plug = alternator_a[step] * at_v, post_a * at_v + post_w
        generated = run_a * at_v + run_w
        given = solar + drive + plug + generated
        pulse_loss = missed = 0.0
        if pulse_w is not None and pulse_share[step] > 0:
            pulse, pulsed = pulse_w[step], pulse_share[step]
            low = demand - pulsed * pulse - given
            out_wh, in_wh = pulsed * max(low + pulse, 0), (1 - pulsed) * max(-low, 0)
            square = pulsed * max(low + pulse, 0) ** 2 + (1 - pulsed) * max(low, 0) ** 2
            square -= max(demand - given, 0) ** 2
            # Half of what is spare comes before the pulse: a full bank has no room for it.
            missed = max(in_wh / 2 - space_a * bus_v, 0)
            cycled = min(out_wh, in_wh - missed)
            pulse_loss = r_out * max(square, 0) / nominal_v**2 + (1 / eta - 1) * cycled
        asked = demand + pulse_loss
        load = asked if connected else 0.0
        net = given - load - (missed if connected else 0.0)
        rest = q_free * keep + q * c * (1 - keep)

        heat = into_w = out_w = warm_w = short = 0.0
        current = stored = ohm = 0.0
        mid_v = open_circuit_v(soc)
        if net > 0:
            heat = heat_share[step] * min(net, design.heater_w)
            surplus = net - heat
            warmth = charge_share[step]
            if design.heater_w > 0:
                warmth += (1 - warmth) * heat / design.heater_w
            warm_a = min(max(c * total_ah - rest, 0) / gain_h / eta, charge_limit_a)
            in_a = min(warm_a, charge_limit_a * warmth)
            guess = eta * min(surplus / nominal_v, in_a) * step_h
            mid_v = open_circuit_v(min(soc + guess / 2 / total_ah, 1.0))
            taper_a = max(v_abs - mid_v, 0) / r_in
            warm_a, in_a = min(warm_a, taper_a), min(in_a, taper_a)
            into_w = min(surplus, (mid_v + r_in * in_a) * in_a)
            warm_w = min(surplus, (mid_v + r_in * warm_a) * warm_a)
            ohm = r_in
            current = (-mid_v + math.sqrt(mid_v**2 + 4 * ohm * into_w)) / (2 * ohm)
            stored = eta * current
        elif net < 0:
            deficit = -net
            out_a = max(
                min(
                    (q - total_ah * (1 - share * (1 - design.floor_soc))) / step_h,
                    (rest - (1 - share) * c * total_ah) / gain_h,
                    discharge_limit_a,
                ),
                0.0,
            )
            guess = min(deficit / nominal_v, out_a) * step_h
            mid_v = open_circuit_v(max(soc - guess / 2 / total_ah, 0.0))
            out_a = min(out_a, max(mid_v - v_cut, 0.0) / r_out)
            out_w = min(deficit, (mid_v - r_out * out_a) * out_a)
            ohm = r_out
            current = -(mid_v - math.sqrt(max(mid_v**2 - 4 * ohm * out_w, 0.0))) / (2 * ohm)
            stored = current
            short = deficit - out_w
        q_new = min(max(q + stored * step_h, 0.0), total_ah)
        q_free_new = min(max(rest + stored * gain_h, 0.0), c * total_ah)
        leak_ah = q_new * (1 - hold)
        q, q_free = q_new - leak_ah, q_free_new * hold
        socs.append(q / total_ah)

        served = 0.0
        if connected:
            served = max(1 - short / asked, 0.0) if asked > 1e-12 else 1.0
            if short > 1e-9 * (1 + demand):
                if cut_h is None:
                    cut_h = hour + served * step_h
                connected = False
        unserved = (1 - served) * (dc_w[step] + ac_w[step])
        if hour >= ledger_hours:
            continue
        if unserved > 1e-9 * (1 + demand):
            short_days.add(int(hour // 24))
        taken = load - short + heat + into_w - out_w
        solar_used = min(solar, taken)
        drive_used = min(drive, taken - solar_used)
        plug_used = min(plug, taken - solar_used - drive_used)
        generator_used = taken - solar_used - drive_used - plug_used
        refused_cold = min(solar - solar_used, warm_w - into_w)
        for term, power in {
            Term.SOLAR_AVAILABLE: available,
            Term.SOLAR_USED: solar_used,
            Term.SOLAR_CLIPPED: available - solar,
            Term.SOLAR_REFUSED_FULL: solar - solar_used - refused_cold,
            Term.SOLAR_REFUSED_COLD: refused_cold,
            Term.ALTERNATOR: drive_used,
            Term.SHORE: plug_used,
            Term.ALTERNATOR_REFUSED: drive - drive_used,
            Term.SHORE_REFUSED: plug - plug_used,
            Term.GENERATOR: generator_used,
            Term.GENERATOR_REFUSED: generated - generator_used,
            Term.LOAD_DC: served * dc_w[step],
            Term.LOAD_AC: served * ac_w[step],
            Term.INVERTER_LOSS: served * inverter_loss_w[step],
            Term.BATTERY_LOSS: ohm * current**2
            + (current - stored) * mid_v
            + heat
            + served * pulse_loss,
            Term.STORED_CHANGE: mid_v * stored,
            Term.UNSERVED: unserved,
        }.items():
            ledger[term] += power * step_h
        ledger[Term.BATTERY_LOSS] += mid_v * leak_ah
        ledger[Term.STORED_CHANGE] -= mid_v * leak_ah
    horizon_h = len(panel_w) * step_h
    return ledger, (horizon_h if cut_h is None else cut_h), len(short_days), np.array(socs)
