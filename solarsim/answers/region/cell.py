"""One cell in one month: the figures of `stay` that a map shows, without the rest of it."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Sequence

import numpy as np

from solarsim.answers.bank import chosen_bank
from solarsim.answers.bank_sizes import (
    FIRST_STRINGS,
    MAX_STRINGS,
    candidate_units,
    refuse_hopeless_load,
)
from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.run import CHUNK_RUNS
from solarsim.answers.simulation.scene import Scene, build_scene, question_times
from solarsim.answers.simulation.supply import supply_of
from solarsim.arrays import FloatArray
from solarsim.power.design import Design, design_of
from solarsim.power.dispatch import dispatch

__all__ = ["CellFigures", "cell_figures"]

# As many hours at a time as the chunks of other answers have.
_CHUNK_RUN_HOURS = 31 * 24 * CHUNK_RUNS


@dataclasses.dataclass(frozen=True)
class CellFigures:
    """One van in one cell and month.

    Attributes
    ----------
    p10_days, p50_days : float
        Days to the first cut-off that one run in ten, and half of the runs, fall short of.
    chance_lasts : float
        Share of runs without a cut-off during the stay.
    bank_units : int
        Units of the bank that `stay` recommends; 0 where none looked at would hold.
    """

    p10_days: float
    p50_days: float
    chance_lasts: float
    bank_units: int


def cell_figures(questions: Sequence[Question]) -> list[CellFigures]:
    """Answer the questions of several vans at one place and date.

    The figures are those of `solarsim.answers.stay.stay`, to the bit. What they do not need is left
    out: banks are followed through the stay alone, and the van's own past it only where half of
    the runs outlast it, for runs that end earlier tell P10 and P50 whatever the others do.

    Parameters
    ----------
    questions : sequence of Question
        At the same place, dates and seed, with equal runs; one a van.

    Raises
    ------
    InputError
        A load that no bank could carry.
    """
    stay_days = questions[0].van.stay.days
    longest = max(questions[0].follow_days, stay_days)
    parts = list(_scenes(questions, stay_days))
    _refuse_hopeless(questions, parts[0])
    own = [
        _cut_h(question, [scenes[number] for scenes in parts], [design_of(question.van)])[:, 0]
        for number, question in enumerate(questions)
    ]
    lasted = [float((cut_h >= 24 * stay_days).mean()) for cut_h in own]
    units = [
        _bank_units(question, [scenes[number] for scenes in parts])
        for number, question in enumerate(questions)
    ]
    unsettled = [n for n, cut_h in enumerate(own) if not _settled(cut_h, stay_days)]
    if longest > stay_days and unsettled:
        # The stay's scenes make room for the longer ones.
        parts.clear()
        asked = [questions[number] for number in unsettled]
        cuts: list[list[FloatArray]] = [[] for _ in asked]
        for scenes in _scenes(asked, longest):
            for part, question, scene in zip(cuts, asked, scenes, strict=True):
                part.append(_cut_h(question, [scene], [design_of(question.van)])[:, 0])
        for number, part in zip(unsettled, cuts, strict=True):
            own[number] = np.concatenate(part)
    return [
        _figures(cut_h, chance, count)
        for cut_h, chance, count in zip(own, lasted, units, strict=True)
    ]


def _figures(cut_h: FloatArray, chance_lasts: float, bank_units: int) -> CellFigures:
    p10, p50 = np.percentile(cut_h / 24.0, [10, 50])
    return CellFigures(float(p10), float(p50), chance_lasts, bank_units)


def _settled(cut_h: FloatArray, days: int) -> bool:
    """Whether P10 and P50 stay as they are however long the runs at the end go on."""
    last_counted = math.ceil(0.5 * (len(cut_h) - 1))
    return bool(np.partition(cut_h, last_counted)[last_counted] < 24 * days)


def _scenes(questions: Sequence[Question], days: int) -> Iterator[list[Scene]]:
    """Yield the scenes of every van in one chunk of runs after another, over so many days."""
    first = questions[0]
    times = question_times(dataclasses.replace(first, follow_days=days))
    runs = first.runs
    chunks = min(-(-runs * len(times) // _CHUNK_RUN_HOURS), runs)
    for chunk in range(chunks):
        first_run, end = runs * chunk // chunks, runs * (chunk + 1) // chunks
        known: list[tuple[Question, Scene]] = []
        for question in questions:
            like = known[0] if known else None
            scene = build_scene(
                question, times, first_run=first_run, runs=end - first_run, like=like
            )
            known.append((question, scene))
        yield [scene for _, scene in known]


def _cut_h(question: Question, scenes: Sequence[Scene], designs: Sequence[Design]) -> FloatArray:
    """Hours to the first cut-off of each design, ``(runs, designs)``, over chunks of runs."""
    shades = shades_by_count(question.van, {design.panel_count for design in designs})
    found = []
    for scene in scenes:
        supply = supply_of(question, scene.weather, scene.panel, scene.arrays, designs, shades)
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
            ledger_hours=0,
            soc_designs=0,
            soc_hours=0,
        )
        found.append(outcome.first_cut_h)
    return np.concatenate(found)


def _bank_units(question: Question, scenes: Sequence[Scene]) -> int:
    """Units of the bank that `stay` recommends; 0 where no bank holds."""
    van = question.van
    units: list[int] = []
    chances: list[float] = []
    stay_hours = 24 * van.stay.days
    for first, last in ((1, FIRST_STRINGS), (FIRST_STRINGS + 1, MAX_STRINGS)):
        tried = candidate_units(van, first, last)
        cut_h = _cut_h(question, scenes, [design_of(van, units=count) for count in tried])
        units += tried
        chances += (cut_h >= stay_hours).mean(axis=0).tolist()
        chosen = chosen_bank(question, units, chances)
        if chosen is not None:
            return units[chosen]
    return 0


def _refuse_hopeless(questions: Sequence[Question], scenes: Sequence[Scene]) -> None:
    for question, scene in zip(questions, scenes, strict=True):
        demand = scene.demand
        refuse_hopeless_load(
            question,
            day_wh=sum(demand.wh_per_day.values()),
            peak_w=float(demand.dc_peak_w.max()) + float(demand.ac_peak_w.max()),
        )
