"""What the check takes for granted, and what it does not look at at all."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.electrical.ampacity import ENGINE_SPACE_C, TABLE_AIR_C
from solarsim.electrical.cables import Cable
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.circuit.mains_cables import mains_cables
from solarsim.electrical.converter import converter_load
from solarsim.electrical.currents import short_circuit_a
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import rule
from solarsim.electrical.site import Extremes
from solarsim.electrical.string_voltage import cold_string_v
from solarsim.electrical.wired_arrays import arrays_by_controller
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van

__all__ = ["assumed", "not_looked_at"]


def assumed(
    van: Van, profile: Profile, rules: RuleSet, cables: tuple[Cable, ...], extremes: Extremes
) -> Iterator[str]:
    """Yield the defaults that stand in for what the van's file does not say."""
    yield from _planned(van)
    battery, alternator, inverter = van.battery, van.alternator, van.inverter
    default = [cable for cable in cables if cable.circuit.run.length_m is None]
    if default:
        lengths = ", ".join(
            f"{name} {length_m:g} m"
            for name, length_m in dict.fromkeys(
                (_branch_or_name(cable.circuit), cable.circuit.length_m) for cable in default
            )
        )
        yield f"lengths one way: {lengths}"
    if any(not cable.given for cable in cables):
        insulation_c = rules.rule("insulation_c").value
        yield (
            f"copper conductors of {insulation_c:g} C insulation where none is given, those of "
            "panels of 90 C, "
            f"in air of {TABLE_AIR_C:g} C, or of {ENGINE_SPACE_C:g} C in the engine space, bundled "
            "with no other run where none is given; cable sold by SAE gauge has up to 12 % less "
            "copper than AWG of the same number (from memory): take one size larger"
        )
    yield from _mains(van, rules)
    aired = [cable.circuit for cable in cables if cable.circuit.key == "panels_controller"]
    for circuit in aired:
        if circuit.run.ambient_c is None:
            yield (
                f"air of {circuit.ambient_c:.0f} C along the run '{circuit.name}' "
                f"({circuit.ambient_source})"
            )
    arrays = [array for group in arrays_by_controller(van) for array in group]
    coldest_v = max((cold_string_v(a.panels, extremes.low_c)[0] for a in arrays), default=0.0)
    if rules.name == "boat" and coldest_v >= rule("low_voltage_v").value:
        yield "the table of conductors for systems below 50 V for the panels, which exceed it"
    if battery.bms_discharge_a is None or battery.bms_charge_a is None:
        yield "the chemistry's usual current limits for what the battery's data do not say"
    if battery.short_circuit_a is None:
        yield f"{short_circuit_a(van):,.0f} A from a short-circuited bank, estimated by its Ah"
    if alternator is not None and alternator.dcdc_a > 0.0 and alternator.rating_a is None:
        yield f"an alternator of {rule('alternator_rating_a').value:g} A"
    hanging = converter_load(van, profile)
    if hanging.power_w > 0.0 and (van.converter is None or van.converter.power_w is None):
        yield f"a converter to 12 V that carries the {hanging.power_w:,.0f} W behind it"
    if inverter is not None and inverter.surge_w is None:
        yield f"an inverter's surge of {rule('surge_rating_ratio').value:g} times its rating"
    if inverter is not None and van.shore is not None and inverter.transfer_a is None:
        yield "a transfer switch that carries the larger of the post's breaker and the inverter's"
    if battery.charger_absorption_v is None:
        yield "chargers set to the chemistry's voltage, without equalising"
    if battery.chemistry == "lfp" and battery.bms_cold_cutoff and not battery.self_heating:
        yield "a BMS that stops charging below freezing"


def _mains(van: Van, rules: RuleSet) -> Iterator[str]:
    cables = mains_cables(van, rules)
    default = [cable for cable in cables if cable.leg.run.length_m is None]
    if default:
        lengths = ", ".join(f"{cable.leg.name} {cable.length_m:g} m" for cable in default)
        yield f"lengths of mains cable one way: {lengths}"
    if cables:
        yield (
            "mains cable of two loaded copper conductors with earth in one sheath, "
            f"{rule('mains_insulation_c').value:g} C insulation, in air of {TABLE_AIR_C:g} C, "
            "bundled with no other run and not inside the van's insulation: "
            f"{rules.ac.cable_source}"
        )


def _planned(van: Van) -> Iterator[str]:
    wiring = van.wiring
    planned = [
        name
        for name, given in (
            ("a main switch", wiring.main_switch),
            ("a shunt", wiring.shunt),
            ("bonds of negative bus and mains earth to the chassis", wiring.chassis_bond),
            ("residual-current protection of the mains side", wiring.rcd),
        )
        if given is None
    ]
    if planned:
        yield f"planned, for the van's file does not speak of them: {', '.join(planned)}"


def not_looked_at(van: Van) -> Iterator[str]:
    """Yield what no rule here looks at, or what cannot be for want of data."""
    for group in arrays_by_controller(van):
        one, controller = group[0], group[0].controller
        named = "the controller's" if one.van_controller else f"the controller of '{one.name}':"
        if controller.max_input_a is None:
            yield f"{named} largest input current (controller.max_input_a is not given)"
        for array in group:
            parallel = sum(each.strings for each in group)
            if array.panels.max_series_fuse_a is None and parallel > 1:
                yield (
                    f"the series fuse rating of the panels of '{array.name}' "
                    "(panels.max_series_fuse_a is not given): it is taken to bear the current of "
                    "one other string, not of two"
                )
    if van.generator is not None:
        yield (
            "the generator: its socket, earthing and neutral bond, and the switch-over from shore "
            "power and inverter"
        )
    if not any(branch.unswitched for branch in van.wiring.branches):
        yield "gas, smoke and CO alarms: none is described; they are fed before the main switch"
    if van.alternator is not None and van.wiring.alternator.wire is None:
        yield "the vehicle's own cable from alternator to starter battery (wiring.alternator)"
    if van.alternator is not None and van.alternator.second is not None:
        yield (
            "the second alternator: its bracket and belt, and the voltage that it rises to when a "
            "battery's BMS cuts it off while it charges"
        )
        if van.alternator.second.rating_a is None:
            yield "the second alternator's own rating (alternator.second.rating_a is not given)"
    if van.shore is not None or van.inverter is not None:
        if van.shore is not None:
            yield (
                "the lead from the post, and the post's own voltage: what mains lose on the way "
                "counts from the inlet or the inverter"
            )
        yield (
            "the mains side beyond its runs: earth-fault loop, polarity of the post, trip of the "
            "residual-current device, which are measured"
        )
    yield "crimps, torque of terminals, glands, chafe protection and strain relief"
    yield "how batteries, panels and cables are fixed against a crash"
    yield "the gas system, the vehicle's own electrics, and what appliances are like inside"


def _branch_or_name(circuit: Circuit) -> str:
    return "each branch" if circuit.key == "branches" else circuit.name
