"""The currents that the van's parts can drive: array, bank, chargers, inverter, loads."""

from __future__ import annotations

import math

from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import fuse_sizes_a, rule
from solarsim.electrical.wired_arrays import WiredArray, arrays_by_controller
from solarsim.inputs.panels import Panels
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import Wiring
from solarsim.power.chemistry import charging_voltage_v, load_chemistry

__all__ = [
    "absorption_v",
    "array_short_circuit_a",
    "back_current_a",
    "charger_a",
    "charger_input_w",
    "dc_current_a",
    "dcdc_a",
    "dcdc_input_a",
    "engine_a",
    "generator_a",
    "inverter_input_a",
    "inverter_low_v",
    "inverter_surge_w",
    "next_up",
    "scale",
    "second_alternator_a",
    "short_circuit_a",
    "solar_charge_a",
    "string_design_a",
    "string_fuse_a",
    "strings_need_fuses",
    "strings_of_bank",
    "sum_of_chargers_a",
]


def strings_of_bank(van: Van) -> int:
    """Strings of battery units in parallel."""
    return van.battery.units // van.units_in_series


def scale(van: Van) -> float:
    """System voltage over 12 V."""
    return van.van.system_voltage_v / 12.0


def absorption_v(van: Van) -> float:
    """Voltage up to which the bank is charged, V: the chargers' set-point or the chemistry's."""
    given_v = van.battery.charger_absorption_v
    if given_v is not None:
        return given_v
    return load_chemistry(van.battery.chemistry).absorption_v * scale(van)


def array_short_circuit_a(array: WiredArray) -> float:
    """Largest current of an array, A: 125 % of what its strings give in short circuit.

    References
    ----------
    .. [1] NEC 690.8(A)(1).
    """
    return rule("pv_current_factor").value * array.panels.isc_a * array.strings


def string_design_a(panels: Panels, rules: RuleSet) -> float:
    """Least rating of a string's fuse, A, by the rules in force: 150 or 156 % of Isc."""
    return rules.rule("string_fuse_factor").value * panels.isc_a


def back_current_a(panels: Panels, in_parallel: int) -> float:
    """What a faulty string gets from the others on its controller, A: 125 % of their Isc.

    References
    ----------
    .. [1] NEC 690.8(A)(1) and 690.9(A); IEC 62548 (from memory).
    """
    return rule("pv_current_factor").value * panels.isc_a * (in_parallel - 1)


def strings_need_fuses(panels: Panels, in_parallel: int) -> bool:
    """Whether the others could drive more into a faulty string than its panels bear.

    By their largest series fuse, or where that is not known by the number of strings.

    References
    ----------
    .. [1] NEC 690.9(A), exception, and IEC 62548 (from memory).
    """
    bears_a = panels.max_series_fuse_a
    if bears_a is None:
        return in_parallel > rule("strings_without_fuses").value
    return back_current_a(panels, in_parallel) > bears_a


def string_fuse_a(panels: Panels, wiring: Wiring, in_parallel: int, rules: RuleSet) -> float | None:
    """Fuse that each string takes, A: given or the next size up; None where there is none.

    Parameters
    ----------
    panels : Panels
        Of the string.
    wiring : Wiring
        What the van's file says of string fuses.
    in_parallel : int
        Strings on its controller, those of other arrays among them.
    rules : RuleSet
        In force.
    """
    if in_parallel < 2 or not wiring.string_fused:
        return None
    if wiring.string_fuse_a is not None:
        return wiring.string_fuse_a
    if not strings_need_fuses(panels, in_parallel):
        return None
    return next_up(fuse_sizes_a(), string_design_a(panels, rules))


def solar_charge_a(van: Van) -> float:
    """Current that all arrays' controllers can put into the bank, A."""
    return sum(_controller_a(van, group) for group in arrays_by_controller(van))


def _controller_a(van: Van, group: tuple[WiredArray, ...]) -> float:
    controller = group[0].controller
    if controller.kind == "pwm":
        array_a = sum(one.panels.isc_a * one.strings for one in group)
    else:
        chemistry = load_chemistry(van.battery.chemistry)
        bank_v = charging_voltage_v(chemistry, float(van.van.system_voltage_v))
        array_a = sum(one.power_w for one in group) / bank_v
    return min(array_a, controller.max_output_a)


def dcdc_a(van: Van) -> float:
    """Rated output of the DC-DC charger, A."""
    return 0.0 if van.alternator is None else van.alternator.dcdc_a


def second_alternator_a(van: Van) -> float:
    """Rated current of a second alternator that feeds the bank straight, A."""
    second = None if van.alternator is None else van.alternator.second
    return 0.0 if second is None else second.charging_a


def engine_a(van: Van) -> float:
    """Rated current of all that charges the bank from the engine, A."""
    return dcdc_a(van) + second_alternator_a(van)


def charger_a(van: Van) -> float:
    """Rated output of the shore charger, A."""
    return 0.0 if van.shore is None else van.shore.charger_a


def generator_a(van: Van) -> float:
    """Rated output of a charger that a generator alone feeds, A."""
    given_a = None if van.generator is None else van.generator.charger_a
    return 0.0 if given_a is None else given_a


def sum_of_chargers_a(van: Van) -> float:
    """Current into the bank with the sun and the largest of engine, shore power and generator, A.

    A van that is plugged in does not drive, and nobody runs a generator meanwhile.
    """
    return solar_charge_a(van) + max(engine_a(van), charger_a(van), generator_a(van))


def dcdc_input_a(van: Van) -> float:
    """Current from the alternator at the vehicle's nominal voltage, A."""
    if van.alternator is None:
        return 0.0
    if van.alternator.coupling == "split relay":
        return van.alternator.dcdc_a
    output_w = van.alternator.dcdc_a * absorption_v(van)
    return output_w / rule("dcdc_efficiency").value / van.alternator.vehicle_voltage_v


def charger_input_w(van: Van) -> float:
    """What the shore charger takes from the post at full current, W."""
    if van.shore is None:
        return 0.0
    return van.shore.charger_a * absorption_v(van) / van.shore.charger_efficiency


def inverter_low_v(van: Van) -> float:
    """Lowest voltage at which the inverter still works, V: its own cut-off or the bank's."""
    cutoff_v = None if van.inverter is None else van.inverter.cutoff_v
    own_v = rule("inverter_cutoff_v").value * scale(van) if cutoff_v is None else cutoff_v
    return max(own_v, load_chemistry(van.battery.chemistry).cutoff_v * scale(van))


def inverter_surge_w(van: Van) -> float:
    """Power that the inverter gives for seconds, W."""
    if van.inverter is None:
        return 0.0
    given_w = van.inverter.surge_w
    return rule("surge_rating_ratio").value * van.inverter.power_w if given_w is None else given_w


def inverter_input_a(van: Van, ac_w: float) -> float:
    """Current from the bank at an AC power, at the lowest voltage, A.

    The efficiency is that of full load; a surge is served no better.
    """
    if van.inverter is None:
        return 0.0
    return ac_w / van.inverter.full_load_efficiency / inverter_low_v(van)


def dc_current_a(van: Van, power_w: float) -> float:
    """Running current of a DC load of constant power, A, at 95 % of the system's voltage.

    References
    ----------
    .. [1] IEEE 1013-2007, 5.2.2: 120 W on 12 V are 10.53 A.
    """
    return power_w / (rule("running_voltage_share").value * van.van.system_voltage_v)


def short_circuit_a(van: Van) -> float:
    """Current of the bank into a dead short, A; strings in parallel add."""
    battery = van.battery
    if battery.short_circuit_a is not None:
        one_a = battery.short_circuit_a
    else:
        kind = "lfp" if battery.chemistry == "lfp" else "lead"
        one_a = rule(f"short_circuit_{kind}_per_ah").value * battery.unit_capacity_ah
    return one_a * strings_of_bank(van)


def next_up(sizes: tuple[float, ...], least: float) -> float | None:
    """Return the smallest of rising sizes that is not below `least`; None if there is none."""
    return next((size for size in sizes if size >= least or math.isclose(size, least)), None)
