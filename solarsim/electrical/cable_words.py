"""Sizes of conductors and the tables behind them, in words for findings."""

from __future__ import annotations

from solarsim.electrical.cables import choose_awg, choose_metric
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.rule_set import rule_set

__all__ = ["sizes_in_words", "table_in_words"]


def sizes_in_words(circuit: Circuit, upstream_share: float = 0.0) -> str:
    """The smallest sizes that do, that of the rules' own kind first."""
    sizes = [choose_awg(circuit, upstream_share), choose_metric(circuit, upstream_share)]
    if rule_set(circuit.rules).native_metric:
        sizes.reverse()
    return " or ".join(one.name for one in sizes if one is not None)


def table_in_words(circuit: Circuit) -> str:
    """The table of ampacity that holds for the run, and what else limits it."""
    names = rule_set(circuit.rules).ampacity
    if circuit.run.bundled <= 2:
        return names.alone_source
    return f"{names.bundled_source}; {names.bundles_source}"
