"""What one change is worth in days, on the same weather."""

from __future__ import annotations

import dataclasses
from typing import ClassVar, Literal

import numpy as np

from solarsim.answers.cautions import change_warnings, van_warnings
from solarsim.answers.lever_changes import LARGEST_LOADS, Skip, lever_changes, without_load
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress, simulate, simulate_all
from solarsim.answers.simulation.summary import (
    DaysUnplugged,
    Situation,
    chance_lasts,
    days_unplugged,
    reserve_wh,
    stay_dates,
)
from solarsim.arrays import FloatArray
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
    reserve_gained_wh : float
        Mean over the runs of what is left in the bank at the stay's lowest hour, more than before,
        Wh: it goes on telling changes apart where all days last to the end.
    reserve_standard_error_wh : float
        Of that mean, paired likewise, Wh.
    warnings : tuple of str
        What the change would overload, or what may not be built so.
    skipped : str or None
        Why it does not apply; then the figures are 0.
    """

    name: str
    days_gained: float
    standard_error: float
    chance_gained: float
    reserve_gained_wh: float = 0.0
    reserve_standard_error_wh: float = 0.0
    warnings: tuple[str, ...] = ()
    skipped: str | None = None


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class LeversAnswer(Situation):
    """Changes ranked by what they gain; those that do not apply come last.

    Attributes
    ----------
    days : DaysUnplugged
        As things are.
    chance_lasts : float
        As things are.
    reserve_wh : float
        Mean over the runs of what is left above the bank's floor at the stay's lowest hour, Wh, as
        things are.
    ranked_by : str
        ``"days"``, or ``"reserve"`` where half of the runs or more last to the end as things are:
        days beyond it cannot be gained.
    levers : tuple of Lever
        The most gained first, by `ranked_by`.
    warnings : tuple of str
        What trips or may not be built as things are.
    """

    _face: ClassVar[str] = "levers"

    days: DaysUnplugged
    chance_lasts: float
    reserve_wh: float
    ranked_by: Literal["days", "reserve"]
    levers: tuple[Lever, ...]
    warnings: tuple[str, ...]


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
    aboard = {appliance.name for appliance in question.profile.appliances}
    largest = sorted(aboard & set(demand), key=lambda name: (-demand[name], name))[:LARGEST_LOADS]
    tried: list[tuple[str, Question]] = []
    skipped: list[Lever] = []
    for name, change in lever_changes(question.van):
        changed = change(question)
        if isinstance(changed, Skip):
            skipped.append(Lever(name, 0.0, 0.0, 0.0, skipped=changed.reason))
        else:
            tried.append((name, changed))
    if len(demand) > 1:
        tried += [(f"without: {name}", without_load(question, name)) for name in largest]
    cases = [(asked, [design_of(asked.van)]) for asked in (question, *(q for _, q in tried))]
    simulations = simulate_all(cases, progress=progress)
    base = simulations[0]
    base_days = base.outcome.first_cut_h[:, 0] / 24.0
    base_wh = reserve_wh(base, design_of(question.van))
    found = []
    warnings = change_warnings(question, [changed for _, changed in tried])
    for (name, changed), simulation, warned in zip(tried, simulations[1:], warnings, strict=True):
        days = _paired(simulation.outcome.first_cut_h[:, 0] / 24.0 - base_days)
        reserve = _paired(reserve_wh(simulation, design_of(changed.van)) - base_wh)
        chance = chance_lasts(simulation, 0) - chance_lasts(base, 0)
        found.append(Lever(name, *days, chance, *reserve, warned))
    unplugged = days_unplugged(base, 0)
    by_reserve = unplugged.p50 >= unplugged.horizon
    if by_reserve:
        found.sort(key=lambda lever: (-lever.reserve_gained_wh, -lever.days_gained))
    else:
        found.sort(
            key=lambda lever: (-lever.days_gained, -lever.chance_gained, -lever.reserve_gained_wh)
        )
    return LeversAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=base.conditions,
        days=unplugged,
        chance_lasts=chance_lasts(base, 0),
        reserve_wh=float(base_wh.mean()),
        ranked_by="reserve" if by_reserve else "days",
        levers=(*found, *skipped),
        warnings=van_warnings(question, base),
    )


def _paired(gained: FloatArray) -> tuple[float, float]:
    """Mean of the runs' differences and its standard error; no error is known of a single run."""
    error = gained.std(ddof=1) / np.sqrt(len(gained)) if len(gained) > 1 else 0.0
    return float(gained.mean()), float(error)


def _demand_wh_per_day(question: Question) -> dict[str, float]:
    """Mean energy of each appliance, from a few runs: enough to tell the largest."""
    few = dataclasses.replace(question, runs=min(question.runs, 10))
    return simulate(few, [design_of(few.van)]).conditions.demand_wh_per_day
