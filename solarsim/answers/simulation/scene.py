"""Everything the dispatch needs, from a question: weather, light, demand and chargers."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.answers.question import Question, check_inverter
from solarsim.answers.simulation.roof_shades import (
    absorption_voltage_v,
    bus_voltage_v,
    lost_places_note,
    shades_by_count,
)
from solarsim.answers.simulation.supply import array_sources
from solarsim.arrays import FloatArray
from solarsim.inputs.calendar import stay_times
from solarsim.inputs.panels import Panels
from solarsim.inputs.van import Van
from solarsim.power.bank_temperature import bank_temperature_c
from solarsim.power.demand import build_demand
from solarsim.power.demand_record import Demand
from solarsim.power.dispatch import Chargers
from solarsim.power.inverter import Pulses, inverter_loss_w, pulses_of
from solarsim.power.sources import chargers_at, generator_offer, plans
from solarsim.records import ArrayRecord
from solarsim.solar.common_voltage import Source
from solarsim.solar.output import PanelOutput, panel_output
from solarsim.weather.record import Weather
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.years.windows import file_windows, stay_month

__all__ = ["Scene", "build_scene", "feed", "one_panel", "question_times"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Scene(ArrayRecord):
    """Weather runs and what follows from them before any bank is looked at.

    Powers in W and temperatures in degrees C are ``(runs or 1, hours)``. Notes come part by part;
    one that depends on the runs stands last in its part.
    """

    weather: Weather
    panel: PanelOutput
    arrays: tuple[Source, ...]
    demand: Demand
    ac_inverter_w: FloatArray
    inverter_loss_w: FloatArray
    pulses: Pulses
    chargers: Chargers
    bank_temp_c: FloatArray
    notes: tuple[tuple[str, ...], ...]


def question_times(question: Question) -> pd.DatetimeIndex:
    """Hours from arrival to the last day that is followed."""
    place = question.place
    return stay_times(
        question.van.stay,
        place.timezone,
        place.utc_offset_h,
        follow_days=question.follow_days,
    )


def build_scene(
    question: Question,
    times: pd.DatetimeIndex,
    *,
    first_run: int,
    runs: int,
    like: tuple[Question, Scene] | None = None,
    weather: Weather | None = None,
) -> Scene:
    """Work out runs ``first_run`` to ``first_run + runs - 1`` of a question.

    Parameters
    ----------
    question : Question
        What is asked.
    times : pandas.DatetimeIndex
        Hours from arrival to the last day that is followed.
    first_run, runs : int
        Which runs.
    like : tuple of Question and Scene, optional
        Another question at the same place and dates, and its scene of the same runs: what the two
        share is taken from there, which changes nothing but the time that it takes.
    weather : Weather, optional
        Runs over `times` to take instead of the question's own.

    Raises
    ------
    InputError
        A datasheet that no panel can have; AC loads without an inverter.
    """
    van = question.van
    check_inverter(van, question.profile)
    if weather is None and like is not None:
        weather = like[1].weather
    elif weather is None:
        weather = _weather(question, times, first_run=first_run, runs=runs)
    if like is not None and _people_of(like[0]) == _people_of(question):
        demand = like[1].demand
    else:
        demand = build_demand(
            question.profile,
            weather,
            seed=question.seed,
            first_run=first_run,
            van=van,
            like=None if like is None else (like[0].profile, like[0].van, like[1].demand),
            counted_hours=24 * van.stay.days,
        )
    if like is not None and _light_of(like[0]) == _light_of(question):
        panel = like[1].panel
    else:
        panel = one_panel(question, weather, like=like)
    if like is not None and _arrays_of(like[0]) == _arrays_of(question):
        arrays = like[1].arrays
    else:
        arrays = array_sources(question, weather, times)
    if like is not None and demand is like[1].demand and _feed_of(like[0]) == _feed_of(question):
        chargers, loss_w, pulses = like[1].chargers, like[1].inverter_loss_w, like[1].pulses
    else:
        chargers, loss_w, pulses = _feed(question, demand, times)
    return Scene(
        weather=weather,
        panel=panel,
        arrays=arrays,
        demand=demand,
        ac_inverter_w=demand.ac_w - chargers.shore_ac_w,
        inverter_loss_w=loss_w,
        pulses=pulses,
        chargers=chargers,
        bank_temp_c=_bank_temp_c(van, demand, weather, like),
        notes=(
            weather.notes,
            panel.notes,
            *(array.output.notes for array in arrays),
            demand.notes,
            _roof_notes(van, like),
        ),
    )


def _roof_notes(van: Van, like: tuple[Question, Scene] | None) -> tuple[str, ...]:
    """Say what of the roof's shade is not counted; on the same roof it is the same."""
    if like is not None and _roof_of(like[0].van) == _roof_of(van):
        return like[1].notes[-1]
    shade = shades_by_count(van, [van.panels.count])[van.panels.count]
    found = (lost_places_note(van), None if shade is None else shade.note)
    return tuple(note for note in found if note is not None)


def _roof_of(van: Van) -> tuple[object, ...]:
    """Everything that the shade of what stands on the roof depends on."""
    return van.roof, van.panels, van.controller, bus_voltage_v(van), van.heading_deg


def _bank_temp_c(
    van: Van, demand: Demand, weather: Weather, like: tuple[Question, Scene] | None
) -> FloatArray:
    """Work out how warm the bank is in the cabin or beneath the van."""
    location = van.battery.location
    if like is not None and demand is like[1].demand and location == like[0].van.battery.location:
        return like[1].bank_temp_c
    found = bank_temperature_c(demand.cabin_temp_c if location == "inside" else weather.temp_air_c)
    # What follows from it is worked out once for all banks.
    found.setflags(write=False)
    return found


def _feed(
    question: Question, demand: Demand, times: pd.DatetimeIndex
) -> tuple[Chargers, FloatArray, Pulses]:
    """Work out the chargers by the van's own plans, and the inverter beside them."""
    van, timezone = question.van, question.place.timezone
    driving, plugged = plans(van.alternator, van.shore, times, timezone)
    return feed(van, demand, times, timezone, driving=driving, plugged=plugged)


def feed(
    van: Van,
    demand: Demand,
    times: pd.DatetimeIndex,
    timezone: str,
    *,
    driving: FloatArray,
    plugged: FloatArray,
) -> tuple[Chargers, FloatArray, Pulses]:
    """Work out the chargers, and the inverter's loss and pulses beside them.

    Parameters
    ----------
    van : Van
        What charges it, and its inverter.
    demand : Demand
        Over the same hours.
    times, timezone
        ``(hours,)`` stamps, and the zone whose clock the generator's hours follow.
    driving, plugged : ndarray
        ``(hours,)`` share of each hour that is driven, and plugged in, 0 to 1.
    """
    chargers = chargers_at(
        van.alternator,
        van.shore,
        demand,
        driving=driving,
        plugged=plugged,
        absorption_v=absorption_voltage_v(van),
    )
    generator = generator_offer(
        van,
        times,
        timezone,
        busy=np.maximum(driving, plugged),
        absorption_v=absorption_voltage_v(van),
    )
    chargers = dataclasses.replace(chargers, generator=generator)
    if van.inverter is None:
        nothing_w = np.zeros((1, len(driving)))
        return chargers, nothing_w, Pulses(nothing_w, nothing_w)
    return (
        chargers,
        inverter_loss_w(van.inverter, demand, plugged),
        pulses_of(van.inverter, demand, plugged),
    )


def one_panel(
    question: Question, weather: Weather, *, like: tuple[Question, Scene] | None = None
) -> PanelOutput:
    """Work out what one panel of the van's own array does as the van is parked.

    `like` is that of `build_scene`: light and snow on a plane like the other's are taken from it.
    """
    van = question.van
    alike = like is not None and _plane_of(like[0]) == _plane_of(question)
    found = panel_output(
        weather,
        _facing(van),
        van.controller,
        bus_voltage_v=bus_voltage_v(van),
        parking=van.stay.parking,
        brush_snow=van.stay.brush_snow,
        horizon=question.horizon,
        plane=like[1].panel.plane if like is not None and alike else None,
    )
    # What follows from it is worked out once for all vans that have it.
    found.power_w.setflags(write=False)
    return found


def _plane_of(question: Question) -> tuple[object, ...]:
    """Everything that light and snow on the own array's plane depend on, but for the weather."""
    stay, panels = question.van.stay, _facing(question.van)
    plane = panels.tilt_deg, panels.azimuth_deg
    return question.horizon, *plane, stay.parking, stay.brush_snow


def _feed_of(question: Question) -> tuple[object, ...]:
    """Everything that chargers and inverter depend on, but for the demand."""
    van = question.van
    return van.alternator, van.shore, van.generator, van.inverter, absorption_voltage_v(van)


def _facing(van: Van) -> Panels:
    """The van's panels with the direction that they face, also where its heading tells it."""
    return van.panels.model_copy(update={"azimuth_deg": van.faces_deg(van.panels)})


def _light_of(question: Question) -> tuple[object, ...]:
    """Everything that the power of one panel depends on, but for the weather."""
    van = question.van
    one_string = {"count": van.panels.series}
    any_rating = {"max_output_a": 1.0}
    return (
        question.horizon,
        _facing(van).model_copy(update=one_string),
        van.controller.model_copy(update=any_rating),
        bus_voltage_v(van),
        van.stay.parking,
        van.stay.brush_snow,
    )


def _people_of(question: Question) -> tuple[object, ...]:
    """Everything that the demand depends on, but for the weather."""
    van = question.van
    return question.profile, van.body, van.converter, van.van.system_voltage_v, van.stay.days


def _arrays_of(question: Question) -> tuple[object, ...]:
    """Everything that the further arrays' power depends on, but for the weather."""
    van = question.van
    facing = [van.faces_deg(array) for array in van.arrays]
    return (*_light_of(question)[2:], *facing, question.horizon, van.arrays)


def _weather(question: Question, times: pd.DatetimeIndex, *, first_run: int, runs: int) -> Weather:
    if question.series is not None:
        # The windows of a file are few: they are taken at once, never in chunks.
        stay = question.van.stay
        return file_windows(
            question.series, times, runs=runs, month=stay_month(stay), around=not question.on_file
        )
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
