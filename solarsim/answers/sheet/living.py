"""What runs in one way of living, for how long, and what it needs in winter and in summer."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Collection, Sequence
from typing import Literal

from solarsim.answers.cautions import van_warnings
from solarsim.answers.fuel import FuelAnswer, fuel_of
from solarsim.answers.question import Question
from solarsim.answers.sheet.bank import alone_hours
from solarsim.answers.sheet.ways import Way, WayName
from solarsim.answers.simulation.run import Simulation, simulate
from solarsim.errors import InputError
from solarsim.inputs.appliance import Appliance
from solarsim.power.design import design_of
from solarsim.power.ledger import Term
from solarsim.weather.record import Place

__all__ = [
    "SEASONS",
    "Living",
    "Season",
    "Use",
    "in_order",
    "living",
    "mean_simulation",
    "season_months",
]

Season = Literal["winter", "spring", "summer", "autumn"]
SEASONS: tuple[Season, ...] = ("winter", "spring", "summer", "autumn")
_NORTHERN_MONTHS = (1, 4, 7, 10)
# Enough for the mean energy of each appliance and of the sun.
_MEAN_RUNS = 100


@dataclasses.dataclass(frozen=True)
class Use:
    """An appliance in one way of living.

    Attributes
    ----------
    appliance : Appliance
        Its record.
    hours_per_day : float or None
        Hours each piece is on, mean over the week; None where its thermostat says when.
    winter_wh_per_day, summer_wh_per_day : float
        Mean energy at the first region, before the inverter's loss.
    alone_h : float
        Hours that it would run without a pause on a full bank alone, all its pieces and nothing
        else: by its power, whatever the climate lets a thermostat ask of it.
    """

    appliance: Appliance
    hours_per_day: float | None
    winter_wh_per_day: float
    summer_wh_per_day: float
    alone_h: float


@dataclasses.dataclass(frozen=True)
class Living:
    """A way of living at the first region.

    Attributes
    ----------
    way : Way
        Which.
    uses : tuple of Use
        What runs, most energy first.
    winter_wh_per_day, summer_wh_per_day : float
        What it all needs.
    winter_bank_c : float
        Mean temperature of the bank in winter.
    warnings : tuple of str
        What would trip in such a life, and what may not be built as the van is.
    winter_fuel, summer_fuel : FuelAnswer or None
        What is burnt; None where the van does not say on what it runs.
    """

    way: Way
    uses: tuple[Use, ...]
    winter_wh_per_day: float
    summer_wh_per_day: float
    winter_bank_c: float
    warnings: tuple[str, ...]
    winter_fuel: FuelAnswer | None = None
    summer_fuel: FuelAnswer | None = None


def season_months(place: Place) -> dict[Season, int]:
    """Middle months of the seasons, those of the south half a year away.

    Examples
    --------
    >>> season_months(Place("anywhere", -40.0, 175.0, 0.0, "Etc/GMT-12", 12.0))
    {'winter': 7, 'spring': 10, 'summer': 1, 'autumn': 4}
    """
    shift = 6 if place.latitude_deg < 0.0 else 0
    months = ((month - 1 + shift) % 12 + 1 for month in _NORTHERN_MONTHS)
    return dict(zip(SEASONS, months, strict=True))


def living(home: Question, way: Way) -> Living:
    """Answer what runs in a way of living at a question's van and place."""
    asked = home.replace(profile=way.profile)
    months = season_months(home.place)
    in_winter, in_summer = (
        mean_simulation(asked.replace(month=months[season])) for season in ("winter", "summer")
    )
    winter, summer = (one.conditions.demand_wh_per_day for one in (in_winter, in_summer))
    running = {a.name: a for a in way.profile.appliances if a.enabled}
    alone = alone_hours(
        home.van,
        {
            name: (appliance, appliance.power_w * appliance.count)
            for name, appliance in running.items()
        },
    )
    uses = [
        Use(
            appliance=appliance,
            hours_per_day=_hours_per_day(appliance),
            winter_wh_per_day=winter[name],
            summer_wh_per_day=summer[name],
            alone_h=alone[name],
        )
        for name, appliance in running.items()
    ]
    uses.sort(key=lambda use: -max(use.winter_wh_per_day, use.summer_wh_per_day))
    return Living(
        way=way,
        uses=tuple(uses),
        winter_wh_per_day=sum(winter.values()),
        summer_wh_per_day=sum(summer.values()),
        winter_bank_c=in_winter.conditions.bank_temp_c,
        warnings=van_warnings(asked.replace(month=months["winter"]), in_winter),
        winter_fuel=_fuel(asked, in_winter),
        summer_fuel=_fuel(asked, in_summer),
    )


def _fuel(question: Question, simulation: Simulation) -> FuelAnswer | None:
    return fuel_of(
        question,
        simulation.conditions.warmth,
        simulation.conditions.demand_wh_per_day,
        charged_wh=simulation.outcome.ledger_wh[:, Term.GENERATOR, 0],
    )


def in_order(
    livings: Sequence[Living], shipped: Collection[WayName]
) -> tuple[tuple[Living, ...], tuple[WayName, ...]]:
    """Leave out shipped ways of living that do not fit below or above the typical one.

    A heavier way that needs less than a lighter one would mislead, and one that is the typical one
    under another name says nothing more.

    Parameters
    ----------
    livings : sequence of Living
        From light to heavy, the typical one among them.
    shipped : collection of str
        Those that nobody gave.

    Returns
    -------
    tuple
        The ways that stay, and the names of those left out.

    Raises
    ------
    InputError
        A way that was given is out of order, in winter.
    """
    typical = next(living for living in livings if living.way.name == "typical")
    left_out: list[WayName] = []
    for living in livings:
        less, more = (living, typical) if living.way.name == "light" else (typical, living)
        out_of_order = less.winter_wh_per_day > more.winter_wh_per_day
        if living.way.name in shipped and (out_of_order or _same_life(living, typical)):
            left_out.append(living.way.name)
    kept = tuple(living for living in livings if living.way.name not in left_out)
    for less, more in itertools.pairwise(kept):
        if less.winter_wh_per_day > more.winter_wh_per_day:
            message = (
                f"'{less.way.profile.profile.name}' needs {less.winter_wh_per_day:,.0f} Wh a day "
                f"in winter, more than the {more.way.name} '{more.way.profile.profile.name}' with "
                f"{more.winter_wh_per_day:,.0f}; ways of living go from light to heavy"
            )
            raise InputError(message, field=less.way.name)
    return kept, tuple(left_out)


def _same_life(one: Living, typical: Living) -> bool:
    """Whether a way of living is the typical one: the van's own people may be a shipped one."""
    if one is typical:
        return False
    mine, theirs = one.way.profile, typical.way.profile
    return (mine.appliances, mine.cabin, mine.hourly) == (
        theirs.appliances,
        theirs.cabin,
        theirs.hourly,
    )


def mean_simulation(question: Question) -> Simulation:
    """Simulate the stay itself on as many runs as a mean energy needs."""
    few = question.replace(runs=min(question.runs, _MEAN_RUNS), follow_days=question.van.stay.days)
    return simulate(few, [design_of(few.van)])


def _hours_per_day(appliance: Appliance) -> float | None:
    if appliance.response != "none":
        return None
    return appliance.use_h * len(appliance.weekdays) / 7.0
