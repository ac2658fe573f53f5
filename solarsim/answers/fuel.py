"""Diesel and propane for heat, hot water and cooking, beside the electricity."""

from __future__ import annotations

import dataclasses
from typing import Literal

import numpy as np

from solarsim.answers.question import Question
from solarsim.arrays import FloatArray
from solarsim.inputs.fuel import BURNT_FOR, BurntFor, FuelKind, Habits
from solarsim.inputs.prices import Prices
from solarsim.power.demand_record import Demand
from solarsim.power.fuel import FUEL_UNITS, burnt_per_day
from solarsim.power.sources import generator_socket_wh
from solarsim.records import ArrayRecord

__all__ = [
    "MOST_DAYS",
    "FuelAnswer",
    "FuelUse",
    "Spread",
    "Warmth",
    "fuel_of",
    "joined_warmth",
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


def warmth_of(demand: Demand, runs: int, stay_hours: int) -> Warmth:
    """Return what fuel depends on, of runs whose demand is known."""
    assert demand.cabin is not None
    heat_w = demand.cabin.heat_w[:stay_hours].mean(axis=0)
    temp_c = demand.cabin.temp_c[:stay_hours].mean(axis=0)
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
    fuel, generator, days = question.van.fuel, question.van.generator, question.van.stay.days
    if fuel is None and generator is None:
        return None
    by_use: dict[Use, FloatArray] = {}
    burns: dict[Use, FuelKind] = {}
    if fuel is not None and warmth is not None:
        heated = burnt_per_day(
            fuel,
            question.profile,
            heat_wh_per_day=warmth.heat_wh_per_day,
            cabin_temp_c=warmth.cabin_temp_c,
            demand_wh_per_day=demand_wh_per_day,
        )
        for use, kind in fuel.burnt.items():
            burns[use], by_use[use] = kind, heated[use]
    if generator is not None:
        burns["generator"] = generator.fuel
        socket_kwh = generator_socket_wh(question.van, charged_wh) / 1000.0
        by_use["generator"] = socket_kwh * generator.burns_per_kwh / days
    fuels = []
    for kind, unit in FUEL_UNITS.items():
        mine = {use: by_use[use] for use, burnt in burns.items() if burnt == kind}
        if not mine:
            continue
        per_day = np.sum(list(mine.values()), axis=0)
        price = None if prices is None else prices.prices.of_fuel(kind)
        aboard = None if fuel is None else fuel.aboard(kind)
        fuels.append(
            FuelUse(
                kind=kind,
                unit=unit,
                per_day=_spread(per_day),
                per_stay=_spread(per_day * days),
                uses_per_day={use: float(amount.mean()) for use, amount in mine.items()},
                aboard=aboard,
                lasts_days=None if aboard is None else _spread(_lasts_days(aboard, per_day)),
                cost=None if price is None else _spread(per_day * days * price),
                currency=None if price is None or prices is None else prices.prices.currency,
            )
        )
    return FuelAnswer(
        fuels=tuple(fuels),
        on_electricity=tuple(use for use in BURNT_FOR if getattr(fuel, use, None) == "electricity"),
        not_counted=tuple(use for use in BURNT_FOR if getattr(fuel, use, None) is None),
        notes=_notes(question),
    )


def _spread(amounts: FloatArray) -> Spread:
    p10, p50, p90 = np.percentile(amounts, [10, 50, 90])
    return Spread(float(p10), float(p50), float(p90))


def _lasts_days(aboard: float, per_day: FloatArray) -> FloatArray:
    return np.minimum(aboard / np.maximum(per_day, aboard / MOST_DAYS), MOST_DAYS)


def _notes(question: Question) -> tuple[str, ...]:
    fuel, profile = question.van.fuel, question.profile
    if fuel is None:
        return ()
    burnt, habits = fuel.burnt, profile.habits or Habits()
    usual = "usual" if profile.habits is None else "given"
    notes = []
    if "heat" in burnt and profile.cabin.heater_set_point_c is None:
        notes.append("nothing is burnt for heat: the profile has no heater")
    if "hot_water" in burnt:
        notes.append(
            f"hot water ({usual} habits): {habits.hot_water_l_per_day:g} L a day for each of "
            f"{profile.cabin.people}, warmed to {habits.hot_water_c:g} C from a tank as warm as "
            "the cabin"
        )
    if "cooking" in burnt:
        notes.append(
            f"cooking ({usual} habits): {habits.cooking_wh_per_day:g} Wh of heat a day for each "
            f"of {profile.cabin.people}, less what the electric appliances cook"
        )
    said = ", ".join(
        f"{use.replace('_', ' ')} {100.0 * fuel.efficiency(use):.0f} %" for use in burnt
    )
    if said:
        notes.append(f"burnt heat that arrives: {said} of the lower heating value")
    return tuple(notes)
