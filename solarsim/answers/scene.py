"""Everything the dispatch needs, from a question: weather, light, demand and chargers."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.power.bank_temperature import bank_temperature_c
from solarsim.power.chemistry import charging_voltage_v, load_chemistry
from solarsim.power.demand import build_demand
from solarsim.power.demand_record import Demand
from solarsim.power.dispatch import Chargers
from solarsim.power.inverter import Pulses, inverter_loss_w, pulses_of
from solarsim.power.sources import chargers_of
from solarsim.solar.output import PanelOutput, panel_output
from solarsim.spec.calendar import stay_times
from solarsim.spec.van import Van
from solarsim.weather.record import FloatArray, Weather
from solarsim.weather.synthesis import synthesise
from solarsim.weather.windows import file_windows, stay_month

__all__ = ["Scene", "build_scene", "question_times"]


@dataclasses.dataclass(frozen=True)
class Scene:
    """Weather runs and what follows from them before any bank is looked at.

    Powers in W and temperatures in degrees C are ``(runs or 1, hours)``.
    """

    weather: Weather
    panel: PanelOutput
    demand: Demand
    ac_inverter_w: FloatArray
    inverter_loss_w: FloatArray
    pulses: Pulses
    chargers: Chargers
    bank_temp_c: FloatArray


def question_times(question: Question) -> pd.DatetimeIndex:
    """Hours from arrival to the horizon."""
    place = question.place
    return stay_times(
        question.van.stay,
        place.timezone,
        place.utc_offset_h,
        horizon_days=question.horizon_days,
    )


def build_scene(
    question: Question,
    times: pd.DatetimeIndex,
    *,
    first_run: int,
    runs: int,
    like: tuple[Question, Scene] | None = None,
) -> Scene:
    """Work out runs ``first_run`` to ``first_run + runs - 1`` of a question.

    Parameters
    ----------
    question : Question
        What is asked.
    times : pandas.DatetimeIndex
        Hours from arrival to the horizon.
    first_run, runs : int
        Which runs.
    like : tuple of Question and Scene, optional
        Another question at the same place and dates, and its scene of the same runs: what the two
        share is taken from there, which changes nothing but the time that it takes.

    Raises
    ------
    InputError
        A datasheet that no panel can have.
    """
    van = question.van
    if like is None:
        weather = _weather(question, times, first_run=first_run, runs=runs)
    else:
        weather = like[1].weather
    if like is not None and like[0].profile == question.profile:
        demand = like[1].demand
    else:
        demand = build_demand(question.profile, weather, seed=question.seed, first_run=first_run)
    if like is not None and _light_of(like[0]) == _light_of(question):
        panel = like[1].panel
    else:
        panel = panel_output(
            weather,
            van.panels,
            van.controller,
            bus_voltage_v=_charging_v(van),
            parking=van.stay.parking,
            brush_snow=van.stay.brush_snow,
            horizon=question.horizon,
        )
    chargers, shore_share = chargers_of(
        van.alternator,
        van.shore,
        demand,
        times,
        question.place.timezone,
        system_voltage_v=float(van.van.system_voltage_v),
    )
    if van.inverter is None:
        loss_w = np.zeros((1, len(times)))
        pulses = Pulses(loss_w, loss_w)
    else:
        loss_w = inverter_loss_w(van.inverter, demand, shore_share)
        pulses = pulses_of(van.inverter, demand, shore_share)
    inside = van.battery.location == "inside"
    return Scene(
        weather=weather,
        panel=panel,
        demand=demand,
        ac_inverter_w=demand.ac_w - chargers.shore_ac_w,
        inverter_loss_w=loss_w,
        pulses=pulses,
        chargers=chargers,
        bank_temp_c=bank_temperature_c(demand.cabin_temp_c if inside else weather.temp_air_c),
    )


def _charging_v(van: Van) -> float:
    return charging_voltage_v(
        load_chemistry(van.battery.chemistry), float(van.van.system_voltage_v)
    )


def _light_of(question: Question) -> tuple[object, ...]:
    """Everything that the power of one panel depends on, but for the weather."""
    van = question.van
    one_string = {"count": van.panels.series}
    any_rating = {"max_output_a": 1.0}
    return (
        question.horizon,
        van.panels.model_copy(update=one_string),
        van.controller.model_copy(update=any_rating),
        _charging_v(van),
        van.stay.parking,
        van.stay.brush_snow,
    )


def _weather(question: Question, times: pd.DatetimeIndex, *, first_run: int, runs: int) -> Weather:
    if question.series is not None:
        # The windows of a file are few: they are taken at once, never in chunks.
        return file_windows(question.series, times, runs=runs, month=stay_month(question.van.stay))
    assert question.climate is not None
    return synthesise(
        question.place,
        question.climate,
        times,
        runs=runs,
        seed=question.seed,
        first_run=first_run,
        site_uncertainty=question.site_uncertainty,
    )
