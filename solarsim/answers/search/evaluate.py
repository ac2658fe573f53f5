"""How every design of a space does, on the same runs of weather, as far as it matters.

A design that has already failed in more runs than the target allows is followed no further: that
the runs to come would all last cannot save it. Nothing else is left out. That a panel or a battery
more never takes a day away is likely and not proven (a fuller bank sits at a higher voltage and
takes less), so nothing is skipped by it.
"""

from __future__ import annotations

import contextvars
import dataclasses
import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.answers.search.designs import InSituation
from solarsim.answers.search.space import Case
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.run import Progress, chunk_starts, dispatched
from solarsim.answers.simulation.scene import Scene, build_scene, question_times
from solarsim.answers.simulation.summary import days_of_cuts
from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.inputs.van import Van
from solarsim.power.design import design_of
from solarsim.records import ArrayRecord
from solarsim.solar.shade.roof_shade import RoofShade
from solarsim.weather.years.windows import stay_month

__all__ = ["Evaluated", "Target", "evaluate", "situation_of"]


@dataclasses.dataclass(frozen=True)
class Target:
    """What a design must reach in every situation; None asks for nothing.

    Attributes
    ----------
    chance : float or None
        Share of runs that last the stay.
    days : float or None
        Days that nine runs in ten last.
    """

    chance: float | None = None
    days: float | None = None

    def missed(self, first_cut_h: FloatArray, stay_hours: int) -> BoolArray:
        """Which designs miss it, of ``(runs, designs)`` hours to the first cut-off.

        Runs that are not known yet stand as lasting to the end.
        """
        missed = np.zeros(first_cut_h.shape[1], dtype=bool)
        if self.chance is not None:
            missed |= (first_cut_h >= stay_hours).mean(axis=0) < self.chance
        if self.days is not None:
            missed |= np.percentile(first_cut_h / 24.0, 10, axis=0) < self.days
        return missed


@dataclasses.dataclass(frozen=True)
class Evaluated:
    """What came of every candidate, numbered case by case.

    Attributes
    ----------
    situations : dict
        By candidate: how it does in each situation. Only of those that reach the target.
    notes : tuple of str
        About weather and loads.
    """

    situations: dict[int, tuple[InSituation, ...]]
    notes: tuple[str, ...]


def evaluate(
    questions: Sequence[Question],
    cases: Sequence[Case],
    wanted: BoolArray,
    target: Target,
    *,
    progress: Progress | None = None,
) -> Evaluated:
    """Follow every candidate through every situation, until it cannot reach the target any more.

    Parameters
    ----------
    questions : sequence of Question
        The situations: one van, its people, and places and months.
    cases : sequence of Case
        The candidates.
    wanted : ndarray of bool
        ``(candidates,)`` which of them to follow.
    target : Target
        What they must reach.
    progress : callable, optional
        Called with stretches of work done and in all.
    """
    alive = wanted.copy()
    numbers = np.split(np.arange(len(wanted)), np.cumsum([len(case.vans) for case in cases])[:-1])
    found: dict[int, tuple[InSituation, ...]] = {
        int(number): () for number in np.flatnonzero(alive)
    }
    notes: dict[str, None] = {}
    steps = sum(len(chunk_starts(question)) for question in questions)
    done = 0

    def step() -> None:
        nonlocal done
        done += 1
        if progress is not None:
            progress(done, steps)

    for question in questions:
        found_here = _in_situation(question, cases, numbers, alive, target, notes, step)
        found = {number: (*found[number], one) for number, one in found_here.items()}
    return Evaluated(found, tuple(notes))


def _in_situation(
    question: Question,
    cases: Sequence[Case],
    numbers: Sequence[IntArray],
    alive: BoolArray,
    target: Target,
    notes: dict[str, None],
    step: Callable[[], None],
) -> dict[int, InSituation]:
    """How those that reach the target do; `alive` loses the others."""
    if not alive.any():
        return {}
    times = question_times(question)
    stay_hours = question.van.stay.days * 24
    asked = [situation_of(question, case.van) for case in cases]
    # Ahead of the threads, which would each work them out.
    shades = [
        shades_by_count(one.van, {van.panels.count for van in case.vans})
        for one, case in zip(asked, cases, strict=True)
    ]
    cut_h: FloatArray | None = None
    real_years = False
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        for first, runs in chunk_starts(question):
            scene = build_scene(asked[0], times, first_run=first, runs=runs)
            notes |= dict.fromkeys((*scene.weather.notes, *scene.demand.notes))
            real_years |= bool(scene.weather.run_years)
            if cut_h is None:
                whole = question.runs if question.series is None else scene.weather.runs
                cut_h = np.full((whole, len(alive)), float(len(times)))

            kept = [np.flatnonzero(alive[some]) for some in numbers]
            due = [index for index, some in enumerate(kept) if len(some)]
            # Draws that the caller keeps are kept in the threads as well.
            contexts = [contextvars.copy_context() for _ in due]
            stretch = _Stretch(asked[0], times, first, scene)
            waiting = [
                pool.submit(
                    context.run, _first_cuts, stretch, asked[index], cases[index], kept[index],
                    shades[index],
                )
                for context, index in zip(contexts, due, strict=True)
            ]  # fmt: skip
            for index, each in zip(due, waiting, strict=True):
                one = each.result()
                cut_h[first : first + len(one), numbers[index][kept[index]]] = one
            some = np.flatnonzero(alive)
            alive[some[target.missed(cut_h[:, some], stay_hours)]] = False
            step()
    assert cut_h is not None
    return {
        int(number): InSituation(
            place=question.place.name,
            month=stay_month(question.van.stay),
            days=days_of_cuts(
                cut_h[:, number], follow_days=len(times) // 24, real_years=real_years
            ),
            chance_lasts=float((cut_h[:, number] >= stay_hours).mean()),
        )
        for number in np.flatnonzero(alive)
    }


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class _Stretch(ArrayRecord):
    """Some runs, and their scene for the first case."""

    question: Question
    times: pd.DatetimeIndex
    first_run: int
    scene: Scene


def situation_of(question: Question, van: Van) -> Question:
    """Return the same situation asked of another van."""
    return dataclasses.replace(question, van=van.model_copy(update={"stay": question.van.stay}))


def _first_cuts(
    stretch: _Stretch,
    question: Question,
    case: Case,
    kept: IntArray,
    shades: Mapping[int, RoofShade | None],
) -> FloatArray:
    """Hours to the first cut-off of a case's designs, ``(runs, kept)``."""
    scene = stretch.scene
    if question is not stretch.question:
        scene = build_scene(
            question,
            stretch.times,
            first_run=stretch.first_run,
            runs=scene.weather.runs,
            like=(stretch.question, scene),
        )
    designs = [design_of(case.vans[number]) for number in kept]
    # Alike ones once, and one panel series after the other.
    unlike = sorted(dict.fromkeys(designs), key=lambda design: design.panel_count)
    place = {design: index for index, design in enumerate(unlike)}
    # Only when each is cut off: no ledger, no state of charge by the hour.
    outcome = dispatched(question, scene, unlike, 0, shades, 0)
    return outcome.first_cut_h[:, [place[design] for design in designs]]
