"""Everything the dispatch needs of a trip: the stops' hours one after the other.

All stops draw from the same streams by date: the rank of a day's light and warmth, and of the
climate data's error, is the same wherever the van is on it. A dull spell so goes on from stop to
stop as it would at one place.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import lost_places_note, shades_by_count
from solarsim.answers.simulation.scene import Scene, feed, one_panel
from solarsim.answers.simulation.supply import array_sources
from solarsim.answers.trip.fuel import Lived, lived_at_stops
from solarsim.answers.trip.itinerary import Itinerary, Leg
from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.inputs.profile import Profile
from solarsim.power.bank_temperature import bank_temperature_c
from solarsim.power.demand import build_demand
from solarsim.power.demand_record import Demand
from solarsim.records import ArrayRecord
from solarsim.solar.common_voltage import Source
from solarsim.solar.output import PanelOutput
from solarsim.weather.record import Weather
from solarsim.weather.synthesis.runs import synthesise

__all__ = ["Surroundings", "surroundings_of", "trip_scene"]

_OUTPUT_ARRAYS = ("power_w", "absorbed_w_m2", "beam_share", "poa_w_m2", "temp_cell_c")


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Surroundings(ArrayRecord):
    """What runs of a trip meet, however long its drives are and wherever it is plugged in.

    Attributes
    ----------
    weather : Weather
        All stops' hours; its clock is the wall clock of each stop.
    panel, arrays
        One panel of each array, parked as each stop has it.
    road_h : ndarray
        ``(road hours,)`` those hours of the trip that a drive may take.
    road_panel, road_arrays
        The same in those hours, on the road.
    demand : Demand
        Of the people aboard.
    bank_temp_c : ndarray
        ``(runs, hours)``.
    lived : tuple of Lived
        What the fuel of each stop depends on.
    notes : tuple
        By part and then by stop.
    """

    weather: Weather
    panel: PanelOutput
    arrays: tuple[Source, ...]
    road_h: IntArray
    road_panel: PanelOutput
    road_arrays: tuple[Source, ...]
    demand: Demand
    bank_temp_c: FloatArray
    lived: tuple[Lived, ...]
    notes: tuple[tuple[tuple[str, ...], ...], ...]


def surroundings_of(itinerary: Itinerary, *, first_run: int, runs: int) -> Surroundings:
    """Work out runs ``first_run`` to ``first_run + runs - 1`` of a trip.

    Raises
    ------
    InputError
        A datasheet that no panel can have.
    """
    question, legs = itinerary.question, itinerary.legs
    origin = legs[0].times[0].date()
    by_leg = [_weather_at(leg, origin, first_run=first_run, runs=runs) for leg in legs]
    pairs = list(zip(legs, by_leg, strict=True))
    panels = [one_panel(leg.question, weather) for leg, weather in pairs]
    arrays = [array_sources(leg.question, weather, leg.times) for leg, weather in pairs]
    weather = _joined_weather(by_leg, itinerary)
    demand, lived = _demand(itinerary, weather, first_run)
    inside = question.van.battery.location == "inside"
    panel = _joined_output(panels)
    joined = tuple(_joined_source(each) for each in zip(*arrays, strict=True))
    road_h = _road_hours(itinerary)
    road_panel, road_arrays = _on_the_road(question, weather, road_h) or (panel, joined)
    return Surroundings(
        weather=weather,
        panel=panel,
        arrays=joined,
        road_h=road_h,
        road_panel=road_panel,
        road_arrays=road_arrays,
        demand=demand,
        bank_temp_c=bank_temperature_c(demand.cabin_temp_c if inside else weather.temp_air_c),
        lived=lived,
        notes=(
            tuple(one.notes for one in by_leg),
            tuple(one.notes for one in panels),
            *(tuple(each.output.notes for each in one) for one in zip(*arrays, strict=True)),
            (demand.notes,),
            (_roof_notes(question),),
        ),
    )


def trip_scene(itinerary: Itinerary, around: Surroundings) -> Scene:
    """Drive and plug in by an itinerary of the same stops and dates."""
    driving, plugged = itinerary.charging()
    chargers, loss_w, pulses = feed(
        itinerary.question.van,
        around.demand,
        itinerary.wall_times,
        "UTC",
        driving=driving,
        plugged=plugged,
    )
    # Positions, among the hours that may be driven, of those that are.
    driven = np.flatnonzero(itinerary.on_the_road()[around.road_h])
    hours = around.road_h[driven]
    return Scene(
        weather=around.weather,
        panel=_with_hours(around.panel, hours, around.road_panel, driven),
        arrays=tuple(
            dataclasses.replace(
                parked,
                output=_with_hours(parked.output, hours, road.output, driven),
                use_share=_put(parked.use_share, hours, road.use_share[:, driven]),
            )
            for parked, road in zip(around.arrays, around.road_arrays, strict=True)
        ),
        demand=around.demand,
        ac_inverter_w=around.demand.ac_w - chargers.shore_ac_w,
        inverter_loss_w=loss_w,
        pulses=pulses,
        chargers=chargers,
        bank_temp_c=around.bank_temp_c,
        notes=tuple(part for by_leg in around.notes for part in by_leg),
    )


def _weather_at(leg: Leg, origin: dt.date, *, first_run: int, runs: int) -> Weather:
    """A stop's own hours, drawn from the trip's first date on.

    Draws count from the first midnight: begun on one date everywhere, they are one date's draws.
    """
    question = leg.question
    assert question.climate is not None
    midnight = pd.Timestamp(origin, tz=leg.times.tz)
    weather = synthesise(
        question.place,
        question.climate,
        pd.date_range(midnight, leg.times[-1], freq="h", unit="us"),
        runs=runs,
        seed=question.seed,
        first_run=first_run,
        site_uncertainty=question.site_uncertainty,
    )
    return _hours_of(weather, np.arange(weather.hours - leg.hours, weather.hours))


def _demand(
    itinerary: Itinerary, weather: Weather, first_run: int
) -> tuple[Demand, tuple[Lived, ...]]:
    """What the people aboard use; where they change, each hour is that of those aboard then.

    Each crew lives through the whole trip, so that cabin and habits go on from stop to stop.
    """
    question, crews = itinerary.question, itinerary.crews
    counted_h = itinerary.counted_h

    def of(profile: Profile, counted: int | BoolArray) -> Demand:
        return build_demand(
            profile,
            weather,
            seed=question.seed,
            first_run=first_run,
            van=question.van,
            counted_hours=counted,
        )

    if len(crews) == 1:
        alone = of(crews[0][0], counted_h)
        return alone, lived_at_stops(itinerary, [(alone, crews[0][1])], weather.runs)
    in_trip = np.arange(weather.hours) < counted_h
    parts = [(of(profile, theirs & in_trip), theirs) for profile, theirs in crews]
    wh_per_day: dict[str, float] = {}
    for demand, theirs in parts:
        share = float((theirs & in_trip).sum()) / counted_h
        for name, wh in demand.wh_per_day.items():
            wh_per_day[name] = wh_per_day.get(name, 0.0) + share * wh
    whole = parts[0][0]
    for demand, theirs in parts[1:]:
        whole = _with_their_hours(whole, demand, theirs)
    notes = dict.fromkeys(note for demand, _ in parts for note in demand.notes)
    whole = dataclasses.replace(whole, wh_per_day=wh_per_day, notes=tuple(notes), cabin=None)
    return whole, lived_at_stops(itinerary, parts, weather.runs)


def _with_their_hours(whole: Demand, other: Demand, theirs: BoolArray) -> Demand:
    arrays: dict[str, Any] = {
        name: np.where(theirs, getattr(other, name), each)
        for name, each in vars(whole).items()
        if isinstance(each, np.ndarray)
    }
    return dataclasses.replace(whole, **arrays)


def _road_hours(itinerary: Itinerary) -> IntArray:
    """Hours that a drive takes, and the one before each where it might begin earlier."""
    road = itinerary.on_the_road()
    for leg in itinerary.legs[1:]:
        before = np.flatnonzero(~road[: leg.arrives_h])
        road[before[-1]] = True
    return np.flatnonzero(road)


def _on_the_road(
    question: Question, weather: Weather, hours: IntArray
) -> tuple[PanelOutput, tuple[Source, ...]] | None:
    """One panel of each array in hours on the road; None where there are none.

    The sky is open, the van heads anywhere, the wind has taken the snow, and what stands on the
    ground at a stop is stowed.
    """
    if not len(hours):
        return None
    van = question.van
    moving = {"parking": "open field", "horizon": None, "heading_deg": None}
    loose = {"azimuth_deg": None}
    changed = {
        "stay": van.stay.model_copy(update=moving),
        "panels": van.panels.model_copy(update=loose),
        "arrays": tuple(
            array.model_copy(update=loose) if array.kind == "roof" else array
            for array in van.arrays
        ),
    }
    moved = dataclasses.replace(question, van=van.model_copy(update=changed), horizon=None)
    there = _hours_of(weather, hours)
    there = dataclasses.replace(there, snowfall_mm=np.zeros_like(there.snowfall_mm))
    uses = (float(array.kind == "roof") for array in van.arrays)
    sources = array_sources(moved, there, there.times)
    return one_panel(moved, there), tuple(
        dataclasses.replace(source, use_share=np.full_like(source.use_share, use))
        for source, use in zip(sources, uses, strict=True)
    )


def _roof_notes(question: Question) -> tuple[str, ...]:
    van = question.van
    shade = shades_by_count(van, [van.panels.count])[van.panels.count]
    notes = (lost_places_note(van), None if shade is None else shade.note)
    return tuple(note for note in notes if note is not None)


def _hours_of(weather: Weather, hours: IntArray) -> Weather:
    """Chosen hours of runs of weather."""
    arrays = {name: each for name, each in vars(weather).items() if isinstance(each, np.ndarray)}
    chosen: dict[str, Any] = {
        name: np.ascontiguousarray(each[:, hours]) for name, each in arrays.items()
    }
    return dataclasses.replace(weather, times=weather.times[hours], **chosen)


def _joined_weather(by_leg: Sequence[Weather], itinerary: Itinerary) -> Weather:
    first = by_leg[0]
    arrays = [name for name, each in vars(first).items() if isinstance(each, np.ndarray)]
    # What people's clocks show counts for what they do; see `Itinerary.wall_times`.
    on_wall = dataclasses.replace(first.place, timezone="UTC", utc_offset_h=0.0)
    return dataclasses.replace(
        first,
        place=on_wall,
        times=itinerary.wall_times,
        source="; ".join(dict.fromkeys(one.source for one in by_leg)),
        notes=(),
        run_years=(),
        **{name: _joined([getattr(one, name) for one in by_leg]) for name in arrays},
    )


def _joined_output(outputs: Sequence[PanelOutput]) -> PanelOutput:
    arrays: dict[str, Any] = {
        name: _joined([getattr(one, name) for one in outputs]) for name in _OUTPUT_ARRAYS
    }
    return dataclasses.replace(outputs[0], **arrays, notes=())


def _joined_source(sources: Sequence[Source]) -> Source:
    return Source(
        sources[0].panels,
        _joined_output([source.output for source in sources]),
        _joined([source.use_share for source in sources]),
    )


def _joined(arrays: Sequence[FloatArray]) -> FloatArray:
    return arrays[0] if len(arrays) == 1 else np.concatenate(arrays, axis=1)


def _with_hours(
    whole: PanelOutput, hours: IntArray, part: PanelOutput, chosen: IntArray
) -> PanelOutput:
    """Output with some hours taken from another."""
    if not len(hours):
        return whole
    changed: dict[str, Any] = {
        name: _put(getattr(whole, name), hours, getattr(part, name)[:, chosen])
        for name in _OUTPUT_ARRAYS
    }
    return dataclasses.replace(whole, **changed)


def _put(whole: FloatArray, hours: IntArray, values: FloatArray) -> FloatArray:
    changed = whole.copy()
    changed[:, hours] = values
    return changed
