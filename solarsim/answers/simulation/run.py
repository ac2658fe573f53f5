"""Run a question's weather through the designs, in chunks of runs."""

from __future__ import annotations

import dataclasses
import itertools
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas as pd

from solarsim.answers.freezing import (
    Freezing,
    find_freezing,
    join_freezing,
    too_cold_share,
)
from solarsim.answers.peaks import Load, Peaks, find_peaks, join_peaks, scheduled_loads
from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.scene import Scene, build_scene, question_times
from solarsim.answers.simulation.supply import supply_of
from solarsim.arrays import BoolArray, FloatArray
from solarsim.power.design import Design
from solarsim.power.dispatch import Outcome, dispatch
from solarsim.records import ArrayRecord
from solarsim.solar.shade.roof_shade import RoofShade
from solarsim.weather.record import Weather

__all__ = ["CHUNK_RUNS", "Conditions", "Progress", "Simulation", "simulate", "simulate_all"]

# Runs at a time: large enough to keep the arrays' loops long, small enough for 60 MB a thread.
CHUNK_RUNS = 175

Progress = Callable[[int, int], None]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Conditions(ArrayRecord):
    """What went into the runs, as means over the stay and the runs.

    Attributes
    ----------
    runs : int
        How many.
    source : str
        Where the weather came from.
    ghi_kwh_m2_day, temp_air_c, bank_temp_c : float
        Light, and the temperatures of the air and of the bank.
    too_cold_share : float
        Share of the hours in which the observed design's bank is too cold to give anything.
    demand_wh_per_day : dict
        Energy of each appliance.
    dc_peak_w, ac_peak_w : float
        Largest running power that the appliances of any hour may add up to, W.
    peaks : Peaks
        What trips under the observed design's running watts, run by run.
    freezing : Freezing
        How near the observed design's bank comes to freezing, run by run.
    loads : tuple of Load
        Appliances that run by the clock.
    night : ndarray
        ``(hours,)`` whether the sun is below the horizon.
    notes : tuple of str
        Caveats of all parts.
    """

    runs: int
    source: str
    ghi_kwh_m2_day: float
    temp_air_c: float
    bank_temp_c: float
    too_cold_share: float
    demand_wh_per_day: dict[str, float]
    dc_peak_w: float
    ac_peak_w: float
    peaks: Peaks
    freezing: Freezing
    loads: tuple[Load, ...]
    night: BoolArray
    notes: tuple[str, ...] = ()


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

    def work(start: tuple[int, int]) -> _Chunk:
        scene = build_scene(question, times, first_run=start[0], runs=start[1], weather=weather)
        outcomes = [_dispatched(question, scene, cases[0][1], observed, shades[0], stay_hours)]
        lowest = [outcomes[0].soc[:, :, 0].min(axis=1)]
        for (other, designs), shade in zip(cases[1:], shades[1:], strict=True):
            changed = build_scene(
                other, times, first_run=start[0], runs=start[1], like=(question, scene)
            )
            outcome = _dispatched(other, changed, designs, observed, shade, stay_hours)
            lowest.append(outcome.soc[:, :, 0].min(axis=1))
            outcomes.append(dataclasses.replace(outcome, soc=outcome.soc[:, :, :0].copy()))
        design, soc = cases[0][1][observed], outcomes[0].soc[:, :, 0]
        peaks = find_peaks(
            loads=loads,
            demand=scene.demand,
            shore_ac_w=scene.chargers.shore_ac_w,
            inverter=question.van.inverter,
            design=design,
            soc=soc,
            bank_temp_c=scene.bank_temp_c,
            first_cut_h=outcomes[0].first_cut_h[:, observed],
        )
        freezing = find_freezing(design, soc, scene.bank_temp_c)
        conditions = _conditions(scene, stay_hours, design, peaks, freezing, loads)
        return _Chunk(outcomes, lowest, conditions, scene.notes)

    starts = _chunk_starts(question) if weather is None else [(0, weather.runs)]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        whole = _whole(starts, pool.map(work, starts), question.runs, progress)
    return [
        Simulation(times, stay_hours, outcome, whole.conditions, lows, observed)
        for outcome, lows in zip(whole.outcomes, whole.lowest, strict=True)
    ]


@dataclasses.dataclass(frozen=True)
class _Chunk:
    """What a chunk of runs gives: an outcome and the lowest states of charge for each case."""

    outcomes: list[Outcome]
    lowest: list[FloatArray]
    conditions: Conditions
    notes: tuple[tuple[str, ...], ...]


def _chunk_starts(question: Question) -> list[tuple[int, int]]:
    """First run and number of runs of each chunk; the windows of a weather file are one."""
    runs = question.runs
    if question.series is not None:
        return [(0, runs)]
    # Chunks of one size, so that no thread waits for another's larger one.
    chunks = -(-runs // CHUNK_RUNS)
    edges = [runs * chunk // chunks for chunk in range(chunks + 1)]
    return [(first, end - first) for first, end in itertools.pairwise(edges)]


def _whole(
    starts: Sequence[tuple[int, int]],
    chunks: Iterable[_Chunk],
    runs: int,
    progress: Progress | None,
) -> _Chunk:
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
        lowest.append(chunk.lowest)
        conditions.append(chunk.conditions)
        notes.append(chunk.notes)
        if progress is not None:
            progress(sum(c.runs for c in conditions), runs)
    mean = dataclasses.replace(_mean_conditions(conditions), notes=_joined_notes(notes))
    lows = [np.concatenate(parts) for parts in zip(*lowest, strict=True)]
    return _Chunk(outcomes, lows, mean, ())


def _dispatched(
    question: Question,
    scene: Scene,
    designs: Sequence[Design],
    observed: int,
    shades: Mapping[int, RoofShade | None],
    stay_hours: int,
) -> Outcome:
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


def _conditions(
    scene: Scene,
    stay_hours: int,
    design: Design,
    peaks: Peaks,
    freezing: Freezing,
    loads: tuple[Load, ...],
) -> Conditions:
    weather, demand = scene.weather, scene.demand
    bank_temp_c = scene.bank_temp_c[:, :stay_hours]
    return Conditions(
        runs=weather.runs,
        source=weather.source,
        ghi_kwh_m2_day=float(weather.ghi_w_m2[:, :stay_hours].mean()) * 24.0 / 1000.0,
        temp_air_c=float(weather.temp_air_c[:, :stay_hours].mean()),
        bank_temp_c=float(bank_temp_c.mean()),
        too_cold_share=too_cold_share(design, bank_temp_c),
        demand_wh_per_day=dict(demand.wh_per_day),
        dc_peak_w=float(demand.dc_peak_w.max()),
        ac_peak_w=float(demand.ac_peak_w.max()),
        peaks=peaks,
        freezing=freezing,
        loads=loads,
        night=weather.zenith_deg[0] > 90.0,
    )


def _mean_conditions(chunks: Sequence[Conditions]) -> Conditions:
    weights = np.array([chunk.runs for chunk in chunks], dtype=np.float64)
    weights /= weights.sum()

    def mean(values: list[float]) -> float:
        return float(np.dot(weights, values))

    first = chunks[0]
    return Conditions(
        runs=sum(chunk.runs for chunk in chunks),
        source=first.source,
        ghi_kwh_m2_day=mean([chunk.ghi_kwh_m2_day for chunk in chunks]),
        temp_air_c=mean([chunk.temp_air_c for chunk in chunks]),
        bank_temp_c=mean([chunk.bank_temp_c for chunk in chunks]),
        too_cold_share=mean([chunk.too_cold_share for chunk in chunks]),
        demand_wh_per_day={
            name: mean([chunk.demand_wh_per_day[name] for chunk in chunks])
            for name in first.demand_wh_per_day
        },
        dc_peak_w=max(chunk.dc_peak_w for chunk in chunks),
        ac_peak_w=max(chunk.ac_peak_w for chunk in chunks),
        peaks=join_peaks([chunk.peaks for chunk in chunks]),
        freezing=join_freezing([chunk.freezing for chunk in chunks]),
        loads=first.loads,
        night=first.night,
    )


def _joined_notes(chunks: Sequence[tuple[tuple[str, ...], ...]]) -> tuple[str, ...]:
    """Each note once, part by part, so that the order does not depend on the chunks."""
    by_part = zip(*chunks, strict=True)
    return tuple(dict.fromkeys(note for parts in by_part for part in parts for note in part))
