"""The client's interview."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from solarsim.answers.given import given_text
from solarsim.answers.interview.interview import InterviewAnswer
from solarsim.answers.interview.interview import interview as made_of
from solarsim.errors import InputError
from solarsim.inputs.base import plain_value, record_data
from solarsim.inputs.interview import (
    ClientAnswers,
    Interview,
    interview_from_data,
    read_interview,
)

__all__ = ["interview"]


def interview(
    answers: str | Path | Mapping[str, Any] | None = None, **changed: Any
) -> InterviewAnswer:
    """Make a load profile of a client's answers, each appliance with the answer it follows from.

    The answer's ``profile`` goes where a profile is taken, as in ``stay("weekender",
    profile=answer.profile)``; ``save`` writes it (``.toml``) or a page to print (``.html``,
    ``.pdf``).

    Parameters
    ----------
    answers : str, Path or mapping, optional
        A TOML file, a shipped example's name, or answers by their keys (`solarsim keys answers`).
    **changed
        Answers by their keys, over those; ``people`` is required.

    Raises
    ------
    InputError
        An unknown key, an answer that cannot be, or a place that is not found.

    Examples
    --------
    >>> answer = interview(people=3, heater="none", fridge="small")
    >>> answer.profile.cabin.people, [one.key for one in answer.appliances].count("fridge")
    (3, 1)
    """
    known = list(ClientAnswers.model_fields)
    for name in changed:
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
            hint = f"did you mean '{near[0]}'?" if near else f"known: {', '.join(known)}"
            raise InputError(f"unknown answer; {hint}", field=name)
    given = _given(answers) | {name: plain_value(value) for name, value in changed.items()}
    return made_of(interview_from_data({"answers": given}, source=""))


def _given(answers: Any) -> dict[str, Any]:
    if answers is None:
        return {}
    if isinstance(answers, Interview):
        return record_data(answers.answers)
    if isinstance(answers, Mapping):
        return {str(key): plain_value(value) for key, value in answers.items()}
    allowed = "a TOML file, a shipped example's name or answers by their keys"
    name = given_text(answers, field="answers", allowed=allowed)
    return record_data(read_interview(name).answers)
