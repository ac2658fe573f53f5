"""The same van and people in every month: which one decides."""

from __future__ import annotations

import dataclasses

from solarsim.answers.question import Question
from solarsim.answers.simulate import Progress, simulate
from solarsim.answers.summary import DaysUnplugged, chance_lasts, days_unplugged
from solarsim.power.design import design_of

__all__ = ["MonthAnswer", "SeasonsAnswer", "seasons"]


@dataclasses.dataclass(frozen=True)
class MonthAnswer:
    """One month: the answer, and the light and warmth that cause it."""

    month: int
    chance_lasts: float
    days: DaysUnplugged
    ghi_kwh_m2_day: float
    temp_air_c: float
    demand_wh_per_day: float


@dataclasses.dataclass(frozen=True)
class SeasonsAnswer:
    """Twelve months of the same question.

    Attributes
    ----------
    question : Question
        What was asked; its own month plays no part.
    months : tuple of MonthAnswer
        January to December.
    worst_month : int
        The month with the lowest chance; among equals the one with the fewest days.
    notes : tuple of str
        Caveats of all months.
    """

    question: Question
    months: tuple[MonthAnswer, ...]
    worst_month: int
    notes: tuple[str, ...]


def seasons(question: Question, *, progress: Progress | None = None) -> SeasonsAnswer:
    """Answer a question for all twelve months, a stay centred on each month's middle.

    Parameters
    ----------
    question : Question
        Any month's.
    progress : callable, optional
        Called with months done and 12.
    """
    months = []
    notes: dict[str, None] = {}
    for month in range(1, 13):
        asked = with_month(question, month)
        simulation = simulate(asked, [design_of(asked.van)])
        conditions = simulation.conditions
        months.append(
            MonthAnswer(
                month=month,
                chance_lasts=chance_lasts(simulation, 0),
                days=days_unplugged(simulation, 0),
                ghi_kwh_m2_day=conditions.ghi_kwh_m2_day,
                temp_air_c=conditions.temp_air_c,
                demand_wh_per_day=sum(conditions.demand_wh_per_day.values()),
            )
        )
        notes |= dict.fromkeys(conditions.notes)
        if progress is not None:
            progress(month, 12)
    worst = min(months, key=lambda row: (row.chance_lasts, row.days.p50, row.days.mean))
    return SeasonsAnswer(question, tuple(months), worst.month, (*question.notes, *notes))


def with_month(question: Question, month: int) -> Question:
    """Return the same question for another month; a given first day no longer counts."""
    van = question.van
    stay = van.stay.model_copy(update={"month": month, "start": None})
    return dataclasses.replace(question, van=van.model_copy(update={"stay": stay}))
