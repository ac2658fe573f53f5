"""The mains side of the topology, and the bonds to the chassis."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.electrical.cables import Cable
from solarsim.electrical.circuit.drawing import Drawing, Ends
from solarsim.electrical.circuit.topology import Protection, Sourced
from solarsim.electrical.currents import charger_input_w, next_up
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import rule
from solarsim.electrical.wire import parse_wire
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import AcRun

__all__ = ["MainsLeg", "draw_mains", "mains_legs", "mains_sizes", "mains_voltage_v"]

_POLES = ("L", "N", "PE")


class MainsLeg(NamedTuple):
    """One mains run: its table, what it joins, and the current that its breaker lets through, A."""

    key: str
    name: str
    start: str
    end: str
    run: AcRun
    breaker_a: float
    breaker_place: str


def mains_voltage_v(rules: RuleSet, van: Van) -> float:
    """Mains voltage aboard, V: the post's, the inverter's, or that of the rules' country."""
    if van.shore is not None:
        return van.shore.mains_voltage_v
    made_v = None if van.inverter is None else van.inverter.output_v
    return rules.ac.voltage_v if made_v is None else made_v


def mains_sizes(rules: RuleSet, breaker_a: float) -> tuple[str, str]:
    """Return gauge and metric size of mains cable behind a breaker; empty beyond the table."""
    for most_a, gauge, metric in rules.ac.conductors:
        if breaker_a <= most_a:
            return gauge, metric
    return "", ""


def draw_mains(drawing: Drawing, van: Van, main: Cable | None) -> None:
    """Add inlet, protection, transfer switch, outlets, earth and the bonds to the chassis."""
    ac, shore, inverter = drawing.rules.ac, van.shore, van.inverter
    has_mains = shore is not None or inverter is not None
    planned = van.wiring.rcd is None
    guard = f"{ac.protection} ({ac.rcd_ma:g} mA)" if van.wiring.rcd is not False else "breaker"
    if shore is not None:
        amps = f"{shore.breaker_a:g} A, {shore.mains_voltage_v:g} V"
        drawing.node(
            "shore inlet", "shore inlet", "shore inlet", side="mains", rating=amps, why=ac.inlet
        )
        drawing.node(
            "mains protection",
            "mains protection",
            guard,
            side="mains",
            rating=amps,
            planned=planned,
            why=ac.source,
        )
    if has_mains:
        _draw_outlets(drawing, van, guard, planned=planned)
    for leg in mains_legs(van, drawing.rules):
        _draw_leg(drawing, leg, mains_voltage_v(drawing.rules, van))
    _draw_bonds(drawing, van, main, has_mains=has_mains)


def mains_legs(van: Van, rules: RuleSet) -> list[MainsLeg]:
    """Return the runs of mains cable from the inlet and the inverter to the outlets."""
    shore = [] if van.shore is None else _shore_legs(rules, van)
    return shore + ([] if van.inverter is None else _inverter_legs(rules, van))


def _shore_legs(rules: RuleSet, van: Van) -> list[MainsLeg]:
    shore, wiring = van.shore, van.wiring
    assert shore is not None
    inlet, guard, post_a = "shore inlet", "mains protection", shore.breaker_a
    at_inlet = "at the mains protection, within reach of the inlet"
    own = "at the post; the van's own follows at its end"
    found = [
        MainsLeg(
            "ac_inlet", "shore inlet to protection", inlet, guard, wiring.ac_inlet, post_a, own
        )
    ]
    if shore.charger_a > 0.0:
        draws_a = charger_input_w(van) / shore.mains_voltage_v
        wanted_a = rules.rule("continuous_factor").value * draws_a
        charger = min(next_up(rules.ac.breakers, wanted_a) or post_a, post_a)
        name, target = "protection to shore charger", "shore charger"
        found.append(
            MainsLeg("ac_charger", name, guard, target, wiring.ac_charger, charger, at_inlet)
        )
    target = "outlets" if van.inverter is None else "transfer switch"
    through_a = min(post_a, rules.ac.outlet_a) if van.inverter is None else post_a
    name = f"protection to {target}"
    found.append(
        MainsLeg("ac_transfer", name, guard, target, wiring.ac_transfer, through_a, at_inlet)
    )
    return found


def _inverter_legs(rules: RuleSet, van: Van) -> list[MainsLeg]:
    inverter, shore, wiring = van.inverter, van.shore, van.wiring
    assert inverter is not None
    out_a = _inverter_breaker_a(rules, van)
    at_output = "at the inverter's output"
    target = "outlets" if shore is None else "transfer switch"
    through_a = min(out_a, rules.ac.outlet_a) if shore is None else out_a
    name, run = f"inverter to {target}", wiring.ac_inverter
    found = [MainsLeg("ac_inverter", name, "inverter", target, run, through_a, at_output)]
    if shore is not None:
        outlet_a = min(max(out_a, shore.breaker_a), rules.ac.outlet_a)
        name, place = "transfer switch to outlets", "at the transfer switch, one for each circuit"
        found.append(
            MainsLeg("ac_outlets", name, target, "outlets", wiring.ac_outlets, outlet_a, place)
        )
    return found


def _inverter_breaker_a(rules: RuleSet, van: Van) -> float:
    """Breaker at the inverter's output."""
    assert van.inverter is not None
    rated_a = van.inverter.power_w / mains_voltage_v(rules, van)
    return next_up(rules.ac.breakers, rated_a) or rated_a


def _draw_outlets(drawing: Drawing, van: Van, guard: str, *, planned: bool) -> None:
    ac = drawing.rules.ac
    if van.inverter is not None and van.shore is not None:
        given_a = van.inverter.transfer_a
        # One that is planned carries what either side may send through it.
        planned_a = max(van.shore.breaker_a, _inverter_breaker_a(drawing.rules, van))
        rated_a = planned_a if given_a is None else given_a
        drawing.node(
            "transfer switch",
            "transfer switch",
            "transfer switch, all poles",
            side="mains",
            rating=f"{rated_a:g} A",
            planned=given_a is None,
            why=f"{ac.transfer}; {ac.neutral}",
        )
    drawing.node(
        "outlets", "outlets", f"outlets behind {guard}", side="mains", planned=planned,
        why=ac.source,
    )  # fmt: skip


def _draw_leg(drawing: Drawing, leg: MainsLeg, mains_v: float) -> None:
    ac = drawing.rules.ac
    sizes = mains_sizes(drawing.rules, leg.breaker_a)
    native = sizes[1] if drawing.rules.native_metric else sizes[0]
    wire = leg.run.wire or native or "none fits"
    default_m = rule(f"length_{leg.key}_m").value
    drawing.mains(
        leg.key,
        leg.name,
        Ends(leg.start, leg.end, leg.end, _POLES, "mains"),
        voltage_v=mains_v,
        current_a=leg.breaker_a,
        length_m=default_m if leg.run.length_m is None else leg.run.length_m,
        wire=wire,
        sizes=sizes,
        area_mm2=0.0 if wire == "none fits" else parse_wire(wire).area_mm2,
        given=leg.run.wire is not None,
        protection=Protection(
            "breaker",
            leg.breaker_a,
            leg.breaker_a,
            leg.breaker_a,
            "both poles, with residual current" if leg.key != "ac_inlet" else "",
            mains_v,
            None,
            leg.breaker_place,
            given=False,
        ),
        why="",
        rules=(
            Sourced("conductor", f"for a breaker of {leg.breaker_a:g} A", ac.conductor_source),
            Sourced("protection", f"{ac.rcd_ma:g} mA", ac.source),
        ),
    )


def _draw_bonds(drawing: Drawing, van: Van, main: Cable | None, *, has_mains: bool) -> None:
    bond = drawing.rules.bond
    if van.wiring.chassis_bond is not False or van.wiring.chassis_return:
        drawing.node("chassis", "chassis", "chassis", side="earth")
    if van.wiring.chassis_bond is False:
        return
    native = bond.metric if drawing.rules.native_metric else bond.awg
    if main is not None and main.wire is not None:
        main_sizes = (
            main.gauge.name if main.gauge else "",
            main.metric.name if main.metric else "",
        )
        same = "common practice, no source: as thick as the main cable"
        _draw_bond(drawing, "negative bus", main.wire.name, main_sizes, same)
    if has_mains:
        drawing.node("earth bar", "earth bar", "earth bar of the mains side", side="earth")
        _draw_bond(drawing, "earth bar", native, (bond.awg, bond.metric), bond.source)


def _draw_bond(
    drawing: Drawing, start: str, wire: str, sizes: tuple[str, str], source: str
) -> None:
    drawing.mains(
        "",
        f"{start} to chassis",
        Ends(start, "chassis", poles=("bond",), side="earth"),
        voltage_v=0.0,
        current_a=0.0,
        length_m=rule("length_bond_m").value,
        wire=wire,
        sizes=sizes,
        area_mm2=parse_wire(wire).area_mm2,
        given=False,
        protection=None,
        why="a bond carries current in a fault alone and is never fused",
        rules=(Sourced("bond", f"{wire}, at one point", source),),
    )
