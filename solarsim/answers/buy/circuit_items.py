"""What the circuit asks for beside devices: buses, switches, fuses, breakers, glands, labels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solarsim.answers.buy.item import Wanted, example_kg
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Node, Protection, Run, Topology

__all__ = ["fuse_name", "fuse_of", "small_items", "switching_items"]

_WAYS = (2, 4, 6, 8, 10, 12, 16, 20, 24)
_BLADE_A = 30.0  # largest of the usual blade fuses, common practice, no source
_IN_A_BLOCK = {"fuse block", "converter"}
# Kinds of node that are bought as they stand, with the example that they weigh like.
_BOUGHT = {
    "switch": "switchgear",
    "shunt": "switchgear",
    "positive bus": "bus bar",
    "negative bus": "bus bar",
    "earth bar": "bus bar",
    "isolator": "switchgear",
    "shore inlet": "switchgear",
    "mains protection": "switchgear",
    "transfer switch": "transfer switch",
    "outlets": "outlet",
}
_NAMES = {
    "isolator": "DC isolator, two poles",
    "outlets": "outlet",
    "switch": "main switch",
    "earth bar": "earth bar",
}


def switching_items(check: Check) -> Iterator[Wanted]:
    """Yield buses, switches, fuse blocks and what guards the mains side."""
    topology = check.topology
    for node in topology.nodes:
        if node.kind in _BOUGHT:
            yield Wanted(
                "switching",
                _NAMES.get(node.kind, node.name),
                1,
                _about(node),
                example_kg(_BOUGHT[node.kind]),
                _at(topology, node.id),
            )
        elif node.kind == "combiner":
            yield Wanted(
                "switching", "PV string fuse box" if node.name == "string fuses" else
                "pair of PV branch connectors", 1, node.rating, example_kg("switchgear"),
                _at(topology, node.id), on_roof=node.name != "string fuses",
            )  # fmt: skip
    for start in ("fuse block", "converter"):
        ways = [run for run in topology.runs if run.start == start]
        for size in _blocks(len(ways)):
            about = "at the converter's output" if start == "converter" else "with a negative bus"
            yield Wanted(
                "switching", f"fuse block, {size} ways", 1, about, example_kg("fuse block", size),
                tuple(run.number for run in ways),
            )  # fmt: skip
    yield from _breakers(topology)
    yield from _fuses(topology)


def fuse_name(rating_a: float, kind: str) -> str:
    """A fuse as the list names it."""
    return f"fuse {rating_a:g} A {kind}"


def fuse_of(run: Run) -> str:
    """The kind of fuse of a run: its class, or by its size where no class is asked for."""
    guard = run.protection
    assert guard is not None
    if guard.fuse_class:
        return guard.fuse_class.partition(" (")[0]
    return "blade" if guard.rating_a <= _BLADE_A else "bolt-on"


def _fuses(topology: Topology) -> Iterator[Wanted]:
    for run in topology.runs:
        guard = run.protection
        if guard is None or guard.kind != "fuse":
            continue
        kind = fuse_of(run)
        breaks = "" if guard.interrupts_a is None else f", breaks {guard.interrupts_a:,.0f} A"
        small = kind in {"blade", "gPV"}
        yield Wanted(
            "fuses", fuse_name(guard.rating_a, kind), run.count,
            f"at least {_volts(guard)} V DC{breaks}",
            example_kg("small fuse" if small else "bolted fuse"), (run.number,),
        )  # fmt: skip
        if run.start not in _IN_A_BLOCK and kind != "gPV":
            yield Wanted(
                "fuses", f"fuse holder {kind}", run.count, f"at least {_volts(guard)} V DC",
                example_kg("fuse holder"), (run.number,),
            )  # fmt: skip


def _breakers(topology: Topology) -> Iterator[Wanted]:
    """Breakers of the mains side but the inlet's own, which is one with its protection."""
    inlet_a = {run.protection.rating_a for run in topology.runs if run.key == "ac_inlet"
               and run.protection is not None}  # fmt: skip
    for run in topology.runs:
        guard = run.protection
        if guard is None or guard.kind != "breaker" or run.key == "ac_inlet":
            continue
        if run.start == "mains protection" and guard.rating_a in inlet_a:
            continue
        yield Wanted(
            "switching", f"breaker {guard.rating_a:g} A, two poles", 1, f"AC, {guard.place}",
            example_kg("switchgear"), (run.number,),
        )  # fmt: skip


def small_items(check: Check) -> Iterator[Wanted]:
    """Yield glands and labels."""
    topology = check.topology
    roof = [
        node for node in topology.nodes if node.kind == "array" and _on_roof(check, node.id)
    ]  # fmt: skip
    for node in roof:
        yield Wanted(
            "small", "roof gland, two cables", 1, "sealed", example_kg("small part"),
            _at(topology, node.id), on_roof=True,
        )  # fmt: skip
    conductors = sum(len(run.poles) * run.count for run in topology.runs)
    yield Wanted(
        "small", "cable label, numbered", 2 * conductors, "both ends of every conductor",
        example_kg("label"),
    )  # fmt: skip
    yield Wanted(
        "small", "set of warning labels", 1, "main switch, isolator, inlet, inverter",
        example_kg("label"),
    )  # fmt: skip


def _on_roof(check: Check, identity: str) -> bool:
    ground = {f"array {array.name}" for array in check.van.arrays if array.kind == "ground"}
    return identity not in ground


def _about(node: Node) -> str:
    also = "as many as are wanted" if node.kind == "outlets" else ""
    return "; ".join(part for part in (node.rating, also) if part)


def _at(topology: Topology, identity: str) -> tuple[int, ...]:
    return tuple(
        run.number for run in topology.runs if identity in {run.start, run.end, run.return_end}
    )


def _volts(guard: Protection) -> int:
    """Volts that a fuse must be rated for, never rounded down."""
    return math.ceil(guard.voltage_v - 1e-9)


def _blocks(ways: int) -> Sequence[int]:
    """Sizes of the fuse blocks that hold so many fuses."""
    full, rest = divmod(ways, _WAYS[-1])
    return [_WAYS[-1]] * full + [next(size for size in _WAYS if size >= rest)] * (rest > 0)
