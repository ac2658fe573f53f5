"""The smallest bank that lasts the stay, in units that the builder can buy."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from typing import ClassVar

from solarsim.answers.bank_sizes import FIRST_STRINGS, MAX_STRINGS, candidate_units, refuse_hopeless
from solarsim.answers.by_hand import Autonomy, autonomy
from solarsim.answers.cautions import bank_stops
from solarsim.answers.freezing import too_cold_warnings
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress, Simulation, simulate
from solarsim.answers.simulation.summary import (
    DaysUnplugged,
    Situation,
    chance_lasts,
    days_unplugged,
    ledger_wh_per_day,
    stay_dates,
)
from solarsim.electrical.rules import rule
from solarsim.inputs.chargers import Alternator
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent
from solarsim.inputs.van import Van
from solarsim.packing.fit import fitting_counts
from solarsim.power.design import Design, design_of, usable_wh

__all__ = [
    "BankAnswer",
    "BankOption",
    "Recommendation",
    "bank",
    "bank_doubts",
    "bank_options",
    "chosen_bank",
    "parallel_doubt",
    "recommend",
    "starts_empty",
    "units_text",
]

_ASKED_OF_BANK = ("load_dc", "load_ac", "inverter_loss", "unserved")
# Sun that the cold refuses is named as a cause from this share of the demand on.
_COLD_COUNTS = 0.02
_REMEDY_PANELS = (1.5, 2.0, 3.0)
_REMEDY_DRIVE_H = (1.0, 2.0)


@dataclasses.dataclass(frozen=True)
class BankOption:
    """One bank and how it does.

    Attributes
    ----------
    units : int
        Of which it is made.
    capacity_ah, usable_wh : float
        Rated capacity, and energy above its floor as rated.
    chance_lasts : float
        Share of runs without a cut-off during the stay.
    days : DaysUnplugged
        Days to the first cut-off.
    demand_wh_per_day : float
        What loads and inverter ask of its terminals, Wh.
    refused_cold_wh_per_day : float
        Sun that it was too cold to take, Wh.
    """

    units: int
    capacity_ah: float
    usable_wh: float
    chance_lasts: float
    days: DaysUnplugged
    demand_wh_per_day: float
    refused_cold_wh_per_day: float


@dataclasses.dataclass(frozen=True)
class Recommendation:
    """The smallest bank that meets the target chance; no units where none does."""

    units: int | None
    capacity_ah: float | None
    chance: float
    reason: str


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class BankAnswer(Situation):
    """Banks side by side on the same weather.

    Attributes
    ----------
    options : tuple of BankOption
        Every bank looked at, smallest first.
    recommended : Recommendation
        The smallest that meets the target, or why there is none.
    by_hand : Autonomy
        The same question without any sun, on paper.
    remedies : tuple of str
        Where no bank meets the target: what would.
    """

    _face: ClassVar[str] = "bank"

    options: tuple[BankOption, ...]
    recommended: Recommendation
    by_hand: Autonomy
    remedies: tuple[str, ...]


def bank(question: Question, *, progress: Progress | None = None) -> BankAnswer:
    """Find the smallest bank that lasts the stay with the target chance.

    Parameters
    ----------
    question : Question
        The van's own number of units plays no part.
    progress : callable, optional
        Called with runs done and runs in all.

    Raises
    ------
    InputError
        A load that no bank looked at could carry.
    """
    van = question.van
    units = candidate_units(van, 1, FIRST_STRINGS)
    simulation = simulate(question, _designs(van, units), observed=0, progress=progress)
    refuse_hopeless(question, simulation)
    options = bank_options(question, simulation, units, first_design=0)
    recommended = recommend(question, options)
    if recommended.units is None:
        more = candidate_units(van, FIRST_STRINGS + 1, MAX_STRINGS)
        larger = simulate(question, _designs(van, more), progress=progress)
        options += bank_options(question, larger, more, first_design=0)
        recommended = recommend(question, options)
    of_units = {option.units: option for option in options}
    chosen = options[-1] if recommended.units is None else of_units[recommended.units]
    return BankAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=simulation.conditions,
        options=options,
        recommended=recommended,
        by_hand=autonomy(
            # Of a bank that is cut off the inverter's loss is cut off too.
            load_wh_per_day=chosen.demand_wh_per_day,
            system_voltage_v=float(van.van.system_voltage_v),
            capacity_ah=chosen.capacity_ah,
            chemistry=van.battery.chemistry,
            floor_soc=design_of(van).floor_soc,
            bank_temp_c=simulation.conditions.bank_temp_c,
            days=van.stay.days,
        ),
        remedies=()
        if recommended.units is not None
        else (
            *too_cold_warnings(simulation.conditions.too_cold_share),
            *_remedies(question, progress),
        ),
    )


def bank_options(
    question: Question, simulation: Simulation, units: list[int], *, first_design: int
) -> tuple[BankOption, ...]:
    """Read the banks out of a simulation whose designs from `first_design` on are `units`."""
    options = []
    for index, count in enumerate(units, start=first_design):
        design = design_of(question.van, units=count)
        ledger = ledger_wh_per_day(simulation, index)
        options.append(
            BankOption(
                units=count,
                capacity_ah=design.capacity_ah,
                usable_wh=usable_wh(design),
                chance_lasts=chance_lasts(simulation, index),
                days=days_unplugged(simulation, index),
                demand_wh_per_day=sum(ledger[term] for term in _ASKED_OF_BANK),
                refused_cold_wh_per_day=ledger["solar_refused_cold"],
            )
        )
    return tuple(options)


def recommend(question: Question, options: tuple[BankOption, ...]) -> Recommendation:
    """Pick the smallest bank that meets the target chance and that the check does not stop.

    Where it stops all of them, the smallest that meets the target, and why it may not be built.
    """
    target = question.van.stay.target_chance
    days = question.van.stay.days
    chances = [option.chance_lasts for option in options]
    chosen = chosen_bank(question, [option.units for option in options], chances)
    if chosen is not None:
        first = next(index for index, chance in enumerate(chances) if chance >= target)
        option = options[chosen]
        lasts = chance_text(option.chance_lasts)
        reason = f"lasts {count_text(days, 'day')} in {lasts} of runs (target {percent(target)})"
        if chosen != first:
            stopped = options[first].units
            reason += f"; {units_text(stopped)} would last as well{bank_doubts(question, stopped)}"
        elif first > 0:
            smaller = options[first - 1]
            reason += f"; {units_text(smaller.units)} in {chance_text(smaller.chance_lasts)}"
        reason += bank_doubts(question, option.units)
        return Recommendation(option.units, option.capacity_ah, option.chance_lasts, reason)
    best = options[-1]
    needed = starts_empty(question.van) or _needed(question.van, best)
    reason = (
        f"no bank up to {units_text(best.units)} ({best.capacity_ah:.0f} Ah) lasts "
        f"{count_text(days, 'day')} in {percent(target)} of runs; the largest does in "
        f"{chance_text(best.chance_lasts)}: {needed}"
    )
    return Recommendation(None, None, best.chance_lasts, reason)


def chosen_bank(
    question: Question,
    units: Sequence[int],
    chances: Sequence[float],
    *,
    stopped: Callable[[Question, int], object] = bank_stops,
) -> int | None:
    """Return which bank is recommended, see `recommend`; None where none meets the target.

    `stopped` says whether a bank of so many units may not be built.
    """
    target = question.van.stay.target_chance
    good = [index for index, chance in enumerate(chances) if chance >= target]
    if not good:
        return None
    return next((n for n in good if not stopped(question, units[n])), good[0])


def _needed(van: Van, best: BankOption) -> str:
    """Say what is needed where the largest bank is too small."""
    more = "more panel, driving or shore power, or less load is needed"
    cold_wh = best.refused_cold_wh_per_day
    if cold_wh <= _COLD_COUNTS * best.demand_wh_per_day:
        return more
    warm = "the heated space" if van.battery.location == "outside" else "a warmer place"
    or_heating = " or one that heats itself" if van.battery.chemistry == "lfp" else ""
    return (
        f"it is too cold to take {cold_wh:,.0f} Wh a day of sun: a bank in {warm}{or_heating} "
        f"comes first, then {more}"
    )


def starts_empty(van: Van) -> str:
    """Say that the stay begins with a bank that gives nothing; empty where it gives something."""
    floor_soc, start_soc = design_of(van).floor_soc, van.stay.start_soc
    if start_soc > floor_soc:
        return ""
    return (
        f"it arrives with the bank at {percent(start_soc)}, where it is cut off "
        f"({percent(floor_soc)}), whatever its size: arrive with a charged bank (stay.start_soc)"
    )


def bank_doubts(question: Question, units: int) -> str:
    """Say what speaks against a bank of so many units, whatever its energy; empty if nothing."""
    doubts = []
    if parallel := parallel_doubt(question.van, units):
        doubts.append(parallel)
    if stops := bank_stops(question, units):
        doubts.append(f"the electrical check stops it: {'; '.join(stops)}")
    return "".join(f"; {doubt}" for doubt in doubts)


def parallel_doubt(van: Van, units: int) -> str:
    """Say that a bank of so many units shares its current unevenly; empty where it does not."""
    most = rule("most_parallel").value
    if units / van.units_in_series <= most:
        return ""
    return f"more than {most:g} strings in parallel share their current unevenly: take larger units"


def units_text(units: int) -> str:
    """Return "1 unit", "2 units" and so on."""
    return count_text(units, "unit")


def _designs(van: Van, units: list[int]) -> list[Design]:
    return [design_of(van, units=count) for count in units]


def _remedies(question: Question, progress: Progress | None) -> tuple[str, ...]:
    van, target = question.van, question.van.stay.target_chance
    if starts_empty(van):
        return (_charged_remedy(question, progress),)
    units = candidate_units(van, FIRST_STRINGS, FIRST_STRINGS)[0]
    series = van.panels.series
    counts = sorted({series * round(van.panels.count * f / series) for f in _REMEDY_PANELS})
    if van.roof is not None:
        counts = [count for count in counts if count in fitting_counts(van)]
    designs = [
        dataclasses.replace(
            design_of(van, units=units, panel_count=count),
            # More panels come with the controllers that they need.
            controller_max_a=van.controller.max_output_a * count / max(van.panels.count, 1),
        )
        for count in counts
    ]
    found = []
    simulation = simulate(question, designs, progress=progress) if designs else None
    for index, count in enumerate(counts):
        assert simulation is not None
        chance = chance_lasts(simulation, index)
        if chance >= target:
            found.append(
                f"{count_text(count, 'panel')} instead of {van.panels.count} (with controllers to "
                f"match) and {units_text(units)}: {chance_text(chance)}"
            )
            break
    for drive_h in _REMEDY_DRIVE_H:
        alternator = van.alternator or Alternator(dcdc_a=30.0)
        if alternator.rated_a == 0.0:
            alternator = alternator.model_copy(update={"dcdc_a": 30.0})
        driven = alternator.model_copy(
            update={"drive_h": alternator.drive_h + drive_h, "every_days": 1}
        )
        changed = dataclasses.replace(question, van=van.model_copy(update={"alternator": driven}))
        chance = chance_lasts(
            simulate(changed, [design_of(van, units=units)], progress=progress), 0
        )
        if chance >= target:
            found.append(
                f"{drive_h:g} h more driving a day with a {alternator.dcdc_a:g} A DC-DC charger "
                f"and {units_text(units)}: {chance_text(chance)}"
            )
            break
    if not found:
        tried = (
            count_text(counts[-1], "panel")
            if counts
            else "more panels, which have no room on the roof,"
        )
        found.append(f"less load: neither {tried} nor 2 h of driving a day do it")
    return tuple(found)


def _charged_remedy(question: Question, progress: Progress | None) -> str:
    """The smallest bank that lasts if it is full on arrival."""
    van = question.van
    full = van.model_copy(update={"stay": van.stay.model_copy(update={"start_soc": 1.0})})
    charged = dataclasses.replace(question, van=full)
    units = candidate_units(van, 1, FIRST_STRINGS)
    simulation = simulate(charged, _designs(full, units), progress=progress)
    best = recommend(charged, bank_options(charged, simulation, units, first_design=0))
    if best.units is None:
        return f"arriving with a full bank alone does not do it: {best.reason}"
    return f"arriving with a full bank, of {units_text(best.units)}: {chance_text(best.chance)}"
