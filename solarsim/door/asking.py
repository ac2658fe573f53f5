"""What every function of the door takes: a question, or a van and the keywords of `ask`."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypedDict

from solarsim.answers.given import GivenPlace
from solarsim.answers.question import Question, ask
from solarsim.errors import InputError
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van

__all__ = ["Askable", "Asked", "Progress", "given_progress", "question_of"]

Askable = Question | Van | str | Path
Progress = Callable[[int, int], Any]


class Asked(TypedDict, total=False):
    """The keywords of `ask`, each as there."""

    profile: str | Path | Profile | None
    place: GivenPlace | None
    month: int | None
    days: int | None
    weather: str | Path | None
    climate: str | None
    runs: int | None
    seed: int
    follow_days: int
    settings: Sequence[str]
    site_uncertainty: bool


def question_of(question: Askable, asked: Asked, *, with_loads: bool = True) -> Question:
    """Ask about a van, or change a question by the keywords that are given.

    Parameters
    ----------
    question : Question, Van, str or Path
        As it is, or what `ask` takes for a van.
    asked : Asked
        Keywords of `ask`.
    with_loads : bool
        False for what does not depend on the loads.

    Raises
    ------
    InputError
        As for `ask`; a keyword that it does not have.
    """
    known = list(Asked.__annotations__)
    for name in asked:
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
            hint = f"did you mean '{near[0]}'?" if near else f"known: {', '.join(known)}"
            raise InputError(f"unknown keyword; {hint}", field=name)
    given: dict[str, Any] = dict(asked)
    if not isinstance(question, Question):
        return ask(question, with_loads=with_loads, **given)
    return question.replace(with_loads=with_loads, **given) if given else question


def given_progress(progress: Progress | None) -> Progress | None:
    """Return what is told of the progress, if anything.

    Raises
    ------
    InputError
        Something that cannot be called.
    """
    if progress is not None and not callable(progress):
        message = f"got {progress!r}; must be a function of what is done and of all there is"
        raise InputError(message, field="progress")
    return progress
