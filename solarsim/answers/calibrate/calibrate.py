"""Was the promise true: what a battery monitor's log says of load, light and bank."""

from __future__ import annotations

import dataclasses
from typing import Any, ClassVar

import numpy as np
import pandas as pd

from solarsim.answers.calibrate.ahead import day_ahead_soc
from solarsim.answers.calibrate.estimates import (
    Estimate,
    coulombic_estimate,
    load_estimate,
    yield_estimate,
    yield_of,
)
from solarsim.answers.calibrate.log import BankLog
from solarsim.answers.calibrate.measured import Measured, measure
from solarsim.answers.calibrate.notes import log_notes
from solarsim.answers.calibrate.promises import MonthPromise, Promise, month_promises, promise
from solarsim.answers.calibrate.responsive import ResponsiveLoad
from solarsim.answers.calibrate.van import calibrated_profile, calibrated_tables
from solarsim.answers.question import Question
from solarsim.arrays import FloatArray
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.percent import percent
from solarsim.records import DrawnAnswer
from solarsim.weather.years.series import YearSeries

__all__ = ["CalibrateAnswer", "calibrate"]

# Less is noise of the log.
_WORSE_SOC = 0.005


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class CalibrateAnswer(DrawnAnswer):
    """The answer of `calibrate`.

    Attributes
    ----------
    question : Question
        The van as it was, at its place.
    log : BankLog
        What was measured.
    light_source : str
        What the light was taken from: the log, the weather of the dates, or the climate.
    estimates : tuple of Estimate
        Load, yield, capacity and coulombic efficiency.
    load_w, load_error_w : ndarray
        ``(24,)`` base load by hour of the local clock, and one standard error.
    load_before_w : ndarray
        ``(24,)`` what the profile asks for in that weather.
    clock_w : ndarray
        ``(24,)`` what of the load follows the clock; the rest follows the weather.
    responsive : tuple of ResponsiveLoad
        The appliances that follow it, with what the log shows of them.
    before_soc, after_soc : ndarray
        ``(hours,)`` modelled state of charge, each day from the measured one; NaN in gaps.
    error_before_soc, error_after_soc : float
        Root mean square of model less measurement.
    before, after : Promise
        The stay asked for, with the van as it was and as it is calibrated.
    own_months : tuple of MonthPromise
        The same in the log's own months, where the stay's is another.
    van_tables, profile_tables : dict
        The calibrated van's and its loads' TOML tables.
    notes : tuple of str
        Caveats.
    """

    _face: ClassVar[str] = "calibrate"

    question: Question
    log: BankLog
    light_source: str
    estimates: tuple[Estimate, ...]
    load_w: FloatArray
    load_error_w: FloatArray
    load_before_w: FloatArray
    clock_w: FloatArray
    responsive: tuple[ResponsiveLoad, ...]
    before_soc: FloatArray
    after_soc: FloatArray
    error_before_soc: float
    error_after_soc: float
    before: Promise
    after: Promise
    own_months: tuple[MonthPromise, ...]
    van_tables: dict[str, Any]
    profile_tables: dict[str, Any]
    notes: tuple[str, ...]

    def hourly(self) -> pd.DataFrame:
        """Return the state of charge of the log's hours, measured and modelled, 0 to 1."""
        table: pd.DataFrame = self._shown().hourly(self)
        return table


def calibrate(
    question: Question, log: BankLog, series: YearSeries | None = None
) -> CalibrateAnswer:
    """Estimate what the log can tell, and answer the stay before and after.

    The light is the log's own where it has a solar column; else that of `series` on the log's
    dates; else the embedded climate's mean, with its uncertainty.

    Parameters
    ----------
    question : Question
        The van, its profile and place.
    log : BankLog
        From `solarsim.answers.calibrate.log.read_log`.
    series : YearSeries, optional
        Weather of the log's dates.

    Raises
    ------
    InputError
        A log with no stretch of six hours, a weather that does not cover it, or a place without
        any climate.
    """
    seen = measure(question, log, series)
    van, load = question.van, seen.load
    free = dataclasses.replace(seen.log, soc=np.where(seen.other.sun_held, np.nan, seen.log.soc))
    yield_factor, yield_error = yield_of(seen.fit, free, seen.ensemble_w, exact=seen.exact)
    light = yield_estimate(yield_factor, yield_error, van.panels.count, log.has_solar, seen.exact)
    counted = np.isfinite(seen.log.soc)
    estimates = (
        load_estimate(load, log, float(seen.load_before_w[counted].mean())),
        light,
        seen.capacity,
        coulombic_estimate(log, van.bank_capacity_ah * seen.capacity_factor, seen.design),
    )
    before_soc, after_soc = _ahead(seen)
    error_before_soc, error_after_soc = _rms(before_soc - log.soc), _rms(after_soc - log.soc)
    tables, yield_notes = calibrated_tables(
        van, yield_factor=light.value, capacity_factor=seen.capacity_factor
    )
    loads = calibrated_profile(question.profile, seen.follows, variation_share=seen.variation_share)
    after = dataclasses.replace(
        question, van=van_from_data(tables, source="calibrated van"), profile=loads.profile
    )
    return CalibrateAnswer(
        question=question,
        log=log,
        light_source=_light_source(log.has_solar, series),
        estimates=estimates,
        load_w=load.by_hour_w,
        load_error_w=load.by_hour_error_w,
        load_before_w=_by_hour(seen.load_before_w, seen.hour),
        clock_w=seen.follows.clock_w,
        responsive=seen.follows.loads,
        before_soc=before_soc,
        after_soc=after_soc,
        error_before_soc=error_before_soc,
        error_after_soc=error_after_soc,
        before=promise(question),
        after=promise(after),
        own_months=month_promises(question, after, log),
        van_tables=tables,
        profile_tables=loads.tables,
        notes=(
            *_fits_worse(error_before_soc, error_after_soc),
            *yield_notes,
            *log_notes(seen, load_found=estimates[0].value is not None),
        ),
    )


def _fits_worse(before_soc: float, after_soc: float) -> tuple[str, ...]:
    """Warn of a calibration that tells the log's own days worse than the van's file does."""
    if not after_soc > before_soc + _WORSE_SOC:
        return ()
    return (
        "The calibrated van tells the log's own days worse than the file does (state of charge a "
        f"day ahead off by {percent(after_soc, 1)} of the bank, before {percent(before_soc, 1)}): "
        "do not build on it before loads and log are checked.",
    )


def _ahead(seen: Measured) -> tuple[FloatArray, FloatArray]:
    """States of charge a day ahead, by the van's file and by the log."""
    given, other_w = seen.given, seen.other.other_w
    by_file = dataclasses.replace(
        given, light_w=seen.ensemble_w.mean(axis=0) + other_w, design=seen.design
    )
    fitted = 1.0 if seen.fit is None else seen.fit.yield_factor
    by_log = dataclasses.replace(given, light_w=given.light_w + other_w / fitted)
    after_w = seen.follows.clock_w[seen.hour] + seen.follows.weather_w
    return (
        day_ahead_soc(by_file, seen.load_before_w, yield_factor=1.0),
        day_ahead_soc(by_log, after_w, yield_factor=fitted),
    )


def _by_hour(values: FloatArray, hour: np.ndarray) -> FloatArray:
    return np.array([values[hour == one].mean() for one in range(24)])


def _rms(apart: FloatArray) -> float:
    return float(np.sqrt(np.nanmean(apart**2)))


def _light_source(measured: bool, series: YearSeries | None) -> str:
    reference = "the embedded climate" if series is None else series.source
    return f"the log's own solar power, judged by {reference}" if measured else reference
