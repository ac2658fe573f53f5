"""Was the promise true: what a battery monitor's log says of load, light and bank."""

from __future__ import annotations

import dataclasses
from typing import Any, ClassVar

import numpy as np
import pandas as pd

from solarsim.answers.calibrate.ahead import FitInput, day_ahead_soc, pieces_of
from solarsim.answers.calibrate.bank import BankFit, fit_bank
from solarsim.answers.calibrate.estimates import (
    Estimate,
    Loads,
    beside_shape,
    capacity_estimate,
    coulombic_estimate,
    load_estimate,
    measured_loads,
    yield_estimate,
    yield_of,
)
from solarsim.answers.calibrate.flow import Fit, fit_flow, flow_of_soc
from solarsim.answers.calibrate.log import BankLog
from solarsim.answers.calibrate.van import calibrated_profile, calibrated_tables
from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import bus_voltage_v, shades_by_count
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.scene import Scene, build_scene
from solarsim.answers.simulation.summary import DaysUnplugged, chance_lasts, days_unplugged
from solarsim.answers.simulation.supply import supply_of
from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.percent import percent
from solarsim.power.design import design_of
from solarsim.records import DrawnAnswer
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.years.series import YearSeries
from solarsim.weather.years.windows import file_span

__all__ = ["CalibrateAnswer", "Promise", "calibrate"]

_CLIMATE_RUNS = 100
_DARK_W = 1.0


@dataclasses.dataclass(frozen=True)
class Promise:
    """The stay's answer: chance of lasting it, and days unplugged."""

    chance_lasts: float
    days: DaysUnplugged


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
    before_soc, after_soc : ndarray
        ``(hours,)`` modelled state of charge, each day from the measured one; NaN in gaps.
    error_before_soc, error_after_soc : float
        Root mean square of model less measurement.
    before, after : Promise
        The stay asked for, with the van as it was and as it is calibrated.
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
    before_soc: FloatArray
    after_soc: FloatArray
    error_before_soc: float
    error_after_soc: float
    before: Promise
    after: Promise
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
    scene, ensemble_w = _light(question, log, series)
    van, place = question.van, question.place
    design = dataclasses.replace(design_of(van), panel_count=1, panel_variant=0)
    reference_w = ensemble_w.mean(axis=0)
    load_before = _mean_row(scene.demand.dc_w + scene.ac_inverter_w + scene.inverter_loss_w)
    local = log.times.tz_convert(place.timezone)
    local_hour = local.hour.to_numpy()
    local_day = pd.factorize(local.date)[0]
    measured = log.has_solar
    exact = series is not None
    soc = np.where(np.isfinite(log.net_a), log.soc, np.nan) if log.has_current else log.soc
    given = FitInput(
        soc=np.where(np.isfinite(log.solar_w), soc, np.nan) if measured else soc,
        light_w=np.nan_to_num(log.solar_w) if measured else reference_w,
        load_shape=_load_shape(local_hour, load_before, by_hour=measured or exact),
        bank_temp_c=_mean_row(scene.bank_temp_c),
        design=design,
        fit_yield=not measured,
    )
    if not pieces_of(given):
        raise InputError("has no stretch of six hours with data and the bank in use", field="log")
    bank = fit_bank(given, log.net_a) if log.has_current and log.has_soc else None
    capacity = capacity_estimate(bank, log, van.bank_capacity_ah)
    capacity_factor = 1.0 if bank is None or capacity.value is None else bank.capacity_factor
    own = dataclasses.replace(design, capacity_ah=design.capacity_ah * capacity_factor)
    given = dataclasses.replace(given, design=own)
    fit = None
    if measured and log.has_current:
        # What the sun gave and the bank did not take, the loads took.
        load = measured_loads(np.maximum(log.solar_w - log.net_w, 0.0), log, local_hour)
    else:
        seen = (given, log.net_w) if log.has_current else flow_of_soc(given)
        fit = fit_flow(*seen, local_day)
        load = _fitted_loads(fit, given, local_hour)
        load = load if measured or exact else beside_shape(load)
    load_after = load.by_hour_w[local_hour]
    yield_factor, yield_error = yield_of(fit, log, ensemble_w, exact=exact)
    light = yield_estimate(yield_factor, yield_error, van.panels.count, measured, exact)
    estimates = (
        load_estimate(load, log, float(load_before[np.isfinite(log.soc)].mean())),
        light,
        capacity,
        coulombic_estimate(log, van.bank_capacity_ah * capacity_factor, design),
    )
    before_24 = np.array([load_before[local_hour == hour].mean() for hour in range(24)])
    on_reference = dataclasses.replace(given, light_w=reference_w, design=design)
    before_soc = day_ahead_soc(on_reference, load_before, yield_factor=1.0)
    after_soc = day_ahead_soc(
        given,
        load_after,
        yield_factor=1.0 if fit is None else fit.yield_factor,
    )
    tables, yield_notes = calibrated_tables(
        van,
        yield_factor=light.value,
        capacity_factor=capacity_factor,
    )
    loads = calibrated_profile(
        question.profile, load.by_hour_w, variation_share=_variation(log, scene, local_hour)
    )
    after = dataclasses.replace(
        question, van=van_from_data(tables, source="calibrated van"), profile=loads.profile
    )
    return CalibrateAnswer(
        question=question,
        log=log,
        light_source=_light_source(measured, series),
        estimates=estimates,
        load_w=load.by_hour_w,
        load_error_w=load.by_hour_error_w,
        load_before_w=before_24,
        before_soc=before_soc,
        after_soc=after_soc,
        error_before_soc=_rms(before_soc - log.soc),
        error_after_soc=_rms(after_soc - log.soc),
        before=_promise(question),
        after=_promise(after),
        van_tables=tables,
        profile_tables=loads.tables,
        notes=(
            *yield_notes,
            *_notes(
                log,
                bank,
                measured=measured,
                exact=exact,
                load_told=estimates[0].value is not None,
            ),
        ),
    )


def _light(question: Question, log: BankLog, series: YearSeries | None) -> tuple[Scene, FloatArray]:
    """The scene of the log's hours, and the whole array's watts in one or in many runs of it."""
    if series is not None:
        weather = file_span(series, log.times)
    else:
        climate = question.climate or load_site_climate(question.place)
        weather = synthesise(
            question.place, climate, log.times, runs=_CLIMATE_RUNS, seed=question.seed
        )
    scene = build_scene(question, log.times, first_run=0, runs=weather.runs, weather=weather)
    design = design_of(question.van)
    shades = shades_by_count(question.van, [design.panel_count])
    supply = supply_of(question, weather, scene.panel, scene.arrays, [design], shades)
    placed = supply.designs[0]
    total_w = placed.panel_count * supply.panel_w[:, :, placed.panel_variant]
    if supply.other_solar_w is not None and supply.other_solar_a is not None:
        total_w = total_w + supply.other_solar_w
        total_w = total_w + supply.other_solar_a * bus_voltage_v(question.van)
    return scene, total_w


def _mean_row(values: FloatArray) -> FloatArray:
    mean: FloatArray = np.asarray(values.mean(axis=0), dtype=np.float64)
    return mean


def _load_shape(hour: np.ndarray, before_w: FloatArray, *, by_hour: bool) -> FloatArray:
    """Every hour of the clock for itself, or the profile's own shape."""
    if by_hour:
        shape: FloatArray = (hour[:, np.newaxis] == np.arange(24)).astype(np.float64)
        return shape
    mean_w = np.array([before_w[hour == one].mean() for one in range(24)])
    scaled: FloatArray = (mean_w / max(float(mean_w.mean()), 1e-9))[hour][:, np.newaxis]
    return scaled


def _fitted_loads(fit: Fit, given: FitInput, hour: np.ndarray) -> Loads:
    first = np.array([int(np.argmax(hour == one)) for one in range(24)])
    shape = given.load_shape[first]
    return Loads(
        shape @ fit.loads_w,
        shape @ fit.loads_error_w,
        fit.load_mean_w,
        fit.load_mean_error_w,
        fit.days,
    )


def _variation(log: BankLog, scene: Scene, hour: np.ndarray) -> float:
    """How much the draw of one night differs from the next one's, as a share."""
    if not log.has_current:
        return 0.0
    dark = np.asarray(scene.panel.poa_w_m2.max(axis=0)) <= _DARK_W
    drawn = pd.Series(np.where(dark, -log.net_a, np.nan))
    # Nights count for the day on which they begin.
    night = (log.times - pd.Timedelta(hours=12)).normalize()
    nightly = drawn.groupby(night).mean().dropna()
    if len(nightly) < 5 or nightly.mean() <= 0.0:
        return 0.0
    return float(min(max(nightly.std() / nightly.mean(), 0.0), 1.0))


def _promise(question: Question) -> Promise:
    simulation = simulate(question, [design_of(question.van)])
    return Promise(chance_lasts(simulation, 0), days_unplugged(simulation, 0))


def _rms(apart: FloatArray) -> float:
    return float(np.sqrt(np.nanmean(apart**2)))


def _light_source(measured: bool, series: YearSeries | None) -> str:
    reference = "the embedded climate" if series is None else series.source
    return f"the log's own solar power, judged by {reference}" if measured else reference


def _notes(
    log: BankLog, bank: BankFit | None, *, measured: bool, exact: bool, load_told: bool
) -> tuple[str, ...]:
    notes = [
        f"The log covers {percent(log.covered_share)} of its {len(log.times) / 24.0:.0f} days.",
        "The base load holds all that the bank gave in that weather, the inverter's own use in it; "
        "in the calibrated van it follows the clock and no longer the weather.",
        "Charging from the alternator or from shore is not distinguished from the sun: leave such "
        "days out of the log.",
    ]
    if not load_told:
        notes.append(
            "The base load is not closely determined by this log; its best fit stands in the "
            "calibrated van and in the days by the log all the same."
        )
    if not measured and not exact:
        notes.append(
            "Without the weather of these dates and without a solar column the load by day cannot "
            "be separated from the sun: the profile's own shape over the day was scaled as a whole."
        )
    if bank is not None and abs(bank.drift_soc_per_h) * 24.0 > 0.005:
        notes.append(
            f"The log's state of charge drifts by {2400.0 * bank.drift_soc_per_h:+.1f} points a "
            "day against the charge that flows; that was taken out."
        )
    return tuple(notes)
