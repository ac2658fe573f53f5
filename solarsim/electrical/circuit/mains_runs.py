"""The mains side of the topology, and the bonds to the chassis."""

from __future__ import annotations

import math

from solarsim.electrical.cables import Cable
from solarsim.electrical.circuit.drawing import Drawing, Drop, Ends
from solarsim.electrical.circuit.mains_cables import MainsCable, mains_cables
from solarsim.electrical.circuit.mains_legs import inverter_breaker_a
from solarsim.electrical.circuit.topology import Protection, Sourced
from solarsim.electrical.rules import rule
from solarsim.electrical.wire import parse_wire
from solarsim.inputs.van import Van

__all__ = ["draw_mains"]

_POLES = ("L", "N", "PE")


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
    for cable in mains_cables(van, drawing.rules):
        _draw_cable(drawing, cable)
    _draw_bonds(drawing, van, main, has_mains=has_mains)


def _draw_outlets(drawing: Drawing, van: Van, guard: str, *, planned: bool) -> None:
    ac = drawing.rules.ac
    if van.inverter is not None and van.shore is not None:
        given_a = van.inverter.transfer_a
        # One that is planned carries what either side may send through it.
        planned_a = max(van.shore.breaker_a, inverter_breaker_a(drawing.rules, van)[0])
        rated_a = planned_a if given_a is None else given_a
        drawing.node(
            "transfer switch",
            "transfer switch",
            "transfer switch, all poles",
            side="mains",
            rating=f"{math.ceil(10.0 * rated_a - 1e-6) / 10.0:g} A",
            planned=given_a is None,
            why=f"{ac.transfer}; {ac.neutral}",
        )
    drawing.node(
        "outlets", "outlets", f"outlets behind {guard}", side="mains", planned=planned,
        why=ac.source,
    )  # fmt: skip


def _draw_cable(drawing: Drawing, cable: MainsCable) -> None:
    ac, leg, bears = drawing.rules.ac, cable.leg, cable.bears
    limit = drawing.rules.rule("mains_drop_end")
    ampacity_a = 0.0 if bears is None else bears.ampacity_a
    guard = Protection(
        "breaker",
        leg.breaker_a,
        leg.breaker_a,
        cable.most_a,
        "both poles, with residual current" if leg.key != "ac_inlet" else "",
        cable.voltage_v,
        None,
        leg.breaker_place,
        given=False,
    )
    drawing.mains(
        leg.key,
        leg.name,
        Ends(leg.start, leg.end, leg.end, _POLES, "mains"),
        voltage_v=cable.voltage_v,
        current_a=leg.breaker_a,
        length_m=cable.length_m,
        wire="none fits" if cable.wire is None else cable.leg.run.wire or cable.wire.name,
        sizes=(cable.gauge, cable.metric),
        area_mm2=0.0 if cable.wire is None else cable.wire.area_mm2,
        given=cable.given,
        protection=guard if leg.has_breaker else None,
        why="no breaker is large enough",
        rules=(
            Sourced("conductor", f"for a breaker of {leg.breaker_a:g} A", ac.conductor_source),
            Sourced("ampacity", f"{ampacity_a:.0f} A", ac.cable_source),
            Sourced("drop", f"at most {100.0 * limit.value:g} % in all", limit.source),
            Sourced("protection", f"{ac.rcd_ma:g} mA", ac.source),
        ),
        bears=bears,
        drop=None
        if cable.wire is None
        else Drop(cable.drop_v, cable.drop_share, cable.drop_end_share, limit.value),
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
