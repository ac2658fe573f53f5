"""The answer of `levers` in Python."""

from __future__ import annotations

from typing import Any

import pandas as pd

from solarsim.answers.levers import Lever, LeversAnswer
from solarsim.cards import Card
from solarsim.present.compare.charts import levers_figure
from solarsim.present.compare.documents import levers_document
from solarsim.present.compare.text import LEVER_TITLES, levers_headline
from solarsim.present.faces.rows import warnings_row, weather_row

__all__ = ["card", "document", "figure", "frame"]

document = levers_document

_SHOWN = 3


def card(answer: LeversAnswer) -> Card:
    """Return how things are and the changes that gain most."""
    tried = _tried(answer)
    return Card(
        levers_headline(answer),
        [
            *(
                _row(lever, answer)
                for kind in LEVER_TITLES
                for lever in answer.of_kind(kind)[:_SHOWN]
                if not lever.stopped
            ),
            ("tried", f"{len(tried)} changes; {len(answer.levers) - len(tried)} do not apply"),
            weather_row(answer.conditions),
            *warnings_row(answer.warnings),
        ],
    )


def frame(answer: LeversAnswer) -> pd.DataFrame:
    """Return one row a change, the most gained first; figures of a skipped one are missing."""
    return pd.DataFrame(
        {
            "change": lever.name,
            "kind": lever.kind,
            "gained_days": _figure(lever, lever.days_gained),
            "standard_error_days": _figure(lever, lever.standard_error),
            "chance_gained_share": _figure(lever, lever.chance_gained),
            "reserve_gained_wh": _figure(lever, lever.reserve_gained_wh),
            "reserve_standard_error_wh": _figure(lever, lever.reserve_standard_error_wh),
            "warnings": "; ".join(lever.warnings),
            "needed": lever.needed,
            "skipped": lever.skipped,
        }
        for lever in answer.levers
    )


def figure(answer: LeversAnswer) -> Any:
    """Return what each change that applies gains or costs."""
    return levers_figure(_tried(answer), by=answer.ranked_by)


def _tried(answer: LeversAnswer) -> list[Lever]:
    return [lever for lever in answer.levers if lever.skipped is None]


def _row(lever: Lever, answer: LeversAnswer) -> tuple[str, str]:
    if answer.ranked_by == "reserve":
        return lever.name, (
            f"{lever.reserve_gained_wh:+z,.0f} Wh left +- {lever.reserve_standard_error_wh:,.0f}"
        )
    return lever.name, f"{lever.days_gained:+z.1f} days +- {lever.standard_error:.1f}"


def _figure(lever: Lever, value: float) -> float | None:
    return None if lever.skipped else value
