"""The same van and people in every month: which one decides."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import ClassVar, Literal

from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress, simulate
from solarsim.answers.simulation.summary import (
    DaysUnplugged,
    chance_lasts,
    days_unplugged,
    reserve_wh,
)
from solarsim.inputs.appliance import WEEKDAYS
from solarsim.power.design import design_of
from solarsim.records import DrawnAnswer
from solarsim.weather.streams import keep_draws
from solarsim.weather.synthesis.runs import months_notes

__all__ = ["MonthAnswer", "SeasonsAnswer", "seasons"]


@dataclasses.dataclass(frozen=True)
class MonthAnswer:
    """One month: the answer, and the light and warmth that cause it.

    ``reserve_wh`` is the mean, over the runs, of what is left above the floor at the stay's lowest
    hour.
    """

    month: int
    chance_lasts: float
    days: DaysUnplugged
    ghi_kwh_m2_day: float
    temp_air_c: float
    demand_wh_per_day: float
    reserve_wh: float


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class SeasonsAnswer(DrawnAnswer):
    """Twelve months of the same question.

    Attributes
    ----------
    question : Question
        What was asked; its own month plays no part.
    months : tuple of MonthAnswer
        January to December.
    worst_month : int
        The month with the lowest chance; among equals the one with the fewest days, and then the
        one whose bank comes lowest.
    worst_by : str
        Which of the three tells it from the others: ``"chance"``, ``"days"`` or ``"reserve"``.
    notes : tuple of str
        Caveats of all months.
    """

    _face: ClassVar[str] = "seasons"

    question: Question
    months: tuple[MonthAnswer, ...]
    worst_month: int
    worst_by: Literal["chance", "days", "reserve"]
    notes: tuple[str, ...]


@keep_draws()
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
    notes: list[str] = []
    for month in range(1, 13):
        asked = question.replace(month=month)
        design = design_of(asked.van)
        simulation = simulate(asked, [design])
        conditions = simulation.conditions
        months.append(
            MonthAnswer(
                month=month,
                chance_lasts=chance_lasts(simulation, 0),
                days=days_unplugged(simulation, 0),
                ghi_kwh_m2_day=conditions.ghi_kwh_m2_day,
                temp_air_c=conditions.temp_air_c,
                demand_wh_per_day=sum(conditions.demand_wh_per_day.values()),
                reserve_wh=float(reserve_wh(simulation, design).mean()),
            )
        )
        notes += conditions.notes
        if progress is not None:
            progress(month, 12)
    worst = min(
        months,
        key=lambda row: (row.chance_lasts, row.days.p50, row.days.mean, row.reserve_wh),
    )
    return SeasonsAnswer(
        question=question,
        months=tuple(months),
        worst_month=worst.month,
        worst_by=_worst_by(months, worst),
        notes=(
            *question.notes,
            *months_notes(notes),
            *_start_note(question),
            *_weekday_note(question),
        ),
    )


def _start_note(question: Question) -> tuple[str, ...]:
    """Say why the month of a first day that is given may come out otherwise than its stay."""
    start = question.van.stay.start
    if start is None:
        return ()
    return (
        f"each month's stay is centred on the month's middle: the first day that the van has, "
        f"{start}, plays no part",
    )


def _weekday_note(question: Question) -> tuple[str, ...]:
    """Say why a brighter month may come out a little shorter where loads go by the week."""
    by_week = [
        appliance.name
        for appliance in question.profile.appliances
        if appliance.enabled and len(appliance.weekdays) < len(WEEKDAYS)
    ]
    if not by_week:
        return ()
    return (
        f"each month's stay begins on the weekday of its own date, and '{by_week[0]}' does not run "
        "on every weekday: that shifts the days between months",
    )


def _worst_by(
    months: Sequence[MonthAnswer], worst: MonthAnswer
) -> Literal["chance", "days", "reserve"]:
    equals = [row for row in months if row.chance_lasts == worst.chance_lasts]
    if len(equals) == 1:
        return "chance"
    same_days = [row for row in equals if row.days == worst.days]
    return "days" if len(same_days) == 1 else "reserve"
