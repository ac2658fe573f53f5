"""The solar side of the topology: strings, where they join, isolators, controllers."""

from __future__ import annotations

import math
from collections.abc import Sequence

from solarsim.electrical.cables import Cable
from solarsim.electrical.circuit.drawing import Drawing, Ends
from solarsim.electrical.currents import absorption_v
from solarsim.electrical.string_voltage import cold_string_v
from solarsim.electrical.wired_arrays import WiredArray, arrays_by_controller
from solarsim.inputs.van import Van

__all__ = ["draw_solar"]

# From the isolator beside the controller to it, one way.
_ISOLATOR_M = 0.3


def draw_solar(drawing: Drawing, van: Van, cables: Sequence[Cable], record_low_c: float) -> None:
    """Add every array with its strings, isolator and controller, and the controller's feeder."""
    feeders = [c for c in cables if c.circuit.key == "controller_bank"]
    strings = {c.circuit.name: c for c in cables if c.circuit.key == "panels_string"}
    runs = {c.circuit.name: c for c in cables if c.circuit.key == "panels_controller"}
    for number, (group, feeder) in enumerate(
        zip(arrays_by_controller(van), feeders, strict=True), start=1
    ):
        rating = group[0].controller
        controller = drawing.node(
            f"solar controller {number}",
            "solar controller",
            f"{rating.kind.upper()} controller {rating.max_input_v:g} V, {rating.max_output_a:g} A",
            side="solar",
        )
        drawing.cable(
            feeder,
            Ends(controller, "positive bus", "negative bus"),
            voltage_v=absorption_v(van),
            protected=feeder.fuse_a is not None,
            why="" if feeder.fuse_a is not None else "no fuse",
        )
        for one in group:
            lead = "" if one.own_panels else f"{one.name}: "
            _draw_array(
                drawing,
                one,
                strings.get("each string of panels" if one.own_panels else f"{lead}each string"),
                runs[f"{lead}panels to controller"],
                controller,
                cold_string_v(one.panels, record_low_c)[0],
            )


def _draw_array(
    drawing: Drawing,
    array: WiredArray,
    string: Cable | None,
    cable: Cable,
    controller: str,
    cold_v: float,
) -> None:
    panels = array.panels
    start = drawing.node(
        f"array {array.name}",
        "array",
        f"{panels.count} x {panels.power_w:g} W, {panels.series} in series",
        side="solar",
        rating=f"{cold_v:.1f} V on the coldest morning",
        count=array.strings,
    )
    fused = cable.fuse_a is not None
    if string is not None:
        combiner = drawing.node(
            f"combiner {array.name}",
            "combiner",
            "string fuses" if fused else "branch connectors",
            side="solar",
            rating=f"at least {_up(cold_v)} V DC",
        )
        drawing.cable(
            string,
            Ends(start, combiner, combiner, side="solar"),
            voltage_v=cold_v,
            protected=fused,
            why="" if fused else string.circuit.fuse_place,
        )
        start = combiner
    isolator = drawing.node(
        f"isolator {array.name}",
        "isolator",
        "DC isolator, both poles",
        side="solar",
        rating=f"at least {_up(cold_v)} V DC, {_up(cable.circuit.current_a)} A",
        planned=True,
        why="NEC 690.13 and HD 60364-7-712.536 (from memory): a switch for DC at the controller",
    )
    length_m = cable.circuit.length_m
    near_m = min(_ISOLATOR_M, length_m / 2.0)
    why = "the array limits its own current" + ("; its strings are fused" if fused else "")
    for begin, end, part_m in (
        (start, isolator, length_m - near_m),
        (isolator, controller, near_m),
    ):
        drawing.cable(
            cable,
            Ends(begin, end, end, side="solar"),
            voltage_v=cold_v,
            name=f"{cable.circuit.name}, {'to the' if end == isolator else 'from the'} isolator",
            length_m=part_m,
            protected=False,
            why=why,
        )


def _up(least: float) -> int:
    """A rating in whole units that is no less, but for the last digits of its sum."""
    return math.ceil(least - 1e-6)
