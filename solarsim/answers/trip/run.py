"""Run a trip's weather through the bank: as it is, up to the end of each stop, and changed."""

from __future__ import annotations

import dataclasses
import itertools
import os
from collections.abc import Collection, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from solarsim.answers.peaks import scheduled_loads
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import observed_conditions
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.run import (
    Chunk,
    Progress,
    Simulation,
    chunk_starts,
    dispatched,
    joined_chunks,
)
from solarsim.answers.simulation.scene import Scene
from solarsim.answers.trip.fuel import Lived, joined_lived
from solarsim.answers.trip.itinerary import Itinerary
from solarsim.answers.trip.scene import Surroundings, surroundings_of, trip_scene
from solarsim.arrays import FloatArray
from solarsim.power.design import design_of
from solarsim.power.dispatch import Outcome
from solarsim.records import ArrayRecord
from solarsim.solar.shade.roof_shade import RoofShade

__all__ = ["Case", "StopMeans", "TripSimulation", "simulate_trip", "stops_text"]

# Of one part of the answer, by stop.
Notes = tuple[tuple[str, ...], ...]


@dataclasses.dataclass(frozen=True)
class Case:
    """A van on an itinerary of the trip's own stops and dates."""

    question: Question
    itinerary: Itinerary


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class StopMeans(ArrayRecord):
    """Means over the runs and the counted hours of each stop, arrays of shape ``(stops,)``.

    ``ghi_kwh_m2_day`` light, ``temp_air_c`` air, ``demand_wh_per_day`` what the people ask for.
    """

    ghi_kwh_m2_day: FloatArray
    temp_air_c: FloatArray
    demand_wh_per_day: FloatArray


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class TripSimulation(ArrayRecord):
    """Outcomes of all runs.

    Attributes
    ----------
    base : Simulation
        The trip as it is.
    changed : tuple of Simulation
        Each further case.
    ledger_wh : ndarray
        ``(runs, terms, stops)`` energy at each stop.
    lost_days : ndarray
        ``(runs, stops)`` days with any unserved demand; a day that two stops share is the first's.
    means : StopMeans
        Weather and demand.
    lived : tuple of Lived
        What the fuel of each stop depends on.
    """

    base: Simulation
    changed: tuple[Simulation, ...]
    ledger_wh: FloatArray
    lost_days: FloatArray
    means: StopMeans
    lived: tuple[Lived, ...]


def simulate_trip(
    itinerary: Itinerary, cases: Sequence[Case] = (), *, progress: Progress | None = None
) -> TripSimulation:
    """Run the trip, and every case on the same weather.

    Parameters
    ----------
    itinerary : Itinerary
        The trip as it is.
    cases : sequence of Case
        Changes to drives, nights plugged in, panels or bank; weather, stops, dates and people are
        the trip's own.
    progress : callable, optional
        Called with runs done and runs in all.
    """
    question = itinerary.question
    as_is = Case(question, itinerary)
    # What may run at once is told of the fullest van.
    fullest = max((profile for profile, _ in itinerary.crews), key=lambda one: one.cabin.people)
    loads = scheduled_loads(
        fullest,
        question.van.inverter,
        itinerary.wall_times[: itinerary.counted_h],
        "UTC",
    )
    # Ahead of the threads, which would each work them out.
    shades = [_shades(case) for case in (as_is, *cases)]
    told: dict[int, tuple[FloatArray, tuple[Notes, ...], tuple[Lived, ...]]] = {}

    def work(start: tuple[int, int]) -> Chunk:
        around = surroundings_of(itinerary, first_run=start[0], runs=start[1])
        scene = trip_scene(itinerary, around)
        whole = _outcome(as_is, scene, shades[0], itinerary.counted_h)
        outcomes = [whole]
        outcomes += [
            _without_soc(_outcome(as_is, scene, shades[0], end_h))
            for end_h in itinerary.ends_h[:-1]
        ]
        lowest = [whole.soc[:, :, 0].min(axis=1)] * len(outcomes)
        for case, shade in zip(cases, shades[1:], strict=True):
            moved = case.itinerary is not itinerary
            changed = trip_scene(case.itinerary, around) if moved else scene
            outcome = _outcome(case, changed, shade, itinerary.counted_h)
            outcomes.append(_without_soc(outcome))
            lowest.append(outcome.soc[:, :, 0].min(axis=1))
        conditions = observed_conditions(
            question, scene, [design_of(question.van)], 0, whole, loads, itinerary.counted_h
        )
        told[start[0]] = start[1] * _stop_means(itinerary, around), around.notes, around.lived
        return Chunk(outcomes, lowest, conditions, scene.notes)

    starts = chunk_starts(question)
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        joined = joined_chunks(starts, pool.map(work, starts), question.runs, progress)
    stops = len(itinerary.legs)
    means, notes, lived = zip(*(told[first] for first, _ in starts), strict=True)
    conditions = dataclasses.replace(joined.conditions, notes=_labelled(notes))
    times = itinerary.elapsed_times
    simulations = [
        Simulation(times, itinerary.counted_h, outcome, conditions, lowest)
        for outcome, lowest in zip(joined.outcomes, joined.lowest_soc, strict=True)
    ]
    ledger_wh, lost_days = _by_stop([*joined.outcomes[1:stops], joined.outcomes[0]])
    return TripSimulation(
        base=simulations[0],
        changed=tuple(simulations[stops:]),
        ledger_wh=ledger_wh,
        lost_days=lost_days,
        means=StopMeans(*(np.sum(means, axis=0) / question.runs)),
        lived=joined_lived(lived),
    )


def _shades(case: Case) -> Mapping[int, RoofShade | None]:
    van = case.question.van
    return shades_by_count(van, {van.panels.count})


def _outcome(
    case: Case, scene: Scene, shades: Mapping[int, RoofShade | None], counted_h: int
) -> Outcome:
    return dispatched(case.question, scene, [design_of(case.question.van)], 0, shades, counted_h)


def _without_soc(outcome: Outcome) -> Outcome:
    return dataclasses.replace(outcome, soc=outcome.soc[:, :, :0].copy())


def _stop_means(itinerary: Itinerary, around: Surroundings) -> FloatArray:
    """Light, air and demand of each stop's counted hours, ``(3, stops)``."""
    weather, demand = around.weather, around.demand
    rows = []
    for leg, end_h in zip(itinerary.legs, itinerary.ends_h, strict=True):
        hours = slice(leg.begins_h, end_h)
        rows.append(
            (
                weather.ghi_w_m2[:, hours].mean() * 24.0 / 1000.0,
                weather.temp_air_c[:, hours].mean(),
                (demand.dc_w[:, hours].mean() + demand.ac_w[:, hours].mean()) * 24.0,
            )
        )
    return np.array(rows).T


def _by_stop(up_to: Sequence[Outcome]) -> tuple[FloatArray, FloatArray]:
    """Each stop's own part of outcomes that count up to the end of each stop."""
    ledger_wh = np.stack([one.ledger_wh[:, :, 0] for one in up_to], axis=-1)
    days = np.stack([one.depletion_days[:, 0] for one in up_to], axis=-1)
    return np.diff(ledger_wh, axis=-1, prepend=0.0), np.diff(days, axis=-1, prepend=0.0)


def _labelled(chunks: Sequence[tuple[Notes, ...]]) -> tuple[str, ...]:
    """Each note once; one that does not hold at all stops names those at which it does.

    The order does not depend on the chunks: they come last within part and stop.
    """
    found: dict[str, None] = {}
    for of_part in zip(*chunks, strict=True):
        stops: dict[str, set[int]] = {}
        for number, of_stop in enumerate(zip(*of_part, strict=True), 1):
            for note in itertools.chain.from_iterable(of_stop):
                stops.setdefault(note, set()).add(number)
        everywhere = len(of_part[0])
        for note, where in stops.items():
            found[note if len(where) == everywhere else f"{stops_text(where)}: {note}"] = None
    return tuple(found)


def stops_text(numbers: Collection[int]) -> str:
    """Return stops by their numbers, as in "stops 1, 3 to 5".

    Examples
    --------
    >>> stops_text([2]), stops_text([1, 3, 4, 5]), stops_text([1, 2])
    ('stop 2', 'stops 1, 3 to 5', 'stops 1, 2')
    """
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][-1] + 1:
            spans[-1].append(number)
        else:
            spans.append([number])
    texts = [
        f"{span[0]} to {span[-1]}" if len(span) > 2 else ", ".join(map(str, span)) for span in spans
    ]
    return f"stop{'s' if len(numbers) > 1 else ''} {', '.join(texts)}"
