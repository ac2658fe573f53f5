"""Diesel and propane for heat, hot water and cooking, beside the electricity."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Literal

import numpy as np

from solarsim.answers.question import Question
from solarsim.arrays import FloatArray
from solarsim.inputs.fuel import BURNT_FOR, BurntFor, FuelKind, Habits
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Van
from solarsim.power.demand_record import Demand
from solarsim.power.fuel import FUEL_UNITS, burnt_per_day
from solarsim.power.sources import generator_socket_wh
from solarsim.records import ArrayRecord

__all__ = [
    "MOST_DAYS",
    "FuelAnswer",
    "FuelUse",
    "Spread",
    "Use",
    "Warmth",
    "burnt_by_use",
    "by_fuel",
    "fuel_answer",
    "fuel_of",
    "joined_warmth",
    "spread_of",
    "warmth_of",
]

Use = BurntFor | Literal["generator"]
# No tank is told to last longer: the stay's weather does not go on for ever.
MOST_DAYS = 365.0


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Warmth(ArrayRecord):
    """What fuel is burnt for depends on, run by run.

    Attributes
    ----------
    heat_wh_per_day : ndarray
        ``(runs,)`` heat of the heaters, mean over the stay's days, Wh.
    cabin_temp_c : ndarray
        ``(runs,)`` temperature inside, mean over the stay.
    """

    heat_wh_per_day: FloatArray
    cabin_temp_c: FloatArray


@dataclasses.dataclass(frozen=True)
class Spread:
    """Percentiles over the runs: nine in ten stay below ``p90``, half below ``p50``."""

    p10: float
    p50: float
    p90: float


@dataclasses.dataclass(frozen=True)
class FuelUse:
    """One fuel over the stay.

    Attributes
    ----------
    kind : str
        ``"diesel"``, ``"propane"`` or ``"petrol"``.
    unit : str
        Of all amounts: ``"L"`` or ``"kg"``.
    per_day, per_stay : Spread
        What is burnt.
    uses_per_day : dict
        Mean of the runs by use.
    aboard : float or None
        What there is, if it was told.
    lasts_days : Spread or None
        How long that lasts at the stay's daily mean, 365 at most; nine stays in ten reach ``p10``.
    cost : Spread or None
        Of the stay, where the prices hold one of the fuel.
    currency : str or None
        Of the cost.
    """

    kind: FuelKind
    unit: str
    per_day: Spread
    per_stay: Spread
    uses_per_day: dict[Use, float]
    aboard: float | None
    lasts_days: Spread | None
    cost: Spread | None
    currency: str | None


@dataclasses.dataclass(frozen=True)
class FuelAnswer:
    """What is burnt beside the electricity.

    Attributes
    ----------
    fuels : tuple of FuelUse
        Diesel before propane, those that something runs on.
    on_electricity : tuple of str
        Uses that the appliances' watts hold.
    not_counted : tuple of str
        Uses of which nobody said what they run on.
    notes : tuple of str
        Defaults that were used.
    """

    fuels: tuple[FuelUse, ...]
    on_electricity: tuple[BurntFor, ...]
    not_counted: tuple[BurntFor, ...]
    notes: tuple[str, ...]


def warmth_of(demand: Demand, runs: int, hours: slice) -> Warmth:
    """Return what fuel depends on over some hours, of runs whose demand is known."""
    assert demand.cabin is not None
    heat_w = demand.cabin.heat_w[hours].mean(axis=0)
    temp_c = demand.cabin.temp_c[hours].mean(axis=0)
    # Runs of one weather share one cabin.
    return Warmth(
        np.broadcast_to(24.0 * heat_w, (runs,)).copy(), np.broadcast_to(temp_c, (runs,)).copy()
    )


def joined_warmth(parts: list[Warmth | None]) -> Warmth | None:
    """Return several chunks of runs as one; None where they have none."""
    told = [part for part in parts if part is not None]
    if not told:
        return None
    return Warmth(
        np.concatenate([part.heat_wh_per_day for part in told]),
        np.concatenate([part.cabin_temp_c for part in told]),
    )


def fuel_of(
    question: Question,
    warmth: Warmth | None,
    demand_wh_per_day: dict[str, float],
    *,
    charged_wh: FloatArray,
    prices: Prices | None = None,
) -> FuelAnswer | None:
    """Return the fuel of a question's stay; None where the van does not say what it burns.

    Parameters
    ----------
    question : Question
        With the van, its people and the stay.
    warmth : Warmth or None
        Of its runs, where the van has a table of fuel.
    demand_wh_per_day : dict
        Energy of each electric appliance.
    charged_wh : ndarray
        ``(runs,)`` what a generator charged over the stay, Wh.
    prices : Prices, optional
        What fuel costs.
    """
    days = question.van.stay.days
    by_use = burnt_by_use(
        question, warmth, demand_wh_per_day, charged_wh=charged_wh, days=float(days)
    )
    return fuel_answer(question, by_use, float(days), prices=prices)


def burnt_by_use(
    question: Question,
    warmth: Warmth | None,
    demand_wh_per_day: Mapping[str, float],
    *,
    charged_wh: FloatArray,
    days: float,
) -> dict[Use, FloatArray]:
    """Return what each use burns a day, ``(runs,)``; the parameters are those of `fuel_of`."""
    fuel, generator = question.van.fuel, question.van.generator
    by_use: dict[Use, FloatArray] = {}
    if fuel is not None and warmth is not None:
        heated = burnt_per_day(
            fuel,
            question.profile,
            heat_wh_per_day=warmth.heat_wh_per_day,
            cabin_temp_c=warmth.cabin_temp_c,
            demand_wh_per_day=demand_wh_per_day,
        )
        by_use = {use: heated[use] for use in fuel.burnt}
    if generator is not None:
        socket_kwh = generator_socket_wh(question.van, charged_wh) / 1000.0
        by_use["generator"] = socket_kwh * generator.burns_per_kwh / days
    return by_use


def by_fuel(van: Van, by_use: Mapping[Use, FloatArray]) -> dict[FuelKind, dict[Use, FloatArray]]:
    """Sort what each use burns by the fuel that it is."""
    burnt = {} if van.fuel is None else van.fuel.burnt
    burns: dict[Use, FuelKind] = {use: burnt[use] for use in burnt}
    if van.generator is not None:
        burns["generator"] = van.generator.fuel
    found = {
        kind: {use: amount for use, amount in by_use.items() if burns[use] == kind}
        for kind in FUEL_UNITS
    }
    return {kind: uses for kind, uses in found.items() if uses}


def fuel_answer(
    question: Question,
    by_use: Mapping[Use, FloatArray],
    days: float,
    *,
    crews: int = 1,
    prices: Prices | None = None,
) -> FuelAnswer | None:
    """Return the fuel of some days from what each use burns a day.

    Parameters
    ----------
    question : Question
        With the van and its people.
    by_use : mapping
        From `burnt_by_use`.
    days : float
        How many.
    crews : int
        How many sets of people are aboard one after the other.
    prices : Prices, optional
        What fuel costs.
    """
    fuel = question.van.fuel
    if fuel is None and question.van.generator is None:
        return None
    fuels = []
    for kind, mine in by_fuel(question.van, by_use).items():
        per_day = np.sum(list(mine.values()), axis=0)
        price = None if prices is None else prices.prices.of_fuel(kind)
        aboard = None if fuel is None else fuel.aboard(kind)
        fuels.append(
            FuelUse(
                kind=kind,
                unit=FUEL_UNITS[kind],
                per_day=spread_of(per_day),
                per_stay=spread_of(per_day * days),
                uses_per_day={use: float(amount.mean()) for use, amount in mine.items()},
                aboard=aboard,
                lasts_days=None if aboard is None else spread_of(_lasts_days(aboard, per_day)),
                cost=None if price is None else spread_of(per_day * days * price),
                currency=None if price is None or prices is None else prices.prices.currency,
            )
        )
    return FuelAnswer(
        fuels=tuple(fuels),
        on_electricity=tuple(use for use in BURNT_FOR if getattr(fuel, use, None) == "electricity"),
        not_counted=tuple(use for use in BURNT_FOR if getattr(fuel, use, None) is None),
        notes=_notes(question, crews),
    )


def spread_of(amounts: FloatArray) -> Spread:
    """Return percentiles over the runs."""
    p10, p50, p90 = np.percentile(amounts, [10, 50, 90])
    return Spread(float(p10), float(p50), float(p90))


def _lasts_days(aboard: float, per_day: FloatArray) -> FloatArray:
    return np.minimum(aboard / np.maximum(per_day, aboard / MOST_DAYS), MOST_DAYS)


def _notes(question: Question, crews: int) -> tuple[str, ...]:
    fuel, profile = question.van.fuel, question.profile
    if fuel is None:
        return ()
    each = f"each of {profile.cabin.people}" if crews == 1 else "each person aboard"
    burnt, habits = fuel.burnt, profile.habits or Habits()
    usual = "usual" if profile.habits is None else "given"
    notes = []
    if "heat" in burnt and profile.cabin.heater_set_point_c is None:
        notes.append("nothing is burnt for heat: the profile has no heater")
    if "hot_water" in burnt:
        notes.append(
            f"hot water ({usual} habits): {habits.hot_water_l_per_day:g} L a day for {each}, "
            f"warmed to {habits.hot_water_c:g} C from a tank as warm as "
            "the cabin"
        )
    if "cooking" in burnt:
        notes.append(
            f"cooking ({usual} habits): {habits.cooking_wh_per_day:g} Wh of heat a day for {each}, "
            f"less what the electric appliances cook"
        )
    said = ", ".join(
        f"{use.replace('_', ' ')} {100.0 * fuel.efficiency(use):.0f} %" for use in burnt
    )
    if said:
        notes.append(f"burnt heat that arrives: {said} of the lower heating value")
    return tuple(notes)
