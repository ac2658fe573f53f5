"""The runs of the arrays: each string to where they join, and from there to the controller."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from solarsim.electrical.circuit.circuit import Circuit, circuit_of, run_insulation_c, run_length_m
from solarsim.electrical.currents import array_short_circuit_a, string_fuse_a
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import rule
from solarsim.electrical.wired_arrays import WiredArray
from solarsim.inputs.wiring import Wiring

__all__ = ["array_circuits"]


def array_circuits(
    rules: RuleSet,
    wiring: Wiring,
    array: WiredArray,
    in_parallel: int,
    record_high_c: float | None,
) -> Iterator[Circuit]:
    """Each string to where they join, and from there to the controller.

    Conductors by NEC 690.8(B) or HD 60364-7-712, in the heat of a roof in the sun; the drop at
    maximum power. They bear the design current before any factor for heat and bundling, and 125 %
    of the short circuit after those: the larger of the two counts, never both at once.
    """
    panels, on_roof = array.panels, array.on_roof
    run = array.run
    fuse_a = string_fuse_a(panels, wiring, in_parallel, rules)
    circuit = circuit_of(
        rules,
        "panels_controller",
        "panels to controller" if array.own_panels else f"{array.name}: panels to controller",
        array_short_circuit_a(array),
        array.string_vmp_v,
        run,
        "in each string, at the panels"
        if fuse_a is not None
        else "none needed: the array limits its own current; a switch at the controller",
    )
    if run.ambient_c is None:
        air_c, air_source = _array_air(record_high_c, on_roof=on_roof)
        circuit = dataclasses.replace(
            circuit, ambient_c=air_c, ambient_source=air_source, roof_heat=on_roof
        )
    whole = dataclasses.replace(
        circuit,
        design_a=rules.rule("pv_conductor_factor").value * circuit.current_a,
        corrected_a=rule("pv_corrected_factor").value * circuit.current_a,
        running_a=panels.imp_a * array.strings,
        fused_at_source=False,
        string_fuse_a=fuse_a,
    )
    if array.strings > 1:
        string = array.string_run
        yield dataclasses.replace(
            whole,
            key="panels_string",
            name="each string of panels" if array.own_panels else f"{array.name}: each string",
            current_a=whole.current_a / array.strings,
            design_a=whole.design_a / array.strings,
            corrected_a=whole.corrected_a / array.strings,
            running_a=panels.imp_a,
            run=string,
            insulation_c=run_insulation_c(rules, string),
            length_m=run_length_m("panels_string", string),
            count=array.strings,
        )
        whole = dataclasses.replace(whole, upstream_a=(("panels_string", panels.imp_a),))
    yield whole


def _array_air(record_high_c: float | None, *, on_roof: bool) -> tuple[float, str]:
    """Hottest air along an array's cables, degrees C, and where it is from."""
    air_c, source = rule("roof_summer_air_c").value, "summer air"
    if record_high_c is not None and record_high_c > air_c:
        air_c, source = record_high_c, "the place's record"
    words = f"{source} of {air_c:.0f} C"
    if not on_roof:
        return air_c, words
    rise = rule("roof_sun_rise_c")
    return air_c + rise.value, f"{words}, and {rise.value:g} K more on a roof in the sun"
