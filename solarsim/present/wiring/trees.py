"""The circuit as trees that hang on a bar: who feeds it, and whom it feeds."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Mapping

from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Node, Run, Side, Topology

__all__ = ["Tree", "fed_by", "feeders_of", "loads_of", "stopped_numbers", "stopped_runs"]

_DC: tuple[Side, ...] = ("dc", "solar", "engine")


@dataclasses.dataclass(frozen=True)
class Tree:
    """A node, the run that joins it to what it hangs on, and what hangs on it."""

    node: Node
    run: Run
    children: tuple[Tree, ...] = ()

    @property
    def columns(self) -> int:
        """How many columns it takes side by side."""
        return max(1, sum(child.columns for child in self.children))


def feeders_of(topology: Topology, bar: str) -> tuple[Tree, ...]:
    """Return what feeds a node on the DC side, each with what feeds it in turn."""
    return tuple(
        Tree(topology.node(run.start), run, feeders_of(topology, run.start))
        for run in topology.runs
        if run.end == bar and run.side in _DC and "+" in run.poles
    )


def fed_by(topology: Topology, start: str) -> tuple[Tree, ...]:
    """Return what a node of the DC side feeds directly, but for loads."""
    return tuple(
        Tree(node, run)
        for run in topology.runs
        if run.start == start and run.side in _DC and "+" in run.poles
        for node in (topology.node(run.end),)
        if node.kind != "load"
    )


def loads_of(topology: Topology) -> dict[str, tuple[Tree, ...]]:
    """Return what hangs on each node that loads or a converter hang on, by the node's id."""
    hanging = [
        Tree(node, run)
        for run in topology.runs
        for node in (topology.node(run.end),)
        if node.kind in {"load", "converter"}
    ]
    starts = dict.fromkeys(tree.run.start for tree in hanging)
    return {start: tuple(t for t in hanging if t.run.start == start) for start in starts}


def stopped_runs(check: Check) -> Collection[int]:
    """Return the numbers of the runs that a STOP of the check is about."""
    return stopped_numbers(
        check.topology,
        {finding.where for finding in check.findings if finding.severity == "stop"},
        {cable.circuit.key: cable.circuit.name for cable in check.cables},
    )


def stopped_numbers(
    topology: Topology, stops: Collection[str], names: Mapping[str, str]
) -> Collection[int]:
    """Return the numbers of the runs that are stopped.

    Parameters
    ----------
    topology : Topology
        The whole circuit.
    stops : collection of str
        What the STOPs are about.
    names : mapping of str to str
        Name of each run of the check by its key.
    """
    whole = {"main", "panels_controller"}
    return {
        run.number
        for run in topology.runs
        # One run of the check is several of the plan where something stands in it.
        if run.name in stops
        or (run.key in whole and (names[run.key] in stops or run.name.rpartition(", ")[0] in stops))
    }
