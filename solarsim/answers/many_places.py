"""One question at many places, spread over processes."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import TypeVar

from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress
from solarsim.errors import InputError

__all__ = ["MAX_PLACES", "at_place", "at_places", "further_places"]

AnswerT = TypeVar("AnswerT")
# On one page for a buyer.
MAX_PLACES = 4


def at_place(question: Question, place: str) -> Question:
    """Return the same question at another place, on that place's climate or its real years.

    Raises
    ------
    PlaceError
        No such place, or none with a climate.
    InputError
        Too few real years of it, where these are asked for.
    InputError
        The question stands on a weather file, which has a place of its own.
    """
    if question.on_file:
        raise InputError("a weather file has its own place; leave --weather out", field="--places")
    return question.replace(place=place)


def further_places(question: Question, places: Sequence[str]) -> list[Question]:
    """Return the same question at each place that stands on a page beside its own.

    Raises
    ------
    PlaceError
        As for `at_place`.
    InputError
        More than fit, one that stands twice, or a question that stands on a weather file.
    """
    if len(places) >= MAX_PLACES:
        message = f"got {len(places)} beside the van's own place; at most {MAX_PLACES - 1} fit"
        raise InputError(message, field="regions")
    if places and question.on_file:
        message = "a weather file has its own place; leave the regions out"
        raise InputError(message, field="regions")
    asked = [at_place(question, place) for place in places]
    seen = {question.place}
    for one in asked:
        if one.place in seen:
            raise InputError(f"'{one.place.name}' stands twice", field="regions")
        seen.add(one.place)
    return asked


def at_places(
    question: Question,
    places: Sequence[str],
    answer: Callable[[Question], AnswerT],
    *,
    progress: Progress | None = None,
) -> list[AnswerT]:
    """Answer a question at every place.

    Parameters
    ----------
    question : Question
        Its own place plays no part.
    places : sequence of str
        Towns or coordinates; all are found before any is answered.
    answer : callable
        Of the answers' room; it and what it returns go between processes.
    progress : callable, optional
        Called with places done and in all.

    Raises
    ------
    PlaceError
        A place that cannot be found.
    """
    questions = [at_place(question, place) for place in places]
    answers: list[AnswerT] = []
    # Fresh processes: a fork of one whose threads have run compiled code may hang. No more of them
    # than places, for each takes a second to start.
    context = multiprocessing.get_context("spawn")
    workers = min(os.cpu_count() or 1, len(questions))
    with ProcessPoolExecutor(max_workers=workers, mp_context=context) as pool:
        for found in pool.map(answer, questions):
            answers.append(found)
            if progress is not None:
                progress(len(answers), len(questions))
    return answers
