"""The topology of a van, put together from its parts, its rules and its sized cables."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from solarsim.electrical.cables import Cable
from solarsim.electrical.circuit.branch_runs import AFTER_CONVERTER, BEFORE_SWITCH
from solarsim.electrical.circuit.drawing import Drawing, Ends
from solarsim.electrical.circuit.mains_runs import draw_mains
from solarsim.electrical.circuit.solar_runs import draw_solar
from solarsim.electrical.circuit.topology import Topology
from solarsim.electrical.currents import absorption_v, strings_of_bank
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import rule
from solarsim.inputs.van import Van

__all__ = ["topology_of"]

_PLUS, _MINUS = "positive bus", "negative bus"
_ALARMS = "gas, smoke and CO alarms"


def topology_of(
    van: Van, rules: RuleSet, cables: Sequence[Cable], *, record_low_c: float
) -> Topology:
    """Return the whole circuit of a van.

    Parameters
    ----------
    van : Van
        Parts and wiring.
    rules : RuleSet
        In force.
    cables : sequence of Cable
        Its DC runs, as `cables_of` gives them.
    record_low_c : float
        Coldest air, degrees C: string fuses and isolators bear the voltage of that morning.
    """
    drawing = Drawing(rules)
    by_key = {cable.circuit.key: cable for cable in cables}
    _draw_bank(drawing, van, by_key)
    _draw_feeders(drawing, van, by_key)
    _draw_branches(drawing, van, cables)
    draw_solar(drawing, van, cables, record_low_c)
    _draw_engine(drawing, van, by_key)
    _draw_second_alternator(drawing, van, by_key)
    draw_mains(drawing, van, by_key.get("main"))
    cut = [node.name for node in drawing.nodes if node.kind in {"inverter", "fuse block"}]
    unswitched = [c.circuit.name for c in cables if c.circuit.fuse_place == BEFORE_SWITCH]
    return Topology(
        rules=rules.name,
        nodes=tuple(drawing.nodes),
        runs=tuple(drawing.runs),
        switched_off=()
        if van.wiring.main_switch is False
        else (*cut, "all chargers: their sources are switched off first"),
        stays_on=tuple(unswitched or [f"{_ALARMS}, with a fuse of their own ({BEFORE_SWITCH})"]),
    )


def _draw_bank(drawing: Drawing, van: Van, by_key: dict[str, Cable]) -> None:
    """Bank, main fuse, main switch and positive bus; shunt and negative bus."""
    wiring, bank_v, strings = van.wiring, absorption_v(van), strings_of_bank(van)
    battery = van.battery
    drawing.node(
        "bank",
        "bank",
        f"{van.bank_capacity_ah:g} Ah {battery.chemistry.upper()}, {van.van.system_voltage_v} V",
    )
    main, string = by_key.get("main"), by_key.get("bank_string")
    if string is not None:
        drawing.node("battery string", "battery string", _string_words(van), count=strings)
        drawing.cable(
            string,
            Ends("battery string", "bank", "bank"),
            voltage_v=bank_v,
            protected=string.circuit.fused_at_source,
        )
    if main is None:
        return
    amps = f"at least {main.circuit.design_a:.0f} A, {bank_v:.1f} V DC"
    planned = "left out of the van's file: planned"
    chain = ["bank"]
    if wiring.main.fused:
        chain.append(drawing.node("main fuse", "fuse", "main fuse", rating=_fuse_words(main)))
    if wiring.main_switch is not False:
        why = "" if wiring.main_switch else planned
        chain.append(
            drawing.node(
                "main switch", "switch", "main switch", rating=amps, planned=bool(why), why=why
            )
        )
    chain.append(drawing.node("positive bus", "positive bus", "positive bus", rating=amps))
    back = ["bank"]
    if wiring.shunt is not False:
        why = "" if wiring.shunt else planned
        back.append(
            drawing.node("shunt", "shunt", "shunt", rating=amps, planned=bool(why), why=why)
        )
    back.append(drawing.node("negative bus", "negative bus", "negative bus", rating=amps))
    _draw_chain(drawing, main, chain, "+", bank_v)
    _draw_chain(drawing, main, back, "-", bank_v)


def _draw_chain(
    drawing: Drawing, main: Cable, chain: Sequence[str], pole: str, bank_v: float
) -> None:
    """One pole of the bank's own run, cut where something stands in it."""
    length_m = main.circuit.length_m
    near_m = 0.0
    if "main fuse" in chain and len(chain) > 2:
        given_m = main.circuit.run.fuse_from_source_m
        near_m = min(length_m / 2.0, rule("fuse_place_m").value if given_m is None else given_m)
    pairs = list(itertools.pairwise(chain))
    rest_m = (length_m - near_m) / (len(pairs) - (near_m > 0.0))
    for index, (start, end) in enumerate(pairs):
        first = index == 0 and near_m > 0.0
        drawing.cable(
            main,
            Ends(start, end, poles=(pole,)),
            voltage_v=bank_v,
            name=f"{start} to {end}",
            length_m=near_m if first else rest_m,
            protected=start == "main fuse" or (end == "positive bus" and "main fuse" not in chain),
            why="the main fuse stands at its end"
            if first
            else "the main fuse protects it"
            if main.circuit.run.fused
            else "no main fuse",
        )


def _draw_feeders(drawing: Drawing, van: Van, by_key: dict[str, Cable]) -> None:
    """What hangs on the buses, but the solar controllers."""
    bank_v = absorption_v(van)
    if van.inverter is not None and "bank_inverter" in by_key:
        drawing.node("inverter", "inverter", f"inverter {van.inverter.power_w:,g} W")
        drawing.cable(by_key["bank_inverter"], Ends(_PLUS, "inverter", _MINUS), voltage_v=bank_v)
    if "bank_bus" in by_key:
        drawing.node("fuse block", "fuse block", "DC fuse block")
        drawing.cable(by_key["bank_bus"], Ends(_PLUS, "fuse block", _MINUS), voltage_v=bank_v)
    if "dcdc_out" in by_key and van.alternator is not None:
        drawing.node("dcdc charger", "dcdc charger", f"DC-DC charger {van.alternator.dcdc_a:g} A")
        drawing.cable(by_key["dcdc_out"], Ends("dcdc charger", _PLUS, _MINUS), voltage_v=bank_v)
    if "charger_bank" in by_key and van.shore is not None:
        drawing.node("shore charger", "shore charger", f"shore charger {van.shore.charger_a:g} A")
        drawing.cable(
            by_key["charger_bank"], Ends("shore charger", _PLUS, _MINUS), voltage_v=bank_v
        )
    if "generator_bank" in by_key and van.generator is not None:
        name = f"generator's charger {van.generator.charger_a:g} A"
        drawing.node("generator charger", "generator charger", name)
        drawing.cable(
            by_key["generator_bank"], Ends("generator charger", _PLUS, _MINUS), voltage_v=bank_v
        )


def _draw_branches(drawing: Drawing, van: Van, cables: Sequence[Cable]) -> None:
    back = "chassis" if van.wiring.chassis_return else "negative bus"
    poles = ("+",) if van.wiring.chassis_return else ("+", "-")
    bank_v = absorption_v(van)
    for cable in cables:
        circuit = cable.circuit
        if circuit.key == "converter":
            drawing.node("converter", "converter", "converter to 12 V")
            drawing.cable(cable, Ends("fuse block", "converter", "fuse block"), voltage_v=bank_v)
    for number, cable in enumerate((c for c in cables if c.circuit.key == "branches"), start=1):
        circuit = cable.circuit
        start = "fuse block"
        if circuit.fuse_place == AFTER_CONVERTER:
            start = "converter"
        elif circuit.fuse_place == BEFORE_SWITCH:
            start = "main fuse" if van.wiring.main.fused else "bank"
        node = drawing.node(f"load {number}", "load", circuit.name)
        drawing.cable(
            cable,
            Ends(start, node, start if start in {"fuse block", "converter"} else back, poles),
            voltage_v=circuit.running_v if start == "converter" else bank_v,
            protected=circuit.run.fused,
            why="" if circuit.run.fused else "no fuse",
        )


def _draw_engine(drawing: Drawing, van: Van, by_key: dict[str, Cable]) -> None:
    cable = by_key.get("dcdc_in")
    alternator = van.alternator
    if cable is None or alternator is None:
        return
    rated = "" if alternator.rating_a is None else f"{alternator.rating_a:g} A"
    drawing.node("alternator", "alternator", "alternator", side="engine", rating=rated)
    drawing.node("starter battery", "starter battery", "starter battery", side="engine")
    own = by_key.get("alternator")
    if own is not None:
        drawing.cable(
            own,
            Ends("alternator", "starter battery", "starter battery", side="engine"),
            voltage_v=alternator.vehicle_voltage_v * 1.25,
            protected=own.fuse_a is not None,
            why="" if own.fuse_a is not None else "no fuse",
        )
    drawing.cable(
        cable,
        Ends("starter battery", "dcdc charger", "starter battery", side="engine"),
        voltage_v=alternator.vehicle_voltage_v * 1.25,
        protected=cable.fuse_a is not None,
        why="" if cable.fuse_a is not None else "no fuse",
    )


def _draw_second_alternator(drawing: Drawing, van: Van, by_key: dict[str, Cable]) -> None:
    """A second alternator on the positive bus; it stands after the vehicle's own."""
    cable = by_key.get("second_alternator")
    second = None if van.alternator is None else van.alternator.second
    if cable is None or second is None:
        return
    rated = "" if second.rating_a is None else f"{second.rating_a:g} A"
    name = f"second alternator, {second.charging_a:g} A"
    drawing.node("second alternator", "alternator", name, side="engine", rating=rated)
    drawing.cable(cable, Ends("second alternator", _PLUS, _MINUS), voltage_v=absorption_v(van))


def _string_words(van: Van) -> str:
    battery, series = van.battery, van.units_in_series
    one = f"{battery.unit_capacity_ah:g} Ah, {battery.unit_voltage_v} V"
    return one if series == 1 else f"{series} in series of {one}"


def _fuse_words(cable: Cable) -> str:
    breaks_a = cable.circuit.interrupts_a
    words = "none fits" if cable.fuse_a is None else f"{cable.fuse_a:g} A"
    return words if breaks_a is None else f"{words}, breaks {breaks_a:,.0f} A"
