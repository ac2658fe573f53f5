"""How many days a van lasts off grid, and with what chance."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

import pandas as pd

from solarsim.answers.bank import Recommendation, bank_options, recommend
from solarsim.answers.bank_sizes import FIRST_STRINGS, MAX_STRINGS, candidate_units, refuse_hopeless
from solarsim.answers.cautions import van_warnings
from solarsim.answers.fuel import FuelAnswer, fuel_of
from solarsim.answers.generator import generator_notes, generator_warnings
from solarsim.answers.medical import Medical, medical_of
from solarsim.answers.question import Question
from solarsim.answers.real_years import RealYears, real_years
from solarsim.answers.simulation.run import Progress, Simulation, simulate
from solarsim.answers.simulation.summary import (
    Bands,
    DaysUnplugged,
    Situation,
    StandardErrors,
    chance_lasts,
    days_unplugged,
    ledger_wh_per_day,
    soc_bands,
    standard_errors,
    stay_dates,
)
from solarsim.arrays import BoolArray
from solarsim.inputs.chargers import Alternator, Shore
from solarsim.inputs.percent import percent
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Van
from solarsim.power.design import design_of, usable_wh
from solarsim.power.ledger import Term
from solarsim.power.sources import first_charge_h

__all__ = ["StayAnswer", "late_charge", "ledger_warnings", "stay"]

_CLIPPED_WORTH_SAYING = 0.05
_COLD_WORTH_SAYING = 0.02
_LATE_WORTH_SAYING = 0.1


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class StayAnswer(Situation):
    """The answer of `stay`.

    Attributes
    ----------
    days : DaysUnplugged
        Days from arrival to the first cut-off.
    chance_lasts : float
        Share of runs without a cut-off during the stay.
    standard_errors : StandardErrors
        What the number of runs leaves uncertain in the days and the chance.
    depletion_days : float
        Mean number of days of the stay with any unserved demand.
    ledger_wh_per_day : dict
        Mean energy a day, by ledger term.
    soc : Bands
        State of charge by hour.
    night : ndarray
        ``(stay hours,)`` whether the sun is down.
    usable_wh : float
        Energy between a full bank and its floor, as rated.
    cold_usable_wh : float
        The same at the stay's mean temperature of the bank, `conditions.bank_temp_c`.
    recommended : Recommendation
        The smallest bank that would last with the target chance.
    real_years : RealYears or None
        The same dates in the years that were fetched for the place; None where there are none,
        and for a question on a weather file.
    medical : Medical or None
        Whether the stay is safe for those whose health depends on a device; None where nobody's
        does.
    fuel : FuelAnswer or None
        What is burnt beside the electricity; None where the van does not say on what it runs.
    warnings : tuple of str
        What a builder must know before believing or building this.
    notes : tuple of str
        Defaults that were used and other caveats.
    """

    _face: ClassVar[str] = "stay"

    days: DaysUnplugged
    chance_lasts: float
    standard_errors: StandardErrors
    depletion_days: float
    ledger_wh_per_day: dict[str, float]
    soc: Bands
    night: BoolArray
    usable_wh: float
    cold_usable_wh: float
    recommended: Recommendation
    real_years: RealYears | None
    medical: Medical | None
    fuel: FuelAnswer | None
    warnings: tuple[str, ...]
    notes: tuple[str, ...]

    def hourly(self) -> pd.DataFrame:
        """Return the state of charge at each stamp of the stay, 0 to 1."""
        table: pd.DataFrame = self._shown().hourly(self)
        return table


def stay(
    question: Question, *, prices: Prices | None = None, progress: Progress | None = None
) -> StayAnswer:
    """Answer how long the van lasts, what its energy does, and which bank would hold.

    Parameters
    ----------
    question : Question
        From `solarsim.answers.question.ask`.
    prices : Prices, optional
        What fuel costs.
    progress : callable, optional
        Called with runs done and runs in all.

    Raises
    ------
    InputError
        A load that no bank could carry.
    """
    van = question.van
    units = candidate_units(van, 1, FIRST_STRINGS)
    own = design_of(van)
    designs = [own, *(design_of(van, units=count) for count in units)]
    simulation = simulate(question, designs, observed=0, progress=progress)
    refuse_hopeless(question, simulation)
    options = bank_options(question, simulation, units, first_design=1)
    recommended = recommend(question, options)
    if recommended.units is None:
        more = candidate_units(van, FIRST_STRINGS + 1, MAX_STRINGS)
        larger = simulate(
            question, [design_of(van, units=count) for count in more], progress=progress
        )
        options += bank_options(question, larger, more, first_design=0)
        recommended = recommend(question, options)
    ledger = ledger_wh_per_day(simulation, 0, generator=van.generator is not None)
    days = days_unplugged(simulation, 0)
    return StayAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=simulation.conditions,
        days=days,
        chance_lasts=chance_lasts(simulation, 0),
        standard_errors=standard_errors(simulation, 0),
        depletion_days=float(simulation.outcome.depletion_days[:, 0].mean()),
        ledger_wh_per_day=ledger,
        soc=soc_bands(simulation, rare=bool(question.profile.medical) and days.p1 is not None),
        night=simulation.conditions.night[: simulation.stay_hours],
        usable_wh=usable_wh(own),
        cold_usable_wh=usable_wh(own, simulation.conditions.bank_temp_c),
        recommended=recommended,
        real_years=real_years(question),
        medical=medical_of(question.profile.medical, days, van.stay.days),
        fuel=fuel_of(
            question,
            simulation.conditions.warmth,
            simulation.conditions.demand_wh_per_day,
            charged_wh=simulation.outcome.ledger_wh[:, Term.GENERATOR, 0],
            prices=prices,
        ),
        warnings=(
            *van_warnings(question, simulation),
            *ledger_warnings(van, ledger),
            *generator_warnings(van),
        ),
        notes=(
            *late_charge(simulation, van),
            *generator_notes(van),
            *question.notes,
            *simulation.conditions.notes,
        ),
    )


def ledger_warnings(van: Van, ledger: dict[str, float]) -> tuple[str, ...]:
    """Say where the controller or the cold costs so much of the sun that a builder should know."""
    found = []
    available = ledger["solar_available"]
    if ledger["solar_clipped"] > _CLIPPED_WORTH_SAYING * available:
        found.append(
            f"{_who_clips(van)} clip {ledger['solar_clipped']:.0f} Wh a day of {available:.0f}"
        )
    if ledger["solar_refused_cold"] > _COLD_WORTH_SAYING * available:
        found.append(
            f"the bank is too cold to charge for {ledger['solar_refused_cold']:.0f} Wh a day of "
            f"sun: keep it inside the heated space{_or_self_heating(van)}"
        )
    return tuple(found)


def late_charge(simulation: Simulation, van: Van) -> tuple[str, ...]:
    """Say of a plan's first drive or shore power that many runs are cut off before it."""
    plans: list[tuple[Alternator | Shore, str]] = []
    if van.alternator is not None and van.alternator.rated_a * van.alternator.drive_h > 0.0:
        plans.append((van.alternator, "drive"))
    if van.shore is not None and van.shore.plugged_h > 0.0:
        plans.append((van.shore, "shore power"))
    said = []
    for plan, what in plans:
        first_h = first_charge_h(plan)
        before = float((simulation.outcome.first_cut_h[:, 0] < first_h).mean())
        if before >= _LATE_WORTH_SAYING:
            said.append(
                f"the plan's first {what} comes {first_h / 24.0:.1f} days after arrival: "
                f"{percent(before)} of runs are cut off before it"
            )
    return tuple(said)


def _or_self_heating(van: Van) -> str:
    return ", or choose a self-heating one" if van.battery.chemistry == "lfp" else ""


def _who_clips(van: Van) -> str:
    if any(array.controller is not None for array in van.arrays):
        return "the controllers' output limits"
    return f"the controller's {van.controller.max_output_a:g} A"
