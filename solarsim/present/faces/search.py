"""The answer of `search` in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.answers.search.designs import BestDesign, SearchAnswer
from solarsim.cards import Card
from solarsim.present.faces.rows import notes_row
from solarsim.present.search.document import rows, search_document
from solarsim.present.search.figure import front_figure
from solarsim.present.search.text import lead_text, parts_text, tried_text

__all__ = ["card", "document", "figure", "frame"]

document = search_document
figure = front_figure

_SHOWN = 4


def card(answer: SearchAnswer) -> Card:
    """Return the cheapest build, the next ones, and how many were tried."""
    return Card(
        lead_text(answer),
        [
            ("tried", tried_text(answer)[0]),
            *(
                (
                    "among the best",
                    f"{parts_text(one)}: {_days(one, answer)}, {one.parts_kg:.0f} kg",
                )
                for one in answer.designs[:_SHOWN]
            ),
            *notes_row(answer.notes),
        ],
    )


def _days(one: BestDesign, answer: SearchAnswer) -> str:
    if not answer.question.profile.medical:
        return f"P10 {one.p10_days:.1f} days"
    return "P1 not known" if one.p1_days is None else f"P1 {one.p1_days:.1f} days"


def frame(answer: SearchAnswer) -> pd.DataFrame:
    """Return one row a design."""
    return pd.DataFrame(rows(answer))
