"""A log's hours beside the model's: capacity, loads, light, and what else charged the bank."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.answers.calibrate.ahead import FitInput, pieces_of
from solarsim.answers.calibrate.bank import BankFit, fit_bank
from solarsim.answers.calibrate.charging import OtherCharging, other_charging
from solarsim.answers.calibrate.estimates import (
    Estimate,
    Loads,
    beside_shape,
    capacity_estimate,
    measured_loads,
)
from solarsim.answers.calibrate.flow import Fit, fit_flow, flow_of_soc
from solarsim.answers.calibrate.log import BankLog
from solarsim.answers.calibrate.responsive import FollowsWeather, follows_weather
from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import bus_voltage_v, shades_by_count
from solarsim.answers.simulation.scene import Scene, build_scene
from solarsim.answers.simulation.supply import supply_of
from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.errors import InputError
from solarsim.power.design import Design, design_of
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.years.series import YearSeries
from solarsim.weather.years.windows import file_span

__all__ = ["Measured", "measure"]

_CLIMATE_RUNS = 100
_DARK_W = 1.0
# Above this a bank takes less than the sun gives.
_FULL_SOC = 0.97


@dataclasses.dataclass(frozen=True)
class Measured:
    """What a log shows; arrays are ``(hours,)`` unless said otherwise.

    Attributes
    ----------
    log : BankLog
        Without the states of charge of hours in which something unknown charged.
    exact : bool
        Whether the weather is that of the dates.
    ensemble_w : ndarray
        ``(runs, hours)`` what the panels would give at a yield of 1.
    load_before_w : ndarray
        What the profile asks for.
    design : Design
        The bank as the van's file has it.
    given : FitInput
        What is fitted, with the capacity by the log.
    bank : BankFit or None
        Capacity and drift, where there is a current.
    capacity : Estimate
        The bank's.
    capacity_factor : float
        Capacity over that of the van's file.
    fit : Fit or None
        Of load and yield; None where both are measured.
    load : Loads
        By hour of the clock.
    follows : FollowsWeather
        What of it follows the weather.
    other : OtherCharging
        Alternator and shore.
    hour : ndarray of int
        Of the local clock.
    variation_share : float
        How much the draw of one night differs from the next one's.
    """

    log: BankLog
    exact: bool
    ensemble_w: FloatArray
    load_before_w: FloatArray
    design: Design
    given: FitInput
    bank: BankFit | None
    capacity: Estimate
    capacity_factor: float
    fit: Fit | None
    load: Loads
    follows: FollowsWeather
    other: OtherCharging
    hour: IntArray
    variation_share: float


def measure(question: Question, log: BankLog, series: YearSeries | None) -> Measured:
    """Take a log apart; raises as `solarsim.answers.calibrate.calibrate.calibrate` does."""
    scene, ensemble_w = _light(question, log, series)
    dark = np.asarray(scene.panel.poa_w_m2.max(axis=0)) <= _DARK_W
    log = _without_night_sun(log, dark)
    exact = series is not None
    load_before = _mean_row(scene.demand.dc_w + scene.ac_inverter_w + scene.inverter_loss_w)
    local = log.times.tz_convert(question.place.timezone)
    hour, day = local.hour.to_numpy(), pd.factorize(local.date)[0]
    design = dataclasses.replace(design_of(question.van), panel_count=1, panel_variant=0)
    given = _given(log, scene, ensemble_w, load_before, hour, design, exact=exact)
    bank = fit_bank(given, log.net_a) if log.has_current and log.has_soc else None
    capacity = capacity_estimate(bank, log, question.van.bank_capacity_ah)
    factor = 1.0 if bank is None or capacity.value is None else bank.capacity_factor
    own = dataclasses.replace(design, capacity_ah=design.capacity_ah * factor)
    given = dataclasses.replace(given, design=own)
    net_w = log.net_w if log.has_current else flow_of_soc(given)[1]
    other = other_charging(log, net_w, ensemble_w.max(axis=0), dark)
    log = dataclasses.replace(log, soc=np.where(other.left_out, np.nan, log.soc))
    given = dataclasses.replace(given, soc=np.where(other.left_out, np.nan, given.soc))
    if not pieces_of(given):
        raise InputError("has no stretch of six hours with data and the bank in use", field="log")
    fit, load, drawn_w = _loads(given, log, other, hour, day, exact=exact)
    follows = follows_weather(
        question.profile, scene, load, drawn_w, hour=hour, day=day, seed=question.seed
    )
    return Measured(
        log=log,
        exact=exact,
        ensemble_w=ensemble_w,
        load_before_w=load_before,
        design=design,
        given=given,
        bank=bank,
        capacity=capacity,
        capacity_factor=factor,
        fit=fit,
        load=load,
        follows=follows,
        other=other,
        hour=hour,
        variation_share=_variation(log, np.where(dark, drawn_w - follows.weather_w, np.nan)),
    )


def _without_night_sun(log: BankLog, dark: BoolArray) -> BankLog:
    """Take for nothing what a solar column shows without light: its offset and its noise.

    A watt in each hour of the night is a hundredth of a day's harvest in spring, and several where
    a tour leaves few hours of sun to count.
    """
    if not log.has_solar:
        return log
    return dataclasses.replace(
        log, solar_w=np.where(dark & np.isfinite(log.solar_w), 0.0, log.solar_w)
    )


def _given(
    log: BankLog,
    scene: Scene,
    ensemble_w: FloatArray,
    load_before: FloatArray,
    hour: IntArray,
    design: Design,
    *,
    exact: bool,
) -> FitInput:
    measured = log.has_solar
    soc = np.where(np.isfinite(log.net_a), log.soc, np.nan) if log.has_current else log.soc
    given = FitInput(
        soc=np.where(np.isfinite(log.solar_w), soc, np.nan) if measured else soc,
        light_w=np.nan_to_num(log.solar_w) if measured else ensemble_w.mean(axis=0),
        load_shape=_load_shape(hour, load_before, by_hour=measured or exact),
        bank_temp_c=_mean_row(scene.bank_temp_c),
        design=design,
        fit_yield=not measured,
    )
    if not pieces_of(given):
        raise InputError("has no stretch of six hours with data and the bank in use", field="log")
    return given


def _loads(
    given: FitInput,
    log: BankLog,
    other: OtherCharging,
    hour: IntArray,
    day: IntArray,
    *,
    exact: bool,
) -> tuple[Fit | None, Loads, FloatArray]:
    """Loads by the clock, and ``(hours,)`` what they took where that is known."""
    if log.has_solar and log.has_current:
        # What sun and chargers gave and the bank did not take, the loads took.
        drawn_w = np.maximum(log.solar_w + other.other_w - log.net_w, 0.0)
        drawn_w = np.where(other.left_out, np.nan, drawn_w)
        return None, measured_loads(drawn_w, log, hour), drawn_w
    seen, net_w = (given, log.net_w) if log.has_current else flow_of_soc(given)
    held = other.left_out | (other.sun_held & (seen.light_w > 0.0))
    net_w = np.where(held, np.nan, net_w - other.other_w)
    fit = fit_flow(seen, net_w, day)
    load = _fitted_loads(fit, given, hour)
    load = load if log.has_solar or exact else beside_shape(load)
    takes_all = (seen.soc < _FULL_SOC) | (seen.light_w <= 0.0)
    drawn_w = fit.yield_factor * seen.light_w - net_w
    return fit, load, np.where(takes_all & np.isfinite(seen.soc), drawn_w, np.nan)


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


def _variation(log: BankLog, drawn_w: FloatArray) -> float:
    """How much the draw of one night differs from the next one's, as a share."""
    if not log.has_current:
        return 0.0
    # Nights count for the day on which they begin.
    night = (log.times - pd.Timedelta(hours=12)).normalize()
    nightly = pd.Series(drawn_w).groupby(night).mean().dropna()
    if len(nightly) < 5 or nightly.mean() <= 0.0:
        return 0.0
    return float(min(max(nightly.std() / nightly.mean(), 0.0), 1.0))
