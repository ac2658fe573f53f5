"""The stay before and after a calibration, in its own month and in those of the log."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.calibrate.log import BankLog
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.summary import DaysUnplugged, chance_lasts, days_unplugged
from solarsim.errors import WeatherFileError
from solarsim.power.design import design_of
from solarsim.weather.years.windows import stay_month

__all__ = ["MonthPromise", "Promise", "month_promises", "promise"]

_LEAST_DAYS = 10
_MOST_MONTHS = 3


@dataclasses.dataclass(frozen=True)
class Promise:
    """The stay's answer: chance of lasting it, and days unplugged."""

    chance_lasts: float
    days: DaysUnplugged


@dataclasses.dataclass(frozen=True)
class MonthPromise:
    """The stay in another month, with the van as it was and as it is calibrated."""

    month: int
    before: Promise
    after: Promise


def promise(question: Question) -> Promise:
    """Answer a stay by its chance and days."""
    simulation = simulate(question, [design_of(question.van)])
    return Promise(chance_lasts(simulation, 0), days_unplugged(simulation, 0))


def month_promises(before: Question, after: Question, log: BankLog) -> tuple[MonthPromise, ...]:
    """Answer the stay in the months of which a log holds ten days or more, at most three.

    The stay's own month is left out; so is one that a weather file does not hold.
    """
    local = log.times.tz_convert(before.place.timezone)[np.isfinite(log.soc)]
    hours = np.bincount(local.month, minlength=13)
    most = np.argsort(-hours, kind="stable")[:_MOST_MONTHS]
    found = []
    for month in sorted(int(one) for one in most if hours[one] >= 24 * _LEAST_DAYS):
        if month == stay_month(before.van.stay):
            continue
        try:
            both = [promise(one.replace(month=month)) for one in (before, after)]
        except WeatherFileError:
            continue
        found.append(MonthPromise(month, *both))
    return tuple(found)
