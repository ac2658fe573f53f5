"""A topology while it is put together: nodes and runs are added, numbers come in order."""

from __future__ import annotations

import dataclasses
import math
from typing import NamedTuple

from solarsim.electrical.ampacity import Ampacity, bundled_with
from solarsim.electrical.cables import Cable
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.circuit.topology import Node, NodeKind, Protection, Run, Side, Sourced
from solarsim.electrical.rule_set import RuleSet, rule_set
from solarsim.electrical.rules import rule

__all__ = ["Drawing", "Drop", "Ends", "fuse_class"]

BOTH = ("+", "-")


@dataclasses.dataclass(frozen=True)
class Ends:
    """Where a run starts and ends, where its return does, and what its conductors are."""

    start: str
    end: str
    return_end: str = ""
    poles: tuple[str, ...] = BOTH
    side: Side = "dc"


class Drop(NamedTuple):
    """What a mains run loses there and back, V and as a share; to its end, and what is allowed."""

    drop_v: float
    share: float
    end_share: float
    limit_share: float


class Drawing:
    """Nodes and runs of one van, in the order in which they are added."""

    def __init__(self, rules: RuleSet) -> None:
        self.rules = rules
        self.nodes: list[Node] = []
        self.runs: list[Run] = []

    def node(
        self,
        identity: str,
        kind: NodeKind,
        name: str,
        *,
        side: Side = "dc",
        rating: str = "",
        planned: bool = False,
        why: str = "",
        count: int = 1,
    ) -> str:
        """Add a node and return its id."""
        self.nodes.append(Node(identity, kind, name, side, rating, planned, why, count))
        return identity

    def cable(
        self,
        cable: Cable,
        ends: Ends,
        *,
        voltage_v: float,
        name: str = "",
        length_m: float | None = None,
        protected: bool = True,
        why: str = "",
    ) -> None:
        """Add a run of the DC side; a part of its length where a node stands within it."""
        circuit = cable.circuit
        one_way_m = circuit.length_m if length_m is None else length_m
        # The loss of a run is that of both ways; a part of it, or one pole alone, has its share.
        part = one_way_m / circuit.length_m * len(ends.poles) / 2.0
        wire, bears = cable.wire, cable.bears
        guard = _protection(cable, voltage_v) if protected else None
        if guard is None and not why:
            why = _without(cable) if protected else circuit.fuse_place
        self.runs.append(
            Run(
                number=len(self.runs) + 1,
                key=circuit.key,
                name=name or circuit.name,
                start=ends.start,
                end=ends.end,
                return_end=ends.return_end,
                poles=ends.poles,
                side=ends.side,
                voltage_v=circuit.running_v,
                current_a=circuit.current_a,
                design_a=circuit.design_a,
                length_m=one_way_m,
                both_m=one_way_m * len(ends.poles),
                count=circuit.count,
                wire="none fits" if wire is None else wire.name,
                awg="" if cable.gauge is None else cable.gauge.name,
                metric="" if cable.metric is None else cable.metric.name,
                area_mm2=0.0 if wire is None else wire.area_mm2,
                given=cable.given,
                insulation_c=float(circuit.insulation_c),
                ambient_c=circuit.ambient_c,
                bundled=circuit.run.bundled,
                table_a=None if bears is None else bears.table_a,
                air_share=None if bears is None else bears.air_share,
                bundle_share=None if bears is None else bears.bundle_share,
                terminal_a=None
                if bears is None or math.isinf(bears.terminal_a)
                else bears.terminal_a,
                ampacity_a=None if bears is None else bears.ampacity_a,
                drop_v=cable.drop_v * part,
                drop_share=cable.drop_share * part,
                drop_end_share=cable.drop_end_share,
                drop_limit_share=cable.drop_limit_share,
                protection=guard,
                unprotected_why=why if guard is None else "",
                rules=_kept(cable),
            )
        )

    def mains(
        self,
        key: str,
        name: str,
        ends: Ends,
        *,
        voltage_v: float,
        current_a: float,
        length_m: float,
        wire: str,
        sizes: tuple[str, str],
        area_mm2: float,
        given: bool,
        protection: Protection | None,
        why: str,
        rules: tuple[Sourced, ...],
        bears: Ampacity | None = None,
        drop: Drop | None = None,
    ) -> None:
        """Add a run of mains cable or of earth, whose size its rules name by the breaker."""
        gauge, metric = sizes
        self.runs.append(
            Run(
                number=len(self.runs) + 1,
                key=key,
                name=name,
                start=ends.start,
                end=ends.end,
                return_end=ends.return_end,
                poles=ends.poles,
                side=ends.side,
                voltage_v=voltage_v,
                current_a=current_a,
                design_a=current_a,
                length_m=length_m,
                both_m=length_m * len(ends.poles),
                count=1,
                wire=wire,
                awg=gauge,
                metric=metric,
                area_mm2=area_mm2,
                given=given,
                insulation_c=rule("mains_insulation_c").value,
                ambient_c=30.0,
                bundled=max(len(ends.poles) - 1, 1),
                table_a=None if bears is None else bears.table_a,
                air_share=None if bears is None else bears.air_share,
                bundle_share=None if bears is None else bears.bundle_share,
                terminal_a=None,
                ampacity_a=None if bears is None else bears.ampacity_a,
                drop_v=None if drop is None else drop.drop_v,
                drop_share=None if drop is None else drop.share,
                drop_end_share=None if drop is None else drop.end_share,
                drop_limit_share=None if drop is None else drop.limit_share,
                protection=protection,
                unprotected_why=why if protection is None else "",
                rules=rules,
            )
        )


def fuse_class(interrupts_a: float | None) -> str:
    """The kind of fuse that breaks a short-circuit current, in words.

    Common practice, no source: class T 20 kA, ANL and bolt-on fuses some 6 kA, others 1 to 2 kA.
    """
    if interrupts_a is None:
        return ""
    if interrupts_a > rule("class_t_above_a").value:
        return "class T"
    return "ANL, bolt-on or class T"


def _protection(cable: Cable, voltage_v: float) -> Protection | None:
    circuit = cable.circuit
    if cable.fuse_a is None:
        return None
    strings = circuit.key.startswith("panels")
    return Protection(
        kind="fuse",
        rating_a=cable.fuse_a,
        at_least_a=circuit.design_a,
        at_most_a=cable.fuse_most_a,
        fuse_class="gPV (IEC 60269-6)" if strings else fuse_class(circuit.interrupts_a),
        voltage_v=voltage_v,
        interrupts_a=circuit.interrupts_a,
        place=circuit.fuse_place,
        given=circuit.run.fuse_a is not None,
    )


def _without(cable: Cable) -> str:
    """Why a run that is to have a fuse has none."""
    return "no fuse is large enough" if cable.circuit.run.fused else "no fuse"


def _kept(cable: Cable) -> tuple[Sourced, ...]:
    circuit: Circuit = cable.circuit
    rules = rule_set(circuit.rules)
    names = rules.ampacity
    array = circuit.key.startswith("panels")
    factor = rules.rule("pv_conductor_factor" if array else "continuous_factor")
    together = circuit.run.bundled
    if cable.wire is not None:
        together = bundled_with(cable.wire, together)
    bundled = together > 2
    found = [
        Sourced(
            "current",
            f"{circuit.current_a:.1f} A x {factor.value:g} = {circuit.design_a:.1f} A",
            factor.source,
        ),
        Sourced(
            "ampacity",
            f"{cable.ampacity_a:.0f} A",
            names.bundled_source if bundled else names.alone_source,
        ),
        Sourced("air", f"{circuit.ambient_c:.0f} C, {circuit.ambient_source}", names.air_source),
    ]
    if bundled:
        found.append(Sourced("bundle", f"of {together}", names.bundles_source))
    if cable.bears is not None and math.isfinite(cable.bears.terminal_a):
        terminal = rules.rule("terminal_c")
        given_c = circuit.run.terminal_c
        found.append(
            Sourced(
                "terminals",
                f"{terminal.value if given_c is None else given_c:g} C",
                terminal.source if given_c is None else "given",
            )
        )
    limit = rules.rule("drop_critical" if circuit.critical else "drop_other")
    found.append(Sourced("drop", f"at most {100.0 * limit.value:g} %", limit.source))
    if cable.fuse_a is not None and not array:
        ratio = rules.rule("fuse_most_ratio")
        thin = cable.fuse_most_a < ratio.value * cable.ampacity_a * (1.0 - 1e-9)
        source = rules.thin_fuses_source if thin else ratio.source
        found.append(Sourced("largest fuse", f"{cable.fuse_most_a:.0f} A", source))
    if circuit.interrupts_a is not None:
        most = rule("interrupting_bank_ah")
        found.append(Sourced("interrupting rating", f"{circuit.interrupts_a:,.0f} A", most.source))
    return tuple(found)
