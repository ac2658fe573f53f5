"""What one change is worth in days, on the same weather."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.lever_changes import LARGEST_LOADS, Skip, lever_changes, without_load
from solarsim.answers.question import Question
from solarsim.answers.simulate import Conditions, Progress, simulate, simulate_all
from solarsim.answers.summary import (
    DaysUnplugged,
    StayDates,
    chance_lasts,
    days_unplugged,
    stay_dates,
)
from solarsim.power.design import design_of

__all__ = ["Lever", "LeversAnswer", "levers"]


@dataclasses.dataclass(frozen=True)
class Lever:
    """One change.

    Attributes
    ----------
    name : str
        What is done.
    days_gained : float
        Mean over the runs of the days that it adds, negative where it costs days; days past the
        horizon do not count.
    standard_error : float
        Of that mean, paired run by run on the same weather, days.
    chance_gained : float
        Change of the chance to last the stay, -1 to 1.
    skipped : str or None
        Why it does not apply; then the figures are 0.
    """

    name: str
    days_gained: float
    standard_error: float
    chance_gained: float
    skipped: str | None = None


@dataclasses.dataclass(frozen=True)
class LeversAnswer:
    """Changes ranked by the days that they gain; those that do not apply come last.

    Attributes
    ----------
    question : Question
        What was asked.
    dates : StayDates
        When.
    conditions : Conditions
        Weather and demand as they are.
    days : DaysUnplugged
        As things are.
    chance_lasts : float
        As things are.
    levers : tuple of Lever
        Most days gained first.
    """

    question: Question
    dates: StayDates
    conditions: Conditions
    days: DaysUnplugged
    chance_lasts: float
    levers: tuple[Lever, ...]


def levers(question: Question, *, progress: Progress | None = None) -> LeversAnswer:
    """Try every change by itself against things as they are, run by run on the same weather.

    Parameters
    ----------
    question : Question
        What is asked.
    progress : callable, optional
        Called with runs done and runs in all.
    """
    demand = _demand_wh_per_day(question)
    largest = sorted(demand, key=lambda name: -demand[name])[:LARGEST_LOADS]
    tried: list[tuple[str, Question]] = []
    skipped: list[Lever] = []
    for name, change in lever_changes(question.van):
        changed = change(question)
        if isinstance(changed, Skip):
            skipped.append(Lever(name, 0.0, 0.0, 0.0, changed.reason))
        else:
            tried.append((name, changed))
    if len(demand) > 1:
        tried += [(f"without: {name}", without_load(question, name)) for name in largest]
    cases = [(asked, [design_of(asked.van)]) for asked in (question, *(q for _, q in tried))]
    simulations = simulate_all(cases, progress=progress)
    base = simulations[0]
    base_h = base.outcome.first_cut_h[:, 0]
    found = []
    for (name, _), simulation in zip(tried, simulations[1:], strict=True):
        gained = (simulation.outcome.first_cut_h[:, 0] - base_h) / 24.0
        error = gained.std(ddof=1) / np.sqrt(len(gained)) if len(gained) > 1 else 0.0
        chance = chance_lasts(simulation, 0) - chance_lasts(base, 0)
        found.append(Lever(name, float(gained.mean()), float(error), chance))
    found.sort(key=lambda lever: (-lever.days_gained, -lever.chance_gained))
    return LeversAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=base.conditions,
        days=days_unplugged(base, 0),
        chance_lasts=chance_lasts(base, 0),
        levers=(*found, *skipped),
    )


def _demand_wh_per_day(question: Question) -> dict[str, float]:
    """Mean energy of each appliance, from a few runs: enough to tell the largest."""
    few = dataclasses.replace(question, runs=min(question.runs, 10))
    return simulate(few, [design_of(few.van)]).conditions.demand_wh_per_day
