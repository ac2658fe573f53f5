"""One cell in one month: the figures of `stay` that a map shows, without the rest of it."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from solarsim.answers.bank import chosen_bank
from solarsim.answers.bank_sizes import (
    FIRST_STRINGS,
    MAX_STRINGS,
    candidate_units,
    refuse_hopeless_load,
)
from solarsim.answers.question import Question
from solarsim.answers.region.stopped import StoppedBanks
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.run import CHUNK_RUNS
from solarsim.answers.simulation.scene import Scene, build_scene, question_times
from solarsim.answers.simulation.supply import Supply, supply_of
from solarsim.arrays import FloatArray
from solarsim.power.design import Design, design_of
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.power.inverter import Pulses

__all__ = ["CellFigures", "CellSolver"]

# Most vans are carried by a few units, and by as many as at the cell before or one more; `stay`
# looks at the first and second step in one.
_FEW_STRINGS = 5
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


class CellSolver:
    """Answers cells one after the other, and keeps what they share.

    The figures are those of `solarsim.answers.stay.stay`, to the bit, whatever was answered before.
    What they do not need is left out: banks are followed through the stay alone, and the van's own
    past it only where half of the runs outlast it, for runs that end earlier tell P10 and P50
    whatever the others do.
    """

    def __init__(self) -> None:
        self._stopped = StoppedBanks()
        # Whether the neighbour's runs were followed past the stay, by month: then these will be.
        self._past_stay: dict[int, bool] = {}
        # Strings that the neighbour needed, by month and van.
        self._strings: dict[tuple[int, int], int] = {}

    def figures(self, questions: Sequence[Question], month: int) -> list[CellFigures]:
        """Answer the questions of several vans at one place and date.

        Parameters
        ----------
        questions : sequence of Question
            At the same place, dates and seed, with equal runs; one a van.
        month : int
            What tells these dates from others that are asked of the same places.

        Raises
        ------
        InputError
            A load that no bank could carry.
        """
        stay_days = questions[0].van.stay.days
        longest = max(questions[0].follow_days, stay_days)
        first_days = longest if self._past_stay.get(month) else stay_days
        powers = _powers(questions, first_days)
        own, units = [], []
        for van, question in enumerate(questions):
            cut_h, count = self._answered(
                (month, van), question, powers[van], within=first_days == stay_days
            )
            own.append(cut_h)
            units.append(count)
        lasted = [float((cut_h >= 24 * stay_days).mean()) for cut_h in own]
        past = [n for n, cut_h in enumerate(own) if not _settled(cut_h, stay_days)]
        self._past_stay[month] = bool(past)
        if past and first_days < longest:
            # The stay's arrays make room for the longer ones.
            del powers
            asked = [questions[number] for number in past]
            for number, power in zip(past, _powers(asked, longest), strict=True):
                own[number] = _own_cut_h(questions[number], power)
        return [
            _figures(cut_h, chance, count)
            for cut_h, chance, count in zip(own, lasted, units, strict=True)
        ]

    def _answered(
        self,
        case: tuple[int, int],
        question: Question,
        powers: Sequence[_Power],
        *,
        within: bool,
    ) -> tuple[FloatArray, int]:
        """Hours to the van's own first cut-off, and units of the bank that `stay` recommends.

        `case` is month and van. The units are 0 where no bank holds. Where all is `within` the
        stay, the van itself goes along with the first banks.
        """
        stay_hours = 24 * question.van.stay.days
        stopped = self._stopped.of_van(case[1])
        own = None if within else _own_cut_h(question, powers)
        of_van = design_of(question.van)
        units: list[int] = []
        chances: list[float] = []
        for first, last in _ladder(self._strings.get(case)):
            tried = candidate_units(question.van, first, last)
            designs = [design_of(question.van, units=count) for count in tried]
            if own is None and of_van not in designs:
                designs.append(of_van)
            parts = [_cut_h(question, power, designs, stay_hours) for power in powers]
            cut_h = np.concatenate(parts)
            if own is None:
                own = cut_h[:, designs.index(of_van)]
            units += tried
            chances += (cut_h[:, : len(tried)] >= stay_hours).mean(axis=0).tolist()
            chosen = chosen_bank(question, units, chances, stopped=stopped)
            # Where the check stops all that hold, the others of the same step may still pass.
            if chosen is not None and (
                last >= FIRST_STRINGS or not stopped(question, units[chosen])
            ):
                self._strings[case] = units[chosen] // question.van.units_in_series
                return own, units[chosen]
        assert own is not None
        self._strings.pop(case, None)
        return own, 0


@dataclasses.dataclass(frozen=True)
class _Power:
    """A chunk of runs of one van: its scene, and what its panels hand to the bank."""

    scene: Scene
    supply: Supply


def _own_cut_h(question: Question, powers: Sequence[_Power]) -> FloatArray:
    """Hours to the van's first cut-off, ``(runs,)``; all hours where it comes in none."""
    design = design_of(question.van)
    return np.concatenate([_cut_h(question, power, [design], None)[:, 0] for power in powers])


def _figures(cut_h: FloatArray, chance_lasts: float, bank_units: int) -> CellFigures:
    p10, p50 = np.percentile(cut_h / 24.0, [10, 50])
    return CellFigures(float(p10), float(p50), chance_lasts, bank_units)


def _settled(cut_h: FloatArray, days: int) -> bool:
    """Whether P10 and P50 stay as they are however long the runs at the end go on."""
    last_counted = math.ceil(0.5 * (len(cut_h) - 1))
    return bool(np.partition(cut_h, last_counted)[last_counted] < 24 * days)


def _ladder(likely: int | None) -> list[tuple[int, int]]:
    """First and last number of strings of each step, where so many or one more may do.

    Whatever they are, one ends where `stay` looks further only if nothing holds.
    """
    ends = {_FEW_STRINGS, FIRST_STRINGS, MAX_STRINGS}
    if likely is not None and likely < FIRST_STRINGS:
        ends = {end for end in ends if end > likely + 1} | {likely, likely + 1}
    rising = sorted(ends)
    return [(before + 1, end) for before, end in zip([0, *rising], rising, strict=False)]


def _powers(questions: Sequence[Question], days: int) -> list[list[_Power]]:
    """Work out every van over so many days, in chunks of runs; refuse a hopeless load."""
    first = questions[0]
    times = question_times(dataclasses.replace(first, follow_days=days))
    runs = first.runs
    chunks = min(-(-runs * len(times) // _CHUNK_RUN_HOURS), runs)
    found: list[list[_Power]] = [[] for _ in questions]
    for chunk in range(chunks):
        first_run, end = runs * chunk // chunks, runs * (chunk + 1) // chunks
        like: tuple[Question, Scene] | None = None
        for powers, question in zip(found, questions, strict=True):
            scene = build_scene(
                question, times, first_run=first_run, runs=end - first_run, like=like
            )
            like = like or (question, scene)
            if first_run == 0:
                _refuse_hopeless(question, scene)
            powers.append(_Power(scene, _supply(question, scene)))
    return found


def _supply(question: Question, scene: Scene) -> Supply:
    design = design_of(question.van)
    shades = shades_by_count(question.van, {design.panel_count})
    return supply_of(question, scene.weather, scene.panel, scene.arrays, [design], shades)


def _cut_h(
    question: Question, power: _Power, designs: Sequence[Design], hours: int | None
) -> FloatArray:
    """Hours to the first cut-off of each design, ``(runs, designs)``, within so many hours."""
    scene, supply = power.scene, power.supply
    (placed,) = supply.designs

    def cut(array: FloatArray | None) -> Any:
        return None if array is None else array[:, :hours]

    chargers, pulses = scene.chargers, scene.pulses
    outcome = dispatch(
        panel_w=cut(supply.panel_w),
        dc_w=cut(scene.demand.dc_w),
        ac_w=cut(scene.ac_inverter_w),
        inverter_loss_w=cut(scene.inverter_loss_w),
        pulses=Pulses(cut(pulses.power_w), cut(pulses.share)),
        chargers=Chargers(
            cut(chargers.alternator_a),
            cut(chargers.shore_a),
            cut(chargers.shore_ac_w),
            cut(chargers.shore_w),
            chargers.generator and chargers.generator.first_hours(hours),
            None if chargers.shore_rated_a is None else chargers.shore_rated_a[:hours],
        ),
        bank_temp_c=cut(scene.bank_temp_c),
        other_solar_w=cut(supply.other_solar_w),
        other_solar_a=cut(supply.other_solar_a),
        other_clipped_w=cut(supply.other_clipped_w),
        # Banks of any size stand under the van's own panels.
        designs=[
            dataclasses.replace(
                design, panel_count=placed.panel_count, panel_variant=placed.panel_variant
            )
            for design in designs
        ],
        start_soc=question.van.stay.start_soc,
        ledger_hours=0,
        soc_designs=0,
        soc_hours=0,
    )
    return outcome.first_cut_h


def _refuse_hopeless(question: Question, scene: Scene) -> None:
    demand = scene.demand
    refuse_hopeless_load(
        question,
        day_wh=sum(demand.wh_per_day.values()),
        peak_w=float(demand.dc_peak_w.max()) + float(demand.ac_peak_w.max()),
    )
