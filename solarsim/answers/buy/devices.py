"""Panels, batteries, controllers, chargers, inverter: what the van's file names itself."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.answers.buy.item import Wanted, example_kg
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Topology
from solarsim.electrical.converter import converter_load
from solarsim.electrical.wired_arrays import arrays_by_controller
from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.van import Battery, Van

__all__ = [
    "battery_kg",
    "battery_name",
    "controller_name",
    "dcdc_name",
    "device_items",
    "mount_kg",
    "mount_name",
    "panel_kg",
    "panel_name",
]

_LFP_V, _CELLS_V = 12.8, 12.0  # rated energy of 12 V: LFP's four cells of 3.2 V, lead-acid's six


def panel_name(panels: Panels) -> str:
    """A panel as the list names it: a part of the library, or its watts."""
    return panels.part or f"{panels.power_w:g} W panel"


def battery_name(battery: Battery) -> str:
    """A battery as the list names it: a part of the library, or its capacity."""
    return battery.part or (
        f"{battery.unit_capacity_ah:g} Ah {battery.chemistry.upper()} {battery.unit_voltage_v} V "
        "battery"
    )


def controller_name(controller: Controller) -> str:
    """A solar controller as the list names it."""
    return (
        f"{controller.kind.upper()} controller {controller.max_input_v:g} V, "
        f"{controller.max_output_a:g} A"
    )


def dcdc_name(van: Van, dcdc_a: float) -> str:
    """A DC-DC charger as the list names it."""
    return f"DC-DC charger {dcdc_a:g} A, {van.van.system_voltage_v} V"


def mount_name(panels: Panels) -> str:
    """What holds a panel on the roof, by its mounting."""
    return f"{_mount(panels)} for a panel"


def panel_kg(panels: Panels) -> float:
    """Return the library's example weight of a panel, kg."""
    kind = "flexible panel" if panels.mounting == "glued" else "rigid panel"
    return example_kg(kind, panels.power_w)


def mount_kg(panels: Panels) -> float:
    """Return the library's example weight of what holds a panel, kg."""
    return example_kg(_mount(panels))


def battery_kg(battery: Battery) -> float:
    """Return the library's example weight of one unit, kg."""
    nominal_v = _LFP_V if battery.chemistry == "lfp" else _CELLS_V
    unit_wh = battery.unit_capacity_ah * battery.unit_voltage_v * nominal_v / 12.0
    return example_kg(f"{battery.chemistry} battery", unit_wh)


def _mount(panels: Panels) -> str:
    return "adhesive" if panels.mounting == "glued" else "mounting set"


def device_items(check: Check) -> Iterator[Wanted]:
    """Yield what the van's own tables name, with the numbers of the runs that end at it."""
    topology, van = check.topology, check.van
    yield from _solar(topology, van)
    battery = van.battery
    yield Wanted(
        "storage",
        battery_name(battery),
        battery.units,
        f"{van.units_in_series} in series" if van.units_in_series > 1 else "all alike, of one age",
        battery_kg(battery),
        _runs(topology, "bank", "battery string"),
    )
    yield from _chargers(check)


def _solar(topology: Topology, van: Van) -> Iterator[Wanted]:
    for number, group in enumerate(arrays_by_controller(van), start=1):
        rating = group[0].controller
        yield Wanted(
            "generation",
            controller_name(rating),
            1,
            f"for a {van.van.system_voltage_v} V bank",
            example_kg("solar controller", rating.max_output_a),
            _runs(topology, f"solar controller {number}"),
        )
        for one in group:
            panels, runs = one.panels, _runs(topology, f"array {one.name}")
            about = "all of an array alike"
            yield Wanted(
                "generation", panel_name(panels), panels.count, about, panel_kg(panels), runs,
                on_roof=one.on_roof,
            )  # fmt: skip
            if one.on_roof:
                yield Wanted(
                    "generation", mount_name(panels), panels.count, "fit for a vehicle's roof",
                    mount_kg(panels), runs, on_roof=True,
                )  # fmt: skip


def _chargers(check: Check) -> Iterator[Wanted]:
    topology, van = check.topology, check.van
    system = f"{van.van.system_voltage_v} V"
    if van.inverter is not None:
        power_w = van.inverter.power_w
        yield Wanted(
            "devices", f"inverter {power_w:g} W, {system}", 1, "sine wave",
            example_kg("inverter", power_w), _runs(topology, "inverter"),
        )  # fmt: skip
    if van.alternator is not None and van.alternator.dcdc_a > 0.0:
        amps = van.alternator.dcdc_a
        yield Wanted(
            "devices", dcdc_name(van, amps), 1,
            f"from a vehicle of {van.alternator.vehicle_voltage_v} V",
            example_kg("dcdc charger", amps), _runs(topology, "dcdc charger"),
        )  # fmt: skip
    if van.shore is not None and van.shore.charger_a > 0.0:
        amps = van.shore.charger_a
        yield Wanted(
            "devices", f"shore charger {amps:g} A, {system}", 1,
            f"on {van.shore.mains_voltage_v:g} V",
            example_kg("shore charger", amps), _runs(topology, "shore charger"),
        )  # fmt: skip
    if van.generator is not None and van.generator.charger_a is not None:
        amps = van.generator.charger_a
        yield Wanted(
            "devices", f"generator charger {amps:g} A, {system}", 1, "from the generator's socket",
            example_kg("shore charger", amps), _runs(topology, "generator charger"),
        )  # fmt: skip
    if any(node.kind == "converter" for node in topology.nodes):
        given_w = None if van.converter is None else van.converter.power_w
        power_w = converter_load(van, check.profile).power_w if given_w is None else given_w
        yield Wanted(
            "devices", f"converter {system} to 12 V, {power_w:.0f} W", 1,
            "at least as large" if given_w is None else "",
            example_kg("converter", power_w), _runs(topology, "converter"),
        )  # fmt: skip


def _runs(topology: Topology, *nodes: str) -> tuple[int, ...]:
    """Numbers of the runs that end at any of some nodes."""
    found = {*nodes}
    return tuple(run.number for run in topology.runs if found & {run.start, run.end})
