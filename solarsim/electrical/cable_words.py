"""Sizes of conductors and the tables behind them, in words for findings."""

from __future__ import annotations

from solarsim.electrical.ampacity import bundled_with
from solarsim.electrical.cables import borne, choose_awg, choose_metric, with_pairs
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.wire import Wire, awg_sizes

__all__ = ["sizes_in_words", "table_in_words"]


def sizes_in_words(circuit: Circuit, upstream_share: float = 0.0) -> str:
    """The smallest sizes that do, that of the rules' own kind first."""
    sizes = [choose_awg(circuit, upstream_share), choose_metric(circuit, upstream_share)]
    if rule_set(circuit.rules).native_metric:
        sizes.reverse()
    return " or ".join(one.name for one in sizes if one is not None)


def table_in_words(circuit: Circuit, wire: Wire | None) -> str:
    """The table of ampacity that holds for the run, and what else limits a conductor there.

    Where there is none, that of the one which bears most.
    """
    rules = rule_set(circuit.rules)
    names = rules.ampacity
    if wire is None:
        wire = max(with_pairs(awg_sizes()), key=lambda one: borne(circuit, one).ampacity_a)
    together = bundled_with(wire, circuit.run.bundled)
    parts = [names.alone_source]
    if together > 2:
        parts = [names.bundled_source, names.bundles_source]
    bears = borne(circuit, wire)
    if bears.ampacity_a == bears.terminal_a:
        given = circuit.run.terminal_c is not None
        parts = ["its terminals' temperature" if given else rules.rule("terminal_c").source]
    return "; ".join(dict.fromkeys(parts))
