"""The electrical check of what is asked."""

from __future__ import annotations

from solarsim.answers.question import Question
from solarsim.electrical.check import Check, check_van

__all__ = ["check_question"]


def check_question(question: Question) -> Check:
    """Check a question's van for its people, at its place and in its weather.

    Raises
    ------
    InputError
        As for `solarsim.electrical.check.check_van`.
    """
    return check_van(
        question.van,
        question.profile,
        question.place,
        climate=question.climate,
        series=question.series,
    )
