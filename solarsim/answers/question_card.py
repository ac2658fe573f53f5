"""What a question shows of itself."""

from __future__ import annotations

import calendar
from typing import TYPE_CHECKING

from solarsim.cards import Card

if TYPE_CHECKING:
    from solarsim.answers.question import Question

__all__ = ["question_card"]


def question_card(question: Question) -> Card:
    """Return what is asked, of which van, at which place, on which weather."""
    van, series = question.van, question.series
    stay = van.stay
    dates = calendar.month_name[stay.month] if stay.start is None else f"from {stay.start}"
    weather = "the embedded climate" if series is None else series.source
    return Card(
        f"{stay.days} days, {dates}, at {question.place.name} with the van '{van.van.name}'",
        [
            *van.card().rows[:3],
            ("aboard", question.profile.profile.name),
            ("weather", f"{question.runs} runs of {weather}, seed {question.seed}"),
            ("followed", f"{max(question.follow_days, stay.days)} days"),
            *(("note", note) for note in question.notes[:2]),
        ],
    )
