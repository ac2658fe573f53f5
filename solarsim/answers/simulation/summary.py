"""From outcomes to the figures that people read."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import Conditions
from solarsim.answers.simulation.run import Simulation
from solarsim.arrays import FloatArray
from solarsim.inputs.calendar import stay_start
from solarsim.power.design import Design, usable_wh
from solarsim.power.ledger import GENERATOR_TERMS, Term
from solarsim.records import ArrayRecord, DrawnAnswer
from solarsim.weather.years.windows import stay_month

__all__ = [
    "Bands",
    "DaysUnplugged",
    "Situation",
    "StandardErrors",
    "StayDates",
    "chance_lasts",
    "days_of_cuts",
    "days_unplugged",
    "ledger_wh_per_day",
    "month_light_kwh_m2_day",
    "paired",
    "reserve_wh",
    "soc_bands",
    "standard_errors",
    "stay_dates",
]

_RESAMPLES = 200
# That none of so many is worse tells with 95 % certainty that not one in a hundred is: 0.99^300 is
# 0.05 (the rule of three; Hanley & Lippman-Hand, JAMA 249, 1983).
_RUNS_FOR_P1 = 300
# With fewer, what years differ by cannot be told.
_LEAST_YEARS = 5


@dataclasses.dataclass(frozen=True)
class StayDates:
    """First day, length and month of the stay."""

    start: dt.date
    days: int
    month: int


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Situation(DrawnAnswer):
    """What an answer about a stay begins with.

    Attributes
    ----------
    question : Question
        What was asked.
    dates : StayDates
        When.
    conditions : Conditions
        Weather and demand of the runs, as things are.
    """

    question: Question
    dates: StayDates
    conditions: Conditions


@dataclasses.dataclass(frozen=True)
class DaysUnplugged:
    """Days from arrival to the first cut-off; ``follow_days`` stands for that many or more.

    ``p1`` is None where the runs are too few to tell one in a hundred.
    """

    p10: float
    p50: float
    p90: float
    mean: float
    follow_days: int
    p1: float | None = None

    def safe(self, *, medical: bool) -> float | None:
        """Days to count on: nine runs in ten reach them, 99 in 100 where health depends on them."""
        return self.p1 if medical else self.p10


@dataclasses.dataclass(frozen=True)
class StandardErrors:
    """How far the figures of `DaysUnplugged` and the chance may be off for the number of runs.

    One standard error each, in days and as a share; the climate data's own error is not in it
    (each run draws that).
    """

    p10: float
    p50: float
    p90: float
    mean: float
    chance_lasts: float


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Bands(ArrayRecord):
    """State of charge at each stamp of the stay, 0 to 1; the worst run beside the bands.

    ``p1`` is what 99 runs in 100 have where someone's health depends on it and they are enough to
    tell it, else None.
    """

    times: pd.DatetimeIndex
    p10: FloatArray
    p50: FloatArray
    p90: FloatArray
    worst: FloatArray
    p1: FloatArray | None = None


def stay_dates(question: Question) -> StayDates:
    """Dates of a question's stay."""
    stay = question.van.stay
    return StayDates(start=stay_start(stay), days=stay.days, month=stay_month(stay))


def month_light_kwh_m2_day(question: Question) -> float | None:
    """Mean light of the whole month of the stay by the embedded climate, as `climate` tells it.

    A stay's own days lie in the middle of the month, which is darker than the whole in winter and
    brighter in midsummer. None where real weather takes the climate's place.
    """
    if question.climate is None:
        return None
    return float(question.climate.ghi_kwh_m2_day[stay_month(question.van.stay) - 1])


def days_unplugged(simulation: Simulation, design: int) -> DaysUnplugged:
    """Percentiles and mean, over the runs, of a design's days to the first cut-off."""
    return days_of_cuts(
        simulation.outcome.first_cut_h[:, design],
        follow_days=len(simulation.times) // 24,
        real_years=bool(simulation.conditions.run_years),
    )


def paired(gained: FloatArray) -> tuple[float, float]:
    """Mean of the runs' differences and its standard error; no error is known of a single run."""
    error = gained.std(ddof=1) / np.sqrt(len(gained)) if len(gained) > 1 else 0.0
    return float(gained.mean()), float(error)


def days_of_cuts(first_cut_h: FloatArray, *, follow_days: int, real_years: bool) -> DaysUnplugged:
    """Percentiles and mean of ``(runs,)`` hours to the first cut-off, in days."""
    days = first_cut_h / 24.0
    p1, p10, p50, p90 = np.percentile(days, [1, 10, 50, 90])
    # Windows of real years overlap: there are hardly more samples than years.
    told = len(days) >= _RUNS_FOR_P1 and not real_years
    return DaysUnplugged(
        float(p10),
        float(p50),
        float(p90),
        float(days.mean()),
        follow_days,
        float(p1) if told else None,
    )


def chance_lasts(simulation: Simulation, design: int) -> float:
    """Share of runs without a cut-off during the stay, 0 to 1."""
    lasted = simulation.outcome.first_cut_h[:, design] >= simulation.stay_hours
    return float(lasted.mean())


def standard_errors(simulation: Simulation, design: int) -> StandardErrors:
    """Standard errors by the bootstrap over runs; the chance's by the binomial.

    The chance takes one run more of each kind than there were, so that 300 of 300 is not certain.
    Windows of five real years and more are drawn year by year: those of one year overlap and share
    its weather, so that there are hardly more independent samples than years.

    References
    ----------
    .. [1] B. Efron, "Bootstrap methods: another look at the jackknife", Annals of Statistics 7(1),
       1979.
    """
    days = simulation.outcome.first_cut_h[:, design] / 24.0
    lasted = days * 24.0 >= simulation.stay_hours
    # A fixed seed: the same runs give the same error.
    random = np.random.default_rng(0)
    years, of_run = np.unique(simulation.conditions.run_years, return_inverse=True)
    samples = len(years) if len(years) >= _LEAST_YEARS else len(days)
    drawn = random.integers(0, samples, size=(_RESAMPLES, samples))
    if samples == len(days):
        p10, p50, p90 = np.percentile(days[drawn], [10, 50, 90], axis=1).std(axis=1)
        mean = days[drawn].mean(axis=1).std()
    else:
        of_year = [days[of_run == year] for year in range(samples)]
        sets = [np.concatenate([of_year[year] for year in row]) for row in drawn]
        p10, p50, p90 = np.std([np.percentile(one, [10, 50, 90]) for one in sets], axis=0)
        mean = np.std([one.mean() for one in sets])
    share = (lasted.sum() * (samples / len(days)) + 1.0) / (samples + 2.0)
    chance = np.sqrt(share * (1.0 - share) / (samples + 2.0))
    return StandardErrors(float(p10), float(p50), float(p90), float(mean), float(chance))


def reserve_wh(simulation: Simulation, design: Design) -> FloatArray:
    """Energy above the floor at the stay's lowest hour, ``(runs,)`` Wh; 0 in a run that is cut off.

    It tells designs apart that all last to the end. `design` is the one observed.
    What a cold bank holds back is counted, as long as it is not cut off.
    """
    above = np.maximum(simulation.lowest_soc - design.floor_soc, 0.0)
    lasted = simulation.outcome.first_cut_h[:, simulation.observed] >= simulation.stay_hours
    return usable_wh(design) * np.where(lasted, above, 0.0) / max(1.0 - design.floor_soc, 1e-9)


def ledger_wh_per_day(
    simulation: Simulation, design: int, *, generator: bool = False
) -> dict[str, float]:
    """Mean energy a day of the stay by ledger term, Wh; a generator's only where it is asked."""
    mean_wh = simulation.outcome.ledger_wh[:, :, design].mean(axis=0)
    days = simulation.stay_hours / 24.0
    told = [term for term in Term if generator or term not in GENERATOR_TERMS]
    return {term.name.lower(): float(mean_wh[term]) / days for term in told}


def soc_bands(simulation: Simulation, *, rare: bool = False) -> Bands:
    """Percentiles of the observed design's state of charge over the stay, and the worst run.

    `rare` tells also what 99 in 100 runs have. The worst run is the one cut off first; among those
    that last, the one that comes lowest.
    """
    stamps = simulation.stay_hours + 1
    soc = simulation.outcome.soc[:, :stamps, 0]
    within_h = np.minimum(
        simulation.outcome.first_cut_h[:, simulation.observed], simulation.stay_hours
    )
    order = np.lexsort((soc.min(axis=1), within_h))
    p10, p50, p90 = np.percentile(soc, [10, 50, 90], axis=0)
    start = simulation.times[0]
    return Bands(
        times=pd.date_range(start, periods=stamps, freq="h", unit="us"),
        p10=p10,
        p50=p50,
        p90=p90,
        worst=soc[order[0]].copy(),
        p1=np.percentile(soc, 1, axis=0) if rare else None,
    )
