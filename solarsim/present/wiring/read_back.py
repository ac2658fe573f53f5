"""The circuit of a check's document, as a record again: pages are made of documents alone."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from solarsim.electrical.circuit.topology import Node, Protection, Run, Sourced, Topology
from solarsim.present.wiring.trees import stopped_numbers

__all__ = ["stopped_of_document", "topology_of_document"]


def topology_of_document(circuit: Mapping[str, Any]) -> Topology:
    """Return the circuit of a document.

    Examples
    --------
    >>> import dataclasses
    >>> empty = Topology("us-rv", (), (), (), ())
    >>> topology_of_document(dataclasses.asdict(empty)) == empty
    True
    """
    return Topology(
        rules=circuit["rules"],
        nodes=tuple(Node(**node) for node in circuit["nodes"]),
        runs=tuple(_run(run) for run in circuit["runs"]),
        switched_off=tuple(circuit["switched_off"]),
        stays_on=tuple(circuit["stays_on"]),
    )


def stopped_of_document(check: Mapping[str, Any], topology: Topology) -> Collection[int]:
    """Return the numbers of the runs that a STOP of a check's document is about."""
    return stopped_numbers(
        topology,
        {one["where"] for one in check["findings"] if one["severity"] == "stop"},
        {cable["run"]: cable["name"] for cable in check["cables"]},
    )


def _run(run: Mapping[str, Any]) -> Run:
    guard = run["protection"]
    whole = dict(run) | {
        "poles": tuple(run["poles"]),
        "protection": None if guard is None else Protection(**guard),
        "rules": tuple(Sourced(**rule) for rule in run["rules"]),
    }
    return Run(**whole)
