"""The same stay in every real year: how bad it was, how good, and what the climate says.

A typical year is no real one: it is answered as a whole, and no year of it is named.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import ClassVar, Literal

import numpy as np

from solarsim.answers.question import DEFAULT_RUNS, MAX_RUNS, Question
from solarsim.answers.simulation.run import Progress, Simulation, simulate
from solarsim.answers.simulation.scene import question_times
from solarsim.answers.simulation.summary import (
    DaysUnplugged,
    StayDates,
    chance_lasts,
    days_unplugged,
    reserve_wh,
    stay_dates,
)
from solarsim.errors import PlaceError
from solarsim.power.design import Design, design_of
from solarsim.records import DrawnAnswer
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.years.series import YearSeries
from solarsim.weather.years.windows import stay_month, window_starts

__all__ = ["HistoryAnswer", "Side", "YearAnswer", "history", "months_of_years"]


@dataclasses.dataclass(frozen=True)
class Side:
    """The answer from one kind of weather; light and air are means over the stay and the runs."""

    source: str
    runs: int
    chance_lasts: float
    days: DaysUnplugged
    ghi_kwh_m2_day: float
    temp_air_c: float


@dataclasses.dataclass(frozen=True)
class YearAnswer:
    """One real year: every window of the stay's length that starts in the month.

    ``days`` are percentiles over the windows, ``shortest_days`` is the window cut off first;
    ``reserve_wh`` is the mean left above the floor at the stay's lowest hour.
    """

    year: int
    windows: int
    chance_lasts: float
    days: DaysUnplugged
    shortest_days: float
    reserve_wh: float
    ghi_kwh_m2_day: float
    temp_air_c: float


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class HistoryAnswer(DrawnAnswer):
    """The answer of `history`.

    Attributes
    ----------
    question : Question
        What was asked.
    dates : StayDates
        Length and month of the stay.
    climate : Side or None
        From the embedded climate; None where it does not know the place.
    history : Side or None
        From all real years together, or from the typical year of a file; None where there are
        none at hand.
    typical : bool
        Whether `history` comes from a typical year; there are no `years` then.
    years : tuple of YearAnswer
        Real years one by one.
    missing_years : tuple of int
        Years asked for that are not at hand.
    worst, best : YearAnswer or None
        By the chance; among equals by P50 of the days, and then by what stays in the bank.
    ranked_by : str
        Which of the three sets the worst apart from the best: ``"chance"``, ``"days"``,
        ``"reserve"``.
    notes : tuple of str
        Caveats.
    """

    _face: ClassVar[str] = "history"

    question: Question
    dates: StayDates
    climate: Side | None
    history: Side | None
    typical: bool
    years: tuple[YearAnswer, ...]
    missing_years: tuple[int, ...]
    worst: YearAnswer | None
    best: YearAnswer | None
    ranked_by: Literal["chance", "days", "reserve"]
    notes: tuple[str, ...]


def history(
    question: Question,
    series: YearSeries | None,
    *,
    missing_years: Sequence[int] = (),
    progress: Progress | None = None,
) -> HistoryAnswer:
    """Answer a question from real years and from the embedded climate, side by side.

    Parameters
    ----------
    question : Question
        From `solarsim.answers.question.ask`, on the climate or on a weather file.
    series : YearSeries or None
        The real years, or a typical one; None answers from the climate alone.
    missing_years : sequence of int, optional
        Years that were asked for and are not in `series`, to be named with the answer.
    progress : callable, optional
        Called with runs done and in all, for either kind of weather.

    Raises
    ------
    InputError
        Years in which no such stay starts.
    """
    notes = list(question.notes)
    climate = _from_climate(question, progress, notes)
    asked, side = question, None
    years: tuple[YearAnswer, ...] = ()
    if series is not None:
        # A year is told by the days of the stay's month, whatever the van's climate is.
        stay = question.van.stay.model_copy(update={"climate": "embedded"})
        asked = dataclasses.replace(
            question,
            van=question.van.model_copy(update={"stay": stay}),
            climate=None,
            series=series,
            place=series.place,
            runs=MAX_RUNS,
        )
        design = design_of(asked.van)
        simulation = simulate(asked, [design], progress=progress)
        notes += simulation.conditions.notes
        side = _side(simulation)
        years = () if series.typical else _by_year(asked, simulation, design)
    ranked = sorted(years, key=lambda one: (one.chance_lasts, one.days.p50, one.reserve_wh))
    worst, best = (ranked[0], ranked[-1]) if ranked else (None, None)
    return HistoryAnswer(
        question=asked,
        dates=stay_dates(question),
        climate=climate,
        history=side,
        typical=series is not None and series.typical,
        years=years,
        missing_years=tuple(missing_years),
        worst=worst,
        best=best,
        ranked_by=_ranked_by(worst, best),
        notes=tuple(dict.fromkeys(notes)),
    )


def _from_climate(question: Question, progress: Progress | None, notes: list[str]) -> Side | None:
    """The embedded climate's answer; what is to be known of it is added to the notes."""
    try:
        site = question.climate or load_site_climate(question.place)
    except PlaceError as error:
        notes.append(str(error))
        return None
    runs = DEFAULT_RUNS if question.series is not None else question.runs
    asked = dataclasses.replace(question, climate=site, series=None, runs=runs)
    simulation = simulate(asked, [design_of(asked.van)], progress=progress)
    notes += simulation.conditions.notes
    return _side(simulation)


def _ranked_by(
    worst: YearAnswer | None, best: YearAnswer | None
) -> Literal["chance", "days", "reserve"]:
    if worst is None or best is None or worst.chance_lasts < best.chance_lasts:
        return "chance"
    return "days" if worst.days.p50 < best.days.p50 else "reserve"


def months_of_years(series: YearSeries) -> tuple[tuple[float, float, float] | None, ...]:
    """Least, mean and most of the years' mean daily GHI, kWh/m2, by month; None without a month."""
    found = []
    for month in range(1, 13):
        inside = series.times.month == month
        year = series.times.year[inside]
        ghi = series.ghi_w_m2[inside]
        # The odd hours that a clock's offset leaves over at either end make no month.
        means = [
            float(ghi[year == one].mean()) * 0.024
            for one in np.unique(year)
            if (year == one).sum() >= 24 * 27
        ]
        found.append((min(means), sum(means) / len(means), max(means)) if means else None)
    return tuple(found)


def _side(simulation: Simulation) -> Side:
    conditions = simulation.conditions
    return Side(
        source=conditions.source,
        runs=conditions.runs,
        chance_lasts=chance_lasts(simulation, 0),
        days=days_unplugged(simulation, 0),
        ghi_kwh_m2_day=conditions.ghi_kwh_m2_day,
        temp_air_c=conditions.temp_air_c,
    )


def _by_year(question: Question, simulation: Simulation, design: Design) -> tuple[YearAnswer, ...]:
    series = question.series
    assert series is not None
    times = question_times(question)
    starts = window_starts(series, times, month=stay_month(question.van.stay))
    hours = starts[:, np.newaxis] + np.arange(simulation.stay_hours)
    hours %= len(series.times)
    ghi = series.ghi_w_m2[hours].mean(axis=1) * 0.024
    air = series.temp_air_c[hours].mean(axis=1)
    cut_days = simulation.outcome.first_cut_h[:, 0] / 24.0
    lasted = simulation.outcome.first_cut_h[:, 0] >= simulation.stay_hours
    left_wh = reserve_wh(simulation, design)
    year = series.times.year.to_numpy()[starts]
    found = []
    follow_days = len(simulation.times) // 24
    for one in np.unique(year):
        here = year == one
        p10, p50, p90 = (float(days) for days in np.percentile(cut_days[here], [10, 50, 90]))
        found.append(
            YearAnswer(
                year=int(one),
                windows=int(here.sum()),
                chance_lasts=float(lasted[here].mean()),
                days=DaysUnplugged(p10, p50, p90, float(cut_days[here].mean()), follow_days),
                shortest_days=float(cut_days[here].min()),
                reserve_wh=float(left_wh[here].mean()),
                ghi_kwh_m2_day=float(ghi[here].mean()),
                temp_air_c=float(air[here].mean()),
            )
        )
    return tuple(found)
