"""Cables summed by size and colour with slack, and what their ends are crimped into."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.answers.buy.item import Wanted, example_kg
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Run, Topology
from solarsim.electrical.wire import Wire, parse_wire

__all__ = ["SLACK_END_M", "SLACK_SHARE", "cable_items", "unsized"]

# Common practice, no source: a tenth for the way that a cable takes, and some at both ends.
SLACK_SHARE, SLACK_END_M = 0.1, 0.2
_COLOURS = {"+": "red", "-": "black"}
# Studs of usual parts by what the run ends at, common practice, no source.
_STUDS = {
    "bank": "M8",
    "battery string": "M8",
    "fuse": "M8",
    "switch": "M10",
    "shunt": "M10",
    "positive bus": "M8",
    "negative bus": "M8",
    "inverter": "M8",
    "fuse block": "M6",
    "starter battery": "M8",
    "chassis": "M8",
    "earth bar": "M5",
}
_CLAMPED = {
    "solar controller",
    "dcdc charger",
    "shore charger",
    "generator charger",
    "converter",
    "isolator",
}


def cable_items(check: Check) -> Iterator[Wanted]:
    """Yield every conductor with its slack, and what is crimped on its ends; not yet added up."""
    topology = check.topology
    metric = check.rules.native_metric
    for run in topology.runs:
        if run.wire == "none fits":
            continue
        wire = parse_wire(run.wire)
        single = wire.single_name
        if run.side == "mains":
            yield from _mains(run, wire, single)
            continue
        for pole, ends in zip(run.poles, _ends(topology, run), strict=True):
            number = run.count * wire.count
            length_m = number * (run.length_m * (1.0 + SLACK_SHARE) + 2.0 * SLACK_END_M)
            roof = run.side == "solar" and topology.node(run.end).kind != "solar controller"
            bond = "green-yellow" if metric else "green"
            kind = "PV cable" if run.side == "solar" else "cable"
            yield Wanted(
                "cables",
                f"{kind} {single} {_COLOURS.get(pole, bond)}",
                length_m,
                "copper, fine-stranded",
                example_kg("cable", wire.single_mm2),
                (run.number,),
                unit="m",
                on_roof=roof and _lies_on_roof(check, run),
            )
            for end in ends:
                yield _end(topology, run, end, single, wire, number)


def unsized(topology: Topology) -> tuple[int, ...]:
    """Numbers of the runs for which no conductor fits, so that none is on the list."""
    return tuple(run.number for run in topology.runs if run.wire == "none fits")


def _mains(run: Run, wire: Wire, single: str) -> Iterator[Wanted]:
    length_m = run.length_m * (1.0 + SLACK_SHARE) + 2.0 * SLACK_END_M
    yield Wanted(
        "cables", f"mains cable 3 x {single}", length_m, "fine-stranded, L, N and PE in a sheath",
        example_kg("mains cable", wire.single_mm2), (run.number,), unit="m",
    )  # fmt: skip
    yield Wanted(
        "small", f"ferrule {single}", 6, "mains terminals", example_kg("lug", wire.single_mm2),
        (run.number,),
    )  # fmt: skip


def _ends(topology: Topology, run: Run) -> list[tuple[str, str]]:
    """Nodes between which each conductor of a run lies."""
    found = []
    for pole in run.poles:
        if pole != "-" or len(run.poles) == 1:
            found.append((run.start, run.end))
        elif run.return_end == run.end:
            found.append((run.end, run.start))
        elif run.return_end == run.start:
            found.append((run.start, run.end))
        else:
            device = run.start if topology.node(run.end).kind == "positive bus" else run.end
            found.append((device, run.return_end))
    return found


def _end(
    topology: Topology, run: Run, end: str, single: str, wire: Wire, number: int
) -> Wanted:  # fmt: skip
    """What one end of a conductor is crimped into."""
    node = topology.node(end)
    weight_kg = example_kg("lug", wire.single_mm2)
    if node.kind == "array" or (node.kind == "combiner" and node.name != "string fuses"):
        return Wanted(
            "small", "pair of PV connectors", number, "all of one make",
            example_kg("small part"), (run.number,), on_roof=True,
        )  # fmt: skip
    stud = _STUDS.get(node.kind)
    if stud is not None:
        part, about = f"lug {single} {stud}", "tinned copper; measure the stud"
    elif node.kind in _CLAMPED or node.kind == "combiner":
        part, about = f"ferrule {single}", "as the device's terminal asks for"
    else:
        part, about = f"crimp terminal {single}", "as the appliance asks for"
    return Wanted("small", part, number, about, weight_kg, (run.number,))


def _lies_on_roof(check: Check, run: Run) -> bool:
    ground = [array.name for array in check.van.arrays if array.kind == "ground"]
    return not any(run.start.endswith(f" {name}") for name in ground)
