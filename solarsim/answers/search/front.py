"""The Pareto set of price, weight and days among what may be built."""

from __future__ import annotations

import collections
from collections.abc import Callable, Sequence

import numpy as np

from solarsim.answers.search.designs import Removed

__all__ = ["Front", "Stop", "best_of"]

# Kind of rule and what it says of a design.
Stop = tuple[str, str]


class Front:
    """What `best_of` found.

    Attributes
    ----------
    members : list of int
        The Pareto set, cheapest first.
    stopped : int
        Designs that would be in it and may not be built.
    stopped_by : tuple of Removed
        By which rules.
    beaten : int
        All others.
    """

    def __init__(self) -> None:
        self.members: list[int] = []
        self.stopped = 0
        self.beaten = 0
        self.stopped_by: tuple[Removed, ...] = ()


def best_of(bad: Sequence[tuple[float, ...]], stops: Callable[[int], Sequence[Stop]]) -> Front:
    """Return the designs that no buildable other matches in everything and beats in something.

    Each is looked at in rising order, where none can be beaten by a later one; so only those that
    no buildable design beats are ever asked whether they may be built.

    Parameters
    ----------
    bad : sequence of tuple
        What should be small, one tuple a design.
    stops : callable
        Rules that forbid a design; empty where it may be built.
    """
    front = Front()
    if not bad:
        return front
    table = np.array(bad)
    rules: collections.Counter[str] = collections.Counter()
    examples: dict[str, str] = {}
    members = np.empty((0, table.shape[1]))
    for number in np.lexsort(table.T[::-1]):
        own = table[number]
        if ((members <= own).all(axis=1) & (members < own).any(axis=1)).any():
            front.beaten += 1
            continue
        found = stops(int(number))
        if found:
            front.stopped += 1
            rules.update({rule for rule, _ in found})
            for rule, message in found:
                examples.setdefault(rule, message)
            continue
        front.members.append(int(number))
        members = np.vstack([members, own])
    front.stopped_by = tuple(
        Removed(rule, count, examples[rule]) for rule, count in rules.most_common()
    )
    return front
