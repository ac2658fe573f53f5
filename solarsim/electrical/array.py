"""The array against its controller: cold and hot voltage, current, oversizing, string fuses."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solarsim.electrical.arrays import OneArray, by_controller
from solarsim.electrical.currents import absorption_v, array_short_circuit_a, next_up, strings
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.rules import Rule, fuse_sizes_a, read_table, rule
from solarsim.electrical.site import Extremes
from solarsim.inputs.van import Van
from solarsim.power.chemistry import charging_voltage_v, load_chemistry

__all__ = [
    "array_findings",
    "coefficient_voc_v",
    "cold_string_v",
    "cold_voc_factor",
    "hot_string_v",
    "string_fuse_a",
]

_STC_C = 25.0


def cold_voc_factor(lowest_c: float) -> float | None:
    """Factor on Voc for crystalline silicon at the lowest air temperature.

    Parameters
    ----------
    lowest_c : float
        Lowest expected air temperature, degrees C; between two rows the colder one counts.

    Returns
    -------
    float or None
        1 from 25 C up; None below -40 C, where the table ends.

    References
    ----------
    .. [1] NEC (NFPA 70) 690.7(A) and its table.

    Examples
    --------
    >>> cold_voc_factor(-10.0), cold_voc_factor(-10.1), cold_voc_factor(-41.0)
    (1.14, 1.16, None)
    """
    if lowest_c >= _STC_C:
        return 1.0
    for row in read_table("nec_690_7a"):
        if lowest_c >= float(row["lowest_c"]):
            return float(row["factor"])
    return None


def coefficient_voc_v(voc_v: float, beta_voc_pct_k: float, temp_c: float) -> float:
    """Open-circuit voltage at a cell temperature by the datasheet's coefficient, V.

    References
    ----------
    .. [1] NEC (NFPA 70) 690.7(A)(1).

    Examples
    --------
    >>> round(coefficient_voc_v(49.5, -0.27, -10.0), 2)
    54.18
    """
    return voc_v * (1.0 + beta_voc_pct_k / 100.0 * (temp_c - _STC_C))


def cold_string_v(van: Van, lowest_c: float) -> tuple[float, str]:
    """Open-circuit voltage of a string on the coldest morning, V, and the rule that gives it.

    The larger of the coefficient's and the table's; never less than at 25 C.
    """
    panels = van.panels
    coldest_c = min(lowest_c, _STC_C)
    by_slope_v = panels.series * coefficient_voc_v(panels.voc_v, panels.beta_voc_pct_k, coldest_c)
    factor = cold_voc_factor(lowest_c)
    by_table_v = 0.0 if factor is None else factor * panels.voc_v * panels.series
    if by_slope_v >= by_table_v:
        return by_slope_v, "NEC 690.7(A)(1), by the panel's coefficient"
    return by_table_v, "NEC 690.7(A)(2), table for crystalline silicon"


def hot_string_v(van: Van, highest_c: float) -> float:
    """Voltage of a string at its maximum power at the record high in full sun, V."""
    import numpy as np

    from solarsim.solar.cell_temperature import MOUNTINGS, cell_temperature
    from solarsim.solar.module import fit_panels
    from solarsim.solar.single_diode import curve_parameters, max_power_point

    sun_w_m2 = rule("hot_sun_w_m2").value
    cell_c = cell_temperature(
        np.array(sun_w_m2),
        np.array(highest_c),
        np.array(rule("hot_wind_m_s").value),
        MOUNTINGS[van.panels.mounting],
    )
    _, best_v = max_power_point(curve_parameters(fit_panels(van.panels), sun_w_m2, cell_c))
    return float(best_v) * van.panels.series


def string_fuse_a(van: Van, in_parallel: int) -> float | None:
    """Fuse that each string takes, A: given or the next size up; None where none is needed.

    Parameters
    ----------
    van : Van
        Its own array is meant.
    in_parallel : int
        Strings on its controller, those of other arrays among them.

    References
    ----------
    .. [1] NEC 690.9(A) (from memory) and 690.8(B).
    """
    if in_parallel <= rule("strings_without_fuses").value or not van.wiring.string_fused:
        return None
    if van.wiring.string_fuse_a is not None:
        return van.wiring.string_fuse_a
    return next_up(fuse_sizes_a(), _string_design_a(van))


def array_findings(van: Van, extremes: Extremes) -> Iterator[Finding]:
    """Check voltage and current of every array, and of those that share a controller together."""
    for group in by_controller(van):
        for one in group:
            yield from _voltages(one, extremes)
        yield from _currents(group)
        yield from _unlike(group)
        in_parallel = sum(strings(one.van) for one in group)
        for one in group:
            yield from _string_fuses(one, in_parallel)


def _voltages(one: OneArray, extremes: Extremes) -> Iterator[Finding]:
    where, van = one.name, one.van
    controller = van.controller
    cold_v, source = cold_string_v(van, extremes.low_c)
    margin_v = controller.start_margin_v if controller.kind == "mppt" else 0.0
    needed_v = absorption_v(van) + margin_v
    hot_v = hot_string_v(van, extremes.high_c)
    if cold_v > controller.max_input_v:
        fewer = math.floor(van.panels.series * controller.max_input_v / cold_v)
        larger = f"a controller for at least {math.ceil(cold_v)} V"
        # Fewer are no advice where they would not charge the bank on a hot day.
        charges = fewer * hot_v / van.panels.series >= needed_v
        shorter = f"at most {fewer} of these panels in series, or {larger}" if charges else larger
        yield Finding(
            "array-voltage-cold",
            "stop",
            where,
            Compared(cold_v, controller.max_input_v, "V"),
            source,
            f"at {extremes.low_c:.0f} C a string of {van.panels.series} stands at {cold_v:.1f} V; "
            f"the controller bears {controller.max_input_v:g} V and would be destroyed",
            shorter,
        )
    if hot_v < needed_v:
        yield Finding(
            "array-voltage-hot",
            "warn",
            where,
            Compared(hot_v, needed_v, "V"),
            "De Soto et al. 2006 at 1000 W/m2 and King et al. 2004 (SAND2004-3535); the margin is "
            "the controller's",
            f"at {extremes.high_c:.0f} C in full sun a string works at {hot_v:.1f} V; charging to "
            f"the end takes {needed_v:.1f} V",
            "put more panels in series, or take panels with more cells",
        )
    ratio = rule("pwm_voltage_ratio")
    string_v = van.panels.vmp_v * van.panels.series
    if controller.kind == "pwm" and string_v > ratio.value * absorption_v(van):
        yield Finding(
            "array-voltage-wasted",
            "warn",
            where,
            Compared(string_v, ratio.value * absorption_v(van), "V"),
            ratio.source,
            f"the string works at {string_v:.1f} V, but a PWM controller holds it at the bank's "
            f"{absorption_v(van):.1f} V: the rest of its power is lost",
            "take an MPPT controller, or panels made for the bank's voltage",
        )


def _currents(group: tuple[OneArray, ...]) -> Iterator[Finding]:
    where, van = group[0].name, group[0].van
    controller = van.controller
    largest_a = sum(array_short_circuit_a(one.van) for one in group)
    factor = rule("pv_current_factor")
    short_a = largest_a / factor.value
    if controller.max_input_a is not None and largest_a > controller.max_input_a:
        yield Finding(
            "array-current-input",
            "stop",
            where,
            Compared(largest_a, controller.max_input_a, "A"),
            factor.source,
            f"the array's short-circuit current of {short_a:.1f} A counts as {largest_a:.1f} A; "
            f"the controller's input takes {controller.max_input_a:g} A",
            "put fewer strings in parallel, or take a controller with a larger input",
        )
    if controller.kind == "pwm":
        if largest_a > controller.max_output_a:
            yield Finding(
                "array-current-pwm",
                "stop",
                where,
                Compared(largest_a, controller.max_output_a, "A"),
                factor.source,
                f"a PWM controller passes the array's whole current, which counts as "
                f"{largest_a:.1f} A; it is rated {controller.max_output_a:g} A",
                "take a larger controller, or fewer strings",
            )
        return
    yield from _oversize(group)


def _oversize(group: tuple[OneArray, ...]) -> Iterator[Finding]:
    where, van = group[0].name, group[0].van
    array_w = sum(one.van.panels.power_w * one.van.panels.count for one in group)
    chemistry = load_chemistry(van.battery.chemistry)
    bank_v = charging_voltage_v(chemistry, float(van.van.system_voltage_v))
    ratio = array_w / (van.controller.max_output_a * bank_v)
    limit = rule("array_oversize_ratio")
    if ratio > limit.value:
        yield Finding(
            "array-oversize",
            "warn",
            where,
            Compared(ratio, limit.value, "times the output"),
            limit.source,
            f"the array has {ratio:.1f} times the watts that {van.controller.max_output_a:g} A "
            "into the bank are: it is clipped on every clear day",
            f"take a controller of {ratio * van.controller.max_output_a:.0f} A, or ask its maker "
            "whether it bears such an array",
        )


def _unlike(group: tuple[OneArray, ...]) -> Iterator[Finding]:
    """Strings in parallel share one voltage."""
    string_v = {one.name: one.van.panels.vmp_v * one.van.panels.series for one in group}
    high, low = max(string_v, key=string_v.__getitem__), min(string_v, key=string_v.__getitem__)
    limit = rule("parallel_voltage_share")
    apart = string_v[high] / string_v[low] - 1.0
    if apart > limit.value:
        yield Finding(
            "array-unlike",
            "warn",
            low,
            Compared(100.0 * apart, 100.0 * limit.value, "%"),
            limit.source,
            f"on one controller the strings of '{high}' work at {string_v[high]:.1f} V and those "
            f"of '{low}' at {string_v[low]:.1f} V: one of them is held away from its best",
            "panels of like voltage, or a controller for each",
        )


def _string_fuses(one: OneArray, in_parallel: int) -> Iterator[Finding]:
    where, van = one.name, one.van
    limit: Rule = rule("strings_without_fuses")
    if in_parallel <= limit.value:
        return
    design_a = _string_design_a(van)
    if not van.wiring.string_fused:
        back_a = rule("pv_current_factor").value * van.panels.isc_a * (in_parallel - 1)
        yield Finding(
            "array-string-fuse",
            "stop",
            where,
            Compared(in_parallel, limit.value, "strings"),
            limit.source,
            f"{in_parallel} strings in parallel without fuses: a faulty one would get "
            f"{back_a:.1f} A from the others",
            f"a fuse of {next_up(fuse_sizes_a(), design_a):g} A in each string",
        )
        return
    fuse_a = string_fuse_a(van, in_parallel)
    if fuse_a is not None and fuse_a < design_a:
        yield Finding(
            "array-string-fuse-small",
            "warn",
            where,
            Compared(fuse_a, design_a, "A"),
            rule("pv_conductor_factor").source,
            f"string fuses of {fuse_a:g} A are below {design_a:.1f} A and will blow in bright sun",
            f"string fuses of {next_up(fuse_sizes_a(), design_a):g} A",
        )
    most_a = van.panels.max_series_fuse_a
    if fuse_a is not None and most_a is not None and fuse_a > most_a:
        yield Finding(
            "array-string-fuse-large",
            "stop",
            where,
            Compared(fuse_a, most_a, "A"),
            "the panel's datasheet, maximum series fuse (NEC 690.9, from memory)",
            f"string fuses of {fuse_a:g} A are above the {most_a:g} A that the panel allows",
            "smaller fuses, or fewer strings in parallel",
        )


def _string_design_a(van: Van) -> float:
    one_a = rule("pv_current_factor").value * van.panels.isc_a
    return one_a * rule("pv_conductor_factor").value
