"""Cables of the mains side: breaker, size, ampacity, and what is lost on the way."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from solarsim.electrical.circuit.mains_cables import MainsCable, mains_drop_v, mains_most_a
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.wire import Wire, awg_sizes, metric_sizes
from solarsim.inputs.percent import percent

__all__ = ["mains_cable_findings"]


def mains_cable_findings(cable: MainsCable, rules: RuleSet) -> Iterator[Finding]:
    """Yield what is wrong with one run of mains cable."""
    leg, largest_a = cable.leg, rules.ac.breakers[-1]
    if not leg.has_breaker or cable.wire is None:
        yield Finding(
            "mains-breaker",
            "stop",
            leg.name,
            Compared(leg.breaker_a, largest_a, "A"),
            "the breakers of the rules in force; " + rules.rule("continuous_factor").source,
            f"no breaker is large enough: this run asks for {leg.breaker_a:.0f} A, and the largest "
            f"has {largest_a:g} A",
            "a smaller inverter, or one whose output an electrician lays out in several circuits",
        )
        return
    yield from _size(cable, cable.wire, rules)
    if cable.last:
        yield from _drop(cable, cable.wire, rules)


def _size(cable: MainsCable, wire: Wire, rules: RuleSet) -> Iterator[Finding]:
    leg, ac = cable.leg, rules.ac
    if leg.breaker_a <= cable.most_a * (1.0 + 1e-9):
        return
    sizes = _smallest(rules, lambda one: mains_most_a(rules, one) >= leg.breaker_a)
    bears_a = 0.0 if cable.bears is None else cable.bears.ampacity_a
    behind = f"{wire.name} lies behind a breaker of {leg.breaker_a:g} A"
    if leg.breaker_a <= bears_a:
        identity, limit_a, source = "mains-cable", cable.most_a, ac.conductor_source
        why = f"it bears {bears_a:g} A, but the rules let it have {limit_a:g} A at most"
        if not limit_a:
            why = f"it bears {bears_a:g} A, but is thinner than any of the rules' list"
    else:
        identity, limit_a, source = "mains-ampacity", bears_a, ac.cable_source
        why = f"it bears {bears_a:g} A" if bears_a else "it is thinner than mains cable may be"
    yield Finding(
        identity,
        "stop",
        leg.name,
        Compared(leg.breaker_a, limit_a, "A"),
        source,
        f"{behind}; {why}",
        f"{sizes} at least, or a smaller breaker" if sizes else "a smaller breaker",
    )


def _drop(cable: MainsCable, wire: Wire, rules: RuleSet) -> Iterator[Finding]:
    leg = cable.leg
    run, end = rules.rule("mains_drop_run"), rules.rule("mains_drop_end")
    before = cable.drop_end_share - cable.drop_share
    allowed = min(run.value, end.value - before)
    if cable.drop_share <= allowed * (1.0 + 1e-9):
        return
    in_all = cable.drop_end_share / end.value >= cable.drop_share / run.value
    lost, limit = (cable.drop_end_share, end) if in_all else (cable.drop_share, run)
    sizes = _smallest(
        rules,
        lambda one: (
            mains_most_a(rules, one) >= leg.breaker_a
            and mains_drop_v(one, leg.breaker_a, cable.length_m) <= allowed * cable.voltage_v
        ),
    )
    whole = f", {percent(cable.drop_end_share, 1)} with the runs before it" if before else ""
    yield Finding(
        "mains-drop",
        "warn",
        leg.name,
        Compared(100.0 * lost, 100.0 * limit.value, "%"),
        limit.source,
        f"{wire.name} over {cable.length_m:g} m loses {cable.drop_v:.1f} V at the breaker's "
        f"{leg.breaker_a:g} A, {percent(cable.drop_share, 1)} of {cable.voltage_v:g} V{whole}",
        f"{sizes} at least, or a shorter run" if sizes else "thicker or shorter runs before it",
    )


def _smallest(rules: RuleSet, enough: Callable[[Wire], bool]) -> str:
    """The smallest sizes that are enough, that of the rules' own kind first."""
    kinds = [awg_sizes(), metric_sizes()]
    if rules.native_metric:
        kinds.reverse()
    found = [next((one.name for one in sizes if enough(one)), "") for sizes in kinds]
    return " or ".join(name for name in found if name)
