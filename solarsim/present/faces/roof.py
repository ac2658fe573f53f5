"""The answer of `roof` in Python."""

from __future__ import annotations

import dataclasses

import pandas as pd

from solarsim.answers.roof import RoofAnswer
from solarsim.cards import Card
from solarsim.inputs.percent import percent
from solarsim.present.faces.rows import warnings_row
from solarsim.present.roof.document import roof_document
from solarsim.present.roof.plan import roof_figure
from solarsim.present.roof.text import roof_headline

__all__ = ["card", "document", "figure", "frame"]

document = roof_document
figure = roof_figure

_COSTS = 2


def card(answer: RoofAnswer) -> Card:
    """Return what fits, why no more does, and what costs most of it."""
    roof = answer.roof
    shade = answer.shade_share_by_month
    return Card(
        roof_headline(answer),
        [
            (
                "roof",
                f"{roof.length_m:g} x {roof.width_m:g} m; panels cover {answer.panels_m2:.1f} of "
                f"{answer.free_m2:.1f} m2 beside obstacles",
            ),
            *(("why no more", reason) for reason in answer.reasons[:1]),
            *(
                (f"without {cost.name}", f"{cost.panels_gained:+d} panels, {cost.gained_w:+.0f} W")
                for cost in answer.costs[:_COSTS]
            ),
            *(
                []
                if shade is None
                else [
                    (
                        "lost to shade",
                        f"{percent(min(shade), 1)} to {percent(max(shade), 1)} of the energy, "
                        "by month",
                    )
                ]
            ),
            *(
                ("another panel", f"{other.count} x {other.part}: {other.power_w:,.0f} W")
                for other in answer.others[:1]
            ),
            *warnings_row(answer.warnings),
        ],
    )


def frame(answer: RoofAnswer) -> pd.DataFrame:
    """Return one row a panel; metres from the roof's rear left, x forwards, y to the right."""
    return pd.DataFrame([dataclasses.asdict(panel) for panel in answer.layout.panels])
