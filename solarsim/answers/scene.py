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
    return stay_times(question.van.stay, place.timezone, place.utc_offset_h)


def build_scene(question: Question, times: pd.DatetimeIndex, *, first_run: int, runs: int) -> Scene:
    """Work out runs ``first_run`` to ``first_run + runs - 1`` of a question.

    Raises
    ------
    InputError
        A datasheet that no panel can have.
    """
    weather = _weather(question, times, first_run=first_run, runs=runs)
    van = question.van
    demand = build_demand(question.profile, weather, seed=question.seed, first_run=first_run)
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
        panel=panel_output(
            weather,
            van.panels,
            van.controller,
            bus_voltage_v=charging_voltage_v(
                load_chemistry(van.battery.chemistry), float(van.van.system_voltage_v)
            ),
            parking=van.stay.parking,
            brush_snow=van.stay.brush_snow,
        ),
        demand=demand,
        ac_inverter_w=demand.ac_w - chargers.shore_ac_w,
        inverter_loss_w=loss_w,
        pulses=pulses,
        chargers=chargers,
        bank_temp_c=bank_temperature_c(demand.cabin_temp_c if inside else weather.temp_air_c),
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
