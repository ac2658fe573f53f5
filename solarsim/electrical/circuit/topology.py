"""The whole circuit of a van as a record: what stands in it, and every numbered run between."""

from __future__ import annotations

import dataclasses
from typing import Literal

__all__ = ["Node", "NodeKind", "Protection", "Run", "Side", "Sourced", "Topology"]

Side = Literal["dc", "solar", "engine", "mains", "earth"]
NodeKind = Literal[
    "battery string",
    "bank",
    "fuse",
    "switch",
    "shunt",
    "positive bus",
    "negative bus",
    "fuse block",
    "inverter",
    "converter",
    "dcdc charger",
    "shore charger",
    "generator charger",
    "solar controller",
    "array",
    "combiner",
    "isolator",
    "load",
    "starter battery",
    "alternator",
    "chassis",
    "shore inlet",
    "mains protection",
    "transfer switch",
    "outlets",
    "earth bar",
]


@dataclasses.dataclass(frozen=True)
class Sourced:
    """One rule that was kept: what about, in words, and where it stands."""

    about: str
    says: str
    source: str


@dataclasses.dataclass(frozen=True)
class Node:
    """One thing that stands in the circuit.

    Attributes
    ----------
    id : str
        Its name for runs, such as ``"positive bus"`` or ``"array 2"``.
    kind : str
        What it is.
    name : str
        What to write beside it.
    side : str
        ``"dc"``, ``"solar"``, ``"engine"``, ``"mains"`` or ``"earth"``.
    rating : str
        What it must bear, in words; empty where nothing is asked.
    planned : bool
        Whether the check put it there because rules or practice ask for it and the van's file does
        not speak of it.
    why : str
        What it is for or why it is not there, with the source; may be empty.
    count : int
        How many like ones stand in parallel.
    """

    id: str
    kind: NodeKind
    name: str
    side: Side
    rating: str = ""
    planned: bool = False
    why: str = ""
    count: int = 1


@dataclasses.dataclass(frozen=True)
class Protection:
    """The fuse or breaker of a run.

    Attributes
    ----------
    kind : str
        ``"fuse"`` or ``"breaker"``.
    rating_a : float
        The van's own, or the size that is chosen, A.
    at_least_a, at_most_a : float
        Smallest that carries the run's current, largest that protects its conductor, A.
    fuse_class : str
        In words, such as ``"class T"``; empty where any does.
    voltage_v : float
        Least voltage that it must be rated for, V.
    interrupts_a : float or None
        Least short-circuit current that it must break, A; None where no rule asks.
    place : str
        Where it belongs.
    given : bool
        Whether its rating is the van's own.
    """

    kind: Literal["fuse", "breaker"]
    rating_a: float
    at_least_a: float
    at_most_a: float
    fuse_class: str
    voltage_v: float
    interrupts_a: float | None
    place: str
    given: bool


@dataclasses.dataclass(frozen=True)
class Run:
    """One run of cable.

    Attributes
    ----------
    number : int
        As on the diagram and in the table, from 1.
    key : str
        Its table in the van's file under ``[wiring]``; the branch's is ``"branches"``; empty for
        runs that have none.
    name : str
        What it joins, in words.
    start, end : str
        Nodes; current flows from ``start``.
    return_end : str
        Node at which its second conductor ends; empty for a single one.
    poles : tuple of str
        What each conductor is: ``"+"``, ``"-"``, ``"L"``, ``"N"``, ``"PE"``, ``"bond"``.
    side : str
        As of nodes.
    voltage_v : float
        Nominal; of panels at their maximum power.
    current_a, design_a : float
        Largest continuous current, and what conductor and fuse must bear before any factor, A.
    length_m, both_m : float
        One way, and of all its conductors together.
    count : int
        How many like runs there are, one for each string; lengths and currents are of one.
    wire : str
        The conductor: the van's own, or the one chosen; ``"none fits"`` where there is none.
    awg, metric : str
        Smallest gauge and smallest metric size that the rules allow; empty where none does.
    area_mm2 : float
        Copper of ``wire``.
    given : bool
        Whether the conductor is the van's own.
    insulation_c, ambient_c : float
        Temperature rating of the insulation; hottest air along it, degrees C.
    bundled : int
        Conductors that carry current in its bundle.
    table_a, air_share, bundle_share, terminal_a, ampacity_a : float or None
        By the table; what air and bundle leave of it; what the terminals leave; what remains, A.
    drop_v, drop_share, drop_end_share, drop_limit_share : float or None
        Lost in the run, there and back; from the source to its end; what is allowed.
    protection : Protection or None
        Its fuse or breaker.
    unprotected_why : str
        Why there is none.
    rules : tuple of Sourced
        What it was held to.
    """

    number: int
    key: str
    name: str
    start: str
    end: str
    return_end: str
    poles: tuple[str, ...]
    side: Side
    voltage_v: float
    current_a: float
    design_a: float
    length_m: float
    both_m: float
    count: int
    wire: str
    awg: str
    metric: str
    area_mm2: float
    given: bool
    insulation_c: float
    ambient_c: float
    bundled: int
    table_a: float | None
    air_share: float | None
    bundle_share: float | None
    terminal_a: float | None
    ampacity_a: float | None
    drop_v: float | None
    drop_share: float | None
    drop_end_share: float | None
    drop_limit_share: float | None
    protection: Protection | None
    unprotected_why: str
    rules: tuple[Sourced, ...]


@dataclasses.dataclass(frozen=True)
class Topology:
    """The whole circuit.

    Attributes
    ----------
    rules : str
        Name of the rules in force.
    nodes : tuple of Node
        From the bank outwards: DC, solar, engine, mains, earth.
    runs : tuple of Run
        In the order of their numbers.
    switched_off : tuple of str
        What the main switch cuts, in words.
    stays_on : tuple of str
        What it does not cut.
    """

    rules: str
    nodes: tuple[Node, ...]
    runs: tuple[Run, ...]
    switched_off: tuple[str, ...]
    stays_on: tuple[str, ...]

    def node(self, identity: str) -> Node:
        """Return a node by its id.

        Raises
        ------
        KeyError
            No such node.
        """
        for node in self.nodes:
            if node.id == identity:
                return node
        raise KeyError(identity)
