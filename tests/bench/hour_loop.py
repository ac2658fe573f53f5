"""The dispatch in NumPy: a loop over hours, vectorised over runs and designs of one chemistry."""

from __future__ import annotations

import numpy as np

from solarsim.power.chemistry import (
    load_chemistry,
    panels_bus_voltage_v,
    resting_voltage_v,
    tank_total_ah,
)
from solarsim.power.ledger import Term


def hour_loop(
    designs,
    panel_w,
    other_w,
    other_a,
    dc_w,
    ac_w,
    inverter_loss_w,
    alternator_a,
    shore_a,
    shore_w,
    capacity_share,
    charge_share,
    heat_share,
    pulse_w,
    pulse_share,
    *,
    start_soc,
    ledger_hours,
):
    """Return ledger ``(runs, terms, designs)``, first cut and depletion days ``(runs, designs)``.

    Hourly inputs are ``(runs or 1, hours)``.
    """
    (name,) = {design.chemistry for design in designs}
    chemistry = load_chemistry(name)

    def row(values):
        return np.array(list(values), dtype=np.float64)[np.newaxis]

    capacity_ah = row(d.capacity_ah for d in designs)
    scale = row(d.system_voltage_v for d in designs) / 12.0
    panels = row(d.panel_count for d in designs)
    heater_w = row(d.heater_w for d in designs)
    floor = row(d.floor_soc for d in designs)
    reconnect = np.where(
        floor == chemistry.floor_soc, chemistry.reconnect_soc, np.minimum(floor + 0.1, 1.0)
    )
    total_ah = row(tank_total_ah(chemistry, d.capacity_ah) for d in designs)
    bus_v = row(panels_bus_voltage_v(chemistry, d.system_voltage_v) for d in designs)
    limit_a = row(d.controller_max_a for d in designs)
    pwm = row(d.pwm for d in designs)
    v_abs, v_cut = chemistry.absorption_v * scale, chemistry.cutoff_v * scale
    nominal_v = scale * resting_voltage_v(chemistry)
    c, k = chemistry.tank_share, chemistry.tank_rate_per_h
    keep = np.exp(-k)
    gain_h = ((1.0 - keep) + c * (k - 1.0 + keep)) / k
    r_in = chemistry.charge_ohm_ah * scale / capacity_ah
    r_out = chemistry.discharge_ohm_ah * scale / capacity_ah
    charge_a = chemistry.charge_c_rate * capacity_ah
    discharge_a = chemistry.discharge_c_rate * capacity_ah
    hold = (1.0 - chemistry.self_discharge_share_per_month) ** (1.0 / 730.5)

    def open_circuit_v(soc):
        return scale * np.interp(soc, chemistry.open_circuit_soc, chemistry.open_circuit_v)

    def bus_voltage_v(ocv, ohm, amperes, watts):
        linear = ocv + ohm * amperes
        return 0.5 * (linear + np.sqrt(np.maximum(linear**2 + 4.0 * ohm * watts, 0.0)))

    runs, hours = panel_w.shape
    shape = (runs, len(designs))
    q = np.broadcast_to(start_soc * total_ah, shape).copy()
    q_free = c * q
    on = np.ones(shape)
    cut_h = np.full(shape, float(hours))
    days, short_today = np.zeros(shape), np.zeros(shape, dtype=bool)
    ledger = np.zeros((len(Term), *shape))
    for hour in range(hours):
        sun, other, beside_a, dc, ac, loss, drive_a, plug_a, post = (
            values[:, hour, np.newaxis]
            for values in (
                *(panel_w, other_w, other_a, dc_w, ac_w, inverter_loss_w),
                *(alternator_a, shore_a, shore_w),
            )
        )
        share, warm, heating, pulse, pulsed = (
            values[:, hour, np.newaxis]
            for values in (capacity_share, charge_share, heat_share, pulse_w, pulse_share)
        )
        sun_w, sun_a = panels * sun * (1.0 - pwm), panels * sun * pwm / bus_v
        own_a = np.minimum(sun_a, limit_a)
        steady_a = own_a + beside_a + drive_a + plug_a
        soc = q / total_ah
        on = np.where(soc >= 1.0 - share * (1.0 - reconnect), 1.0, on)
        demand = dc + ac + loss
        # Efficiency and voltage at the middle of the step, for which the usual voltage will do.
        about = np.minimum(sun_w, limit_a * bus_v) + other + steady_a * bus_v + post
        space_a = np.maximum(c * total_ah - q_free, 0.0) / gain_h
        rise_a = np.maximum(about - demand, 0.0) / nominal_v
        rise_a = np.minimum(np.minimum(rise_a, charge_a), space_a)
        mid_soc = np.minimum(soc + rise_a / 2.0 / total_ah, 1.0)
        eta = np.interp(mid_soc, chemistry.coulombic_soc, chemistry.coulombic_share)
        # The voltage at which amperes and watts agree.
        ocv, rest_w = open_circuit_v(mid_soc), other + post - on * demand
        ohm = np.where(steady_a * ocv + sun_w + rest_w > 0.0, r_in, r_out)
        free_v = bus_voltage_v(ocv, ohm, steady_a, sun_w + rest_w)
        clipped_v = bus_voltage_v(ocv, ohm, steady_a + limit_a, rest_w)
        at_v = np.clip(np.where(sun_w > limit_a * free_v, clipped_v, free_v), v_cut, v_abs)
        available = sun_w + other + (sun_a + beside_a) * at_v
        solar = np.minimum(sun_w, limit_a * at_v) + other + (own_a + beside_a) * at_v
        drive, plug = drive_a * at_v, plug_a * at_v + post
        given = solar + drive + plug
        # What pulses add.
        low = demand - pulsed * pulse - given
        high = np.maximum(low + pulse, 0.0)
        square = pulsed * high**2 + (1.0 - pulsed) * np.maximum(low, 0.0) ** 2
        square -= np.maximum(demand - given, 0.0) ** 2
        spare = (1.0 - pulsed) * np.maximum(-low, 0.0)
        missed = np.where(pulsed > 0.0, np.maximum(spare / 2.0 - space_a * bus_v, 0.0), 0.0)
        cycled = np.minimum(pulsed * high, spare - missed)
        pulse_loss = r_out * np.maximum(square, 0.0) / nominal_v**2 + (1.0 / eta - 1.0) * cycled
        asked = demand + np.where(pulsed > 0.0, pulse_loss, 0.0)
        net = given - on * (asked + missed)
        surplus, deficit = np.maximum(net, 0.0), np.maximum(-net, 0.0)
        heat = heating * np.minimum(surplus, heater_w)
        surplus = surplus - heat
        rest = q_free * keep + q * c * (1.0 - keep)
        # Limits of the tanks, the chemistry, the cold and the voltage.
        warmth = warm + (1.0 - warm) * heat / np.where(heater_w > 0.0, heater_w, 1.0)
        warm_a = np.minimum(np.maximum(c * total_ah - rest, 0.0) / gain_h / eta, charge_a)
        in_a = np.minimum(warm_a, charge_a * warmth)
        floor_a = q - total_ah * (1.0 - share * (1.0 - floor))
        tank_a = (rest - (1.0 - share) * c * total_ah) / gain_h
        out_a = on * np.maximum(np.minimum(np.minimum(floor_a, tank_a), discharge_a), 0.0)
        guess = eta * np.minimum(surplus / nominal_v, in_a)
        guess = guess - np.minimum(deficit / nominal_v, out_a)
        mid_v = open_circuit_v(np.clip((q + guess / 2.0) / total_ah, 0.0, 1.0))
        taper_a = np.maximum(v_abs - mid_v, 0.0) / r_in
        warm_a, in_a = np.minimum(warm_a, taper_a), np.minimum(in_a, taper_a)
        out_a = np.minimum(out_a, np.maximum(mid_v - v_cut, 0.0) / r_out)
        into_w = np.minimum(surplus, (mid_v + r_in * in_a) * in_a)
        warm_w = np.minimum(surplus, (mid_v + r_in * warm_a) * warm_a)
        out_w = np.minimum(deficit, (mid_v - r_out * out_a) * out_a)
        power = into_w - out_w
        ohm = np.where(power > 0.0, r_in, r_out)
        root = np.sqrt(np.maximum(mid_v**2 + 4.0 * ohm * power, 0.0))
        current = 2.0 * power / (mid_v + root)
        stored = np.where(power > 0.0, eta, 1.0) * current
        q = np.clip(q + stored, 0.0, total_ah)
        q_free = np.clip(rest + stored * gain_h, 0.0, c * total_ah) * hold
        leak_ah = q * (1.0 - hold)
        q = q - leak_ah
        # What was served, and the cut-off.
        tolerance = 1e-9 * (1.0 + demand)
        short = deficit - out_w
        served = on * np.maximum(1.0 - short / np.maximum(asked, 1e-12), 0.0)
        cut = short > tolerance
        cut_h = np.where(cut, np.minimum(cut_h, hour + served), cut_h)
        taken = on * asked - short + heat + power
        on = np.where(cut, 0.0, on)
        if hour < ledger_hours:
            unserved = (1.0 - served) * (dc + ac)
            short_today |= unserved > tolerance
            solar_used = np.minimum(solar, np.maximum(taken, 0.0))
            drive_used = np.minimum(drive, np.maximum(taken - solar_used, 0.0))
            plug_used = np.minimum(plug, np.maximum(taken - solar_used - drive_used, 0.0))
            refused = np.maximum(solar - solar_used, 0.0)
            refused_cold = np.minimum(refused, warm_w - into_w)
            lost = ohm * current**2 + (current - stored) * mid_v + heat
            lost = lost + served * (asked - demand) + mid_v * leak_ah
            rows = (
                *(available, solar_used, available - solar, refused - refused_cold, refused_cold),
                *(drive_used, plug_used, served * dc, served * ac, served * loss),
                *(lost, mid_v * (stored - leak_ah), unserved, drive - drive_used, plug - plug_used),
            )
            for term, watts in zip(Term, rows, strict=True):
                ledger[term] += watts
        if hour % 24 == 23 or hour == hours - 1:
            days += short_today
            short_today[:] = False
    return ledger.transpose(1, 0, 2), cut_h, days
