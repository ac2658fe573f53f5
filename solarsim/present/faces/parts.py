"""The parts library in Python."""

from __future__ import annotations

from typing import Any

import pandas as pd

from solarsim.answers.parts import PartsAnswer
from solarsim.cards import Card

__all__ = ["card", "document", "frame"]


def card(answer: PartsAnswer) -> Card:
    """Return how many parts of each kind there are, and some of their names."""
    return Card(
        "Generic parts, each with the source of its numbers",
        [(kind, f"{len(parts)}: {', '.join(parts)}") for kind, parts in _kinds(answer).items()],
    )


def document(answer: PartsAnswer) -> dict[str, Any]:
    """Return the document of `parts`."""
    return {"schema": 1, **_kinds(answer)}


def frame(answer: PartsAnswer) -> pd.DataFrame:
    """Return one row a part; numbers that parts of a kind do not have are missing."""
    return pd.DataFrame(
        [{"kind": kind} | part for kind, parts in _kinds(answer).items() for part in parts.values()]
    )


def _kinds(answer: PartsAnswer) -> dict[str, dict[str, dict[str, Any]]]:
    return {
        "panels": answer.panels,
        "batteries": answer.batteries,
        "appliances": answer.appliances,
    }
