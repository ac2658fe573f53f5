"""The arrays against their controllers: cold and hot voltage, current, oversizing, string fuses."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solarsim.electrical.currents import (
    absorption_v,
    array_short_circuit_a,
    back_current_a,
    next_up,
    string_design_a,
    string_fuse_a,
    strings_need_fuses,
)
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import fuse_sizes_a, rule
from solarsim.electrical.site import Extremes
from solarsim.electrical.string_voltage import cold_string_v, holds_down_to_c, hot_string_v
from solarsim.electrical.wired_arrays import WiredArray, arrays_by_controller
from solarsim.inputs.panels import Panels
from solarsim.inputs.van import Van
from solarsim.power.chemistry import charging_voltage_v, load_chemistry

__all__ = ["array_findings"]


def array_findings(van: Van, rules: RuleSet, extremes: Extremes) -> Iterator[Finding]:
    """Check voltage and current of every array, and of those that share a controller together."""
    for group in arrays_by_controller(van):
        for one in group:
            yield from _voltages(van, one, extremes)
            yield from _touch(rules, one)
        yield from _currents(van, group)
        yield from _unlike(group)
        in_parallel = sum(one.strings for one in group)
        for one in group:
            yield from _string_fuses(van, rules, one, in_parallel)


def _voltages(van: Van, array: WiredArray, extremes: Extremes) -> Iterator[Finding]:
    where, panels, controller = array.name, array.panels, array.controller
    cold_v, source = cold_string_v(panels, extremes.low_c)
    margin_v = controller.start_margin_v if controller.kind == "mppt" else 0.0
    needed_v = absorption_v(van) + margin_v
    hot_v = hot_string_v(panels, extremes.high_c)
    if cold_v > controller.max_input_v:
        fewer = math.floor(panels.series * controller.max_input_v / cold_v)
        larger = f"a controller for at least {math.ceil(cold_v)} V"
        # Fewer are no advice where they would not charge the bank on a hot day.
        charges = fewer * hot_v / panels.series >= needed_v
        shorter = f"at most {fewer} of these panels in series, or {larger}" if charges else larger
        yield Finding(
            "array-voltage-cold",
            "stop",
            where,
            Compared(cold_v, controller.max_input_v, "V"),
            source,
            f"at {extremes.low_c:.0f} C a string of {panels.series} stands at {cold_v:.1f} V; "
            f"the controller bears {controller.max_input_v:g} V and would be destroyed; "
            f"{_holds(panels, controller.max_input_v)}",
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
    string_v = array.string_vmp_v
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


def _holds(panels: Panels, bears_v: float) -> str:
    """Down to which temperature a string stays within a voltage, in words."""
    down_c = holds_down_to_c(panels, bears_v)
    return "it holds at no temperature" if down_c is None else f"it holds down to {down_c:.0f} C"


def _touch(rules: RuleSet, array: WiredArray) -> Iterator[Finding]:
    limit, panels = rules.rule("touch_v"), array.panels
    open_v = panels.voc_v * panels.series
    if open_v > limit.value:
        yield Finding(
            "array-touch",
            "note",
            array.name,
            Compared(open_v, limit.value, "V"),
            limit.source,
            f"the strings stand at {open_v:.0f} V in any light: touching both poles can injure",
            "connectors that nobody can touch, an isolator for that DC voltage, a label, and an "
            "electrician",
        )


def _currents(van: Van, group: tuple[WiredArray, ...]) -> Iterator[Finding]:
    where, controller = group[0].name, group[0].controller
    largest_a = sum(array_short_circuit_a(one) for one in group)
    factor = rule("pv_current_factor")
    short_a = largest_a / factor.value
    yield from _input_current(group, short_a)
    if controller.kind == "pwm":
        if largest_a > controller.max_output_a:
            yield Finding(
                "array-current-pwm",
                "stop" if short_a > controller.max_output_a else "warn",
                where,
                Compared(largest_a, controller.max_output_a, "A"),
                factor.source,
                f"a PWM controller passes the array's whole current of {short_a:.1f} A, which "
                f"counts as {largest_a:.1f} A; it is rated {controller.max_output_a:g} A",
                "take a larger controller, or fewer strings",
            )
        return
    yield from _oversize(van, group)


def _input_current(group: tuple[WiredArray, ...], short_a: float) -> Iterator[Finding]:
    """What the array can drive into the controller against what its maker allows."""
    where, controller = group[0].name, group[0].controller
    bears_a, factor = controller.max_input_a, rule("pv_current_factor")
    if bears_a is None:
        if controller.kind == "mppt" and short_a > controller.max_output_a:
            yield Finding(
                "array-current-unknown",
                "warn",
                where,
                Compared(short_a, controller.max_output_a, "A"),
                "the controller's datasheet, which names its largest input current",
                f"the array's short-circuit current of {short_a:.1f} A is above the controller's "
                f"{controller.max_output_a:g} A of output, and what its input bears is not known",
                "look its largest short-circuit current up (controller.max_input_a), or put more "
                "panels in series",
            )
        return
    if short_a > bears_a:
        yield Finding(
            "array-current-input",
            "stop",
            where,
            Compared(short_a, bears_a, "A"),
            "the controller's datasheet, largest short-circuit current of the array",
            f"the array's short-circuit current is {short_a:.1f} A; the controller's input takes "
            f"{bears_a:g} A",
            "put fewer strings in parallel, or take a controller with a larger input",
        )
    elif short_a * factor.value > bears_a:
        yield Finding(
            "array-current-input",
            "note",
            where,
            Compared(short_a * factor.value, bears_a, "A"),
            f"{factor.source}; for the controller's own input it is advice",
            f"in the brightest sun the array's {short_a:.1f} A may become "
            f"{short_a * factor.value:.1f} A; the controller's input takes {bears_a:g} A",
            "ask the controller's maker whether its limit is for standard test conditions",
        )


def _oversize(van: Van, group: tuple[WiredArray, ...]) -> Iterator[Finding]:
    where, controller = group[0].name, group[0].controller
    array_w = sum(one.power_w for one in group)
    chemistry = load_chemistry(van.battery.chemistry)
    bank_v = charging_voltage_v(chemistry, float(van.van.system_voltage_v))
    ratio = array_w / (controller.max_output_a * bank_v)
    limit = rule("array_oversize_ratio")
    if ratio > limit.value:
        yield Finding(
            "array-oversize",
            "warn",
            where,
            Compared(ratio, limit.value, "times the output"),
            limit.source,
            f"the array has {ratio:.1f} times the watts that {controller.max_output_a:g} A "
            "into the bank are: it is clipped on every clear day",
            f"take a controller of {ratio * controller.max_output_a:.0f} A, or ask its maker "
            "whether it bears such an array",
        )


def _unlike(group: tuple[WiredArray, ...]) -> Iterator[Finding]:
    """Strings in parallel share one voltage."""
    string_v = {one.name: one.string_vmp_v for one in group}
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


def _string_fuses(
    van: Van, rules: RuleSet, array: WiredArray, in_parallel: int
) -> Iterator[Finding]:
    panels = array.panels
    design_a, bears_a = string_design_a(panels, rules), panels.max_series_fuse_a
    least_a = next_up(fuse_sizes_a(), design_a)
    fitting = least_a if least_a and (bears_a is None or least_a <= bears_a) else None
    most = in_parallel
    while bears_a is not None and most > 1 and back_current_a(panels, most) > bears_a:
        most -= 1
    advice = (
        f"a fuse of {fitting:g} A in each string"
        if fitting
        else f"at most {most} of such strings in parallel"
    )
    if strings_need_fuses(panels, in_parallel) and not van.wiring.string_fused:
        back_a, limit = back_current_a(panels, in_parallel), rule("strings_without_fuses")
        yield Finding(
            "array-string-fuse",
            "stop",
            array.name,
            Compared(in_parallel, limit.value, "strings")
            if bears_a is None
            else Compared(back_a, bears_a, "A"),
            limit.source
            if bears_a is None
            else "NEC 690.9(A), exception, and IEC 62548 (from memory): the others' current above "
            "the panel's largest series fuse",
            f"{in_parallel} strings in parallel without fuses: a faulty one would get "
            f"{back_a:.1f} A from the others",
            advice,
        )
    fuse_a = string_fuse_a(panels, van.wiring, in_parallel, rules)
    if fuse_a is not None and fuse_a < design_a:
        yield Finding(
            "array-string-fuse-small",
            "warn",
            array.name,
            Compared(fuse_a, design_a, "A"),
            rules.rule("string_fuse_factor").source,
            f"string fuses of {fuse_a:g} A are below {design_a:.1f} A and will blow in bright sun",
            advice,
        )
    if fuse_a is not None:
        yield from _large_string_fuse(array, fuse_a, design_a, advice, fits=fitting is not None)


def _large_string_fuse(
    array: WiredArray, fuse_a: float, design_a: float, advice: str, *, fits: bool
) -> Iterator[Finding]:
    """A string's fuse is no larger than its panels bear."""
    bears_a, usual = array.panels.max_series_fuse_a, rule("string_fuse_most")
    most_a = usual.value * array.panels.isc_a if bears_a is None else bears_a
    if fuse_a <= most_a:
        return
    known = bears_a is not None
    allowed = "the panel allows" if known else "panels of that current bear as a rule"
    beside = "" if fits else f", and it takes {design_a:.1f} A not to blow in bright sun"
    yield Finding(
        "array-string-fuse-large",
        "stop",
        array.name,
        Compared(fuse_a, most_a, "A"),
        "the panel's datasheet, maximum series fuse (NEC 690.9, IEC 62548, from memory)"
        if known
        else usual.source,
        f"string fuses of {fuse_a:g} A are above the {most_a:.3g} A that {allowed}{beside}",
        advice,
    )
