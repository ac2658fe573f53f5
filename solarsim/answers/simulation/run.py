"""Run a question's weather through the designs, in chunks of runs."""

from __future__ import annotations

import contextvars
import dataclasses
import itertools
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas as pd

from solarsim.answers.peaks import scheduled_loads
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import (
    Conditions,
    mean_conditions,
    observed_conditions,
)
from solarsim.answers.simulation.kept import scene_of
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.scene import Scene, build_scene, question_times
from solarsim.answers.simulation.supply import supply_of
from solarsim.arrays import FloatArray
from solarsim.power.design import Design
from solarsim.power.dispatch import Outcome, dispatch
from solarsim.records import ArrayRecord
from solarsim.solar.shade.roof_shade import RoofShade
from solarsim.weather.record import Weather

__all__ = [
    "CHUNK_RUNS",
    "Chunk",
    "Progress",
    "Simulation",
    "chunk_starts",
    "dispatched",
    "joined_chunks",
    "simulate",
    "simulate_all",
]

# Runs at a time: large enough to keep the arrays' loops long, small enough for 60 MB a thread.
CHUNK_RUNS = 175

Progress = Callable[[int, int], None]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Simulation(ArrayRecord):
    """Outcomes of all runs.

    Attributes
    ----------
    times : pandas.DatetimeIndex
        ``(hours,)`` from arrival to the last day that is followed.
    stay_hours : int
        Hours of the stay; the rest of `times` is there to see how long the bank lasts.
    outcome : Outcome
        Of every run and design; the state of charge is kept for the observed design only, up to
        the stay's end.
    conditions : Conditions
        What went in.
    lowest_soc : ndarray
        ``(runs,)`` lowest state of charge of the observed design within the stay, 0 to 1.
    observed : int
        Which design was observed.
    """

    times: pd.DatetimeIndex
    stay_hours: int
    outcome: Outcome
    conditions: Conditions
    lowest_soc: FloatArray
    observed: int = 0


def simulate(
    question: Question,
    designs: Sequence[Design],
    *,
    observed: int = 0,
    progress: Progress | None = None,
    weather: Weather | None = None,
) -> Simulation:
    """Dispatch every design on the same runs of weather and demand.

    The answer does not depend on the number of threads or on the chunks: each run draws from
    streams of its own.

    Parameters
    ----------
    question : Question
        What is asked.
    designs : sequence of Design
        Candidates.
    observed : int
        Which of them is observed: its hourly state of charge is kept, and what trips is told of it.
    progress : callable, optional
        Called with runs done and runs in all.
    weather : Weather, optional
        Runs over the question's hours to take instead of its own.
    """
    return simulate_all(
        [(question, designs)], observed=observed, progress=progress, weather=weather
    )[0]


def simulate_all(
    cases: Sequence[tuple[Question, Sequence[Design]]],
    *,
    observed: int = 0,
    progress: Progress | None = None,
    weather: Weather | None = None,
) -> list[Simulation]:
    """Dispatch several questions at one place and date on the same runs of weather.

    What the cases share (weather always, demand and light where they are alike) is worked out once.

    Parameters
    ----------
    cases : sequence of (Question, sequence of Design)
        Questions that differ in the van, its people or its parking. All take the first one's
        weather.
    observed : int
        Which of its designs each case observes.
    progress : callable, optional
        Called with runs done and runs in all.
    weather : Weather, optional
        Runs over the questions' hours to take instead of the first one's own.

    Returns
    -------
    list of Simulation
        One a case. State of charge and conditions are the first case's; the others hold none and
        the first's.

    Raises
    ------
    ValueError
        Cases of different places or dates.
    """
    question = cases[0][0]
    times = question_times(question)
    stay_hours = question.van.stay.days * 24
    for other, _ in cases[1:]:
        if other.place != question.place or not question_times(other).equals(times):
            raise ValueError("cases must share their place and dates")
    loads = scheduled_loads(
        question.profile, question.van.inverter, times[:stay_hours], question.place.timezone
    )
    # Ahead of the threads, which would each work them out.
    shades = [
        shades_by_count(other.van, {design.panel_count for design in designs})
        for other, designs in cases
    ]

    def work(start: tuple[int, int]) -> Chunk:
        if weather is None:
            scene = scene_of(question, times, first_run=start[0], runs=start[1])
        else:
            scene = build_scene(question, times, first_run=start[0], runs=start[1], weather=weather)
        outcomes = [dispatched(question, scene, cases[0][1], observed, shades[0], stay_hours)]
        lowest = [outcomes[0].soc[:, :, 0].min(axis=1)]
        for (other, designs), shade in zip(cases[1:], shades[1:], strict=True):
            changed = build_scene(
                other, times, first_run=start[0], runs=start[1], like=(question, scene)
            )
            outcome = dispatched(other, changed, designs, observed, shade, stay_hours)
            lowest.append(outcome.soc[:, :, 0].min(axis=1))
            outcomes.append(dataclasses.replace(outcome, soc=outcome.soc[:, :, :0].copy()))
        conditions = observed_conditions(
            question, scene, cases[0][1], observed, outcomes[0], loads, stay_hours
        )
        return Chunk(outcomes, lowest, conditions, scene.notes)

    starts = chunk_starts(question) if weather is None else [(0, weather.runs)]
    # What the caller keeps is kept in the threads as well.
    contexts = [contextvars.copy_context() for _ in starts]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        chunks = pool.map(lambda context, start: context.run(work, start), contexts, starts)
        whole = joined_chunks(starts, chunks, question.runs, progress)
    return [
        Simulation(times, stay_hours, outcome, whole.conditions, lows, observed)
        for outcome, lows in zip(whole.outcomes, whole.lowest_soc, strict=True)
    ]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Chunk(ArrayRecord):
    """What a chunk of runs gives: an outcome and the lowest states of charge for each case."""

    outcomes: list[Outcome]
    lowest_soc: list[FloatArray]
    conditions: Conditions
    notes: tuple[tuple[str, ...], ...]


def chunk_starts(question: Question) -> list[tuple[int, int]]:
    """First run and number of runs of each chunk; the windows of a weather file are one."""
    runs = question.runs
    if question.series is not None:
        return [(0, runs)]
    # Chunks of one size, so that no thread waits for another's larger one.
    chunks = -(-runs // CHUNK_RUNS)
    edges = [runs * chunk // chunks for chunk in range(chunks + 1)]
    return [(first, end - first) for first, end in itertools.pairwise(edges)]


def joined_chunks(
    starts: Sequence[tuple[int, int]],
    chunks: Iterable[Chunk],
    runs: int,
    progress: Progress | None,
) -> Chunk:
    """All runs as one chunk; each is copied as it comes, so that none outlives the copying."""
    outcomes: list[Outcome] = []
    lowest: list[list[FloatArray]] = []
    conditions: list[Conditions] = []
    notes: list[tuple[tuple[str, ...], ...]] = []
    for (first, _), chunk in zip(starts, chunks, strict=True):
        if len(starts) == 1:
            outcomes = chunk.outcomes
        else:
            outcomes = outcomes or [_room_for(runs, one) for one in chunk.outcomes]
            for whole, part in zip(outcomes, chunk.outcomes, strict=True):
                _put(part, first, whole)
        lowest.append(chunk.lowest_soc)
        conditions.append(chunk.conditions)
        notes.append(chunk.notes)
        if progress is not None:
            progress(sum(c.runs for c in conditions), runs)
    mean = dataclasses.replace(mean_conditions(conditions), notes=_joined_notes(notes))
    lows = [np.concatenate(parts) for parts in zip(*lowest, strict=True)]
    return Chunk(outcomes, lows, mean, ())


def dispatched(
    question: Question,
    scene: Scene,
    designs: Sequence[Design],
    observed: int,
    shades: Mapping[int, RoofShade | None],
    stay_hours: int,
) -> Outcome:
    """Dispatch designs through a scene; the ledger counts the first `stay_hours` hours."""
    # The dispatch keeps the state of charge of those that come first.
    order = [observed, *(index for index in range(len(designs)) if index != observed)]
    in_order = [designs[index] for index in order]
    supply = supply_of(question, scene.weather, scene.panel, scene.arrays, in_order, shades)
    outcome = dispatch(
        panel_w=supply.panel_w,
        dc_w=scene.demand.dc_w,
        ac_w=scene.ac_inverter_w,
        inverter_loss_w=scene.inverter_loss_w,
        pulses=scene.pulses,
        chargers=scene.chargers,
        bank_temp_c=scene.bank_temp_c,
        other_solar_w=supply.other_solar_w,
        other_solar_a=supply.other_solar_a,
        other_clipped_w=supply.other_clipped_w,
        designs=supply.designs,
        start_soc=question.van.stay.start_soc,
        ledger_hours=stay_hours,
        soc_designs=1,
        soc_hours=stay_hours,
    )
    if observed == 0:
        return outcome
    as_given = np.argsort(order)
    return Outcome(
        outcome.ledger_wh[:, :, as_given],
        outcome.first_cut_h[:, as_given],
        outcome.depletion_days[:, as_given],
        outcome.soc,
    )


def _room_for(runs: int, like: Outcome) -> Outcome:
    return Outcome(*(np.empty((runs, *array.shape[1:])) for array in vars(like).values()))


def _put(part: Outcome, first_run: int, whole: Outcome) -> None:
    for room, array in zip(vars(whole).values(), vars(part).values(), strict=True):
        room[first_run : first_run + len(array)] = array


def _joined_notes(chunks: Sequence[tuple[tuple[str, ...], ...]]) -> tuple[str, ...]:
    """Each note once, part by part, so that the order does not depend on the chunks."""
    by_part = zip(*chunks, strict=True)
    return tuple(dict.fromkeys(note for parts in by_part for part in parts for note in part))
