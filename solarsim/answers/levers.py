"""What one change is worth in days, on the same weather."""

from __future__ import annotations

import dataclasses
from typing import ClassVar, Literal

from solarsim.answers.cautions import change_warnings, van_warnings
from solarsim.answers.lever_changes import (
    LARGEST_LOADS,
    Change,
    Skip,
    build_changes,
    live_changes,
    needed_load,
    without_load,
)
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress, Simulation, simulate, simulate_all
from solarsim.answers.simulation.summary import (
    DaysUnplugged,
    Situation,
    chance_lasts,
    days_unplugged,
    paired,
    reserve_wh,
    stay_dates,
)
from solarsim.inputs.fuel import Fuel
from solarsim.power.design import design_of
from solarsim.power.fuel import cooked_on_electricity_wh, fuel_for_heat
from solarsim.power.sources import first_charge_h

__all__ = ["Kind", "Lever", "LeversAnswer", "levers"]

Kind = Literal["build", "live"]
# Mean air of a stay in which people do not do without a heater (common practice, no source).
_COLD_C = 10.0
# And from which on they do not like to do without a fan or a cooler (the same).
_HOT_C = 27.0


@dataclasses.dataclass(frozen=True)
class Lever:
    """One change.

    Attributes
    ----------
    name : str
        What is done.
    kind : str
        ``"build"``: what a builder can build or fit; ``"live"``: what the people aboard can do.
    days_gained : float
        Mean over the runs of the days that it adds, negative where it costs days; days past the
        horizon do not count.
    standard_error : float
        Of that mean, paired run by run on the same weather, days.
    chance_gained : float
        Change of the chance to last the stay, -1 to 1.
    reserve_gained_wh : float
        Mean over the runs of what is left in the bank at the stay's lowest hour, more than before,
        Wh: it goes on telling changes apart where all days last to the end.
    reserve_standard_error_wh : float
        Of that mean, paired likewise, Wh.
    warnings : tuple of str
        What the change would overload, or what may not be built so.
    needed : bool
        Whether it takes away what people do without only when nothing else is left.
    skipped : str or None
        Why it does not apply; then the figures are 0.
    """

    name: str
    kind: Kind
    days_gained: float
    standard_error: float
    chance_gained: float
    reserve_gained_wh: float = 0.0
    reserve_standard_error_wh: float = 0.0
    warnings: tuple[str, ...] = ()
    needed: bool = False
    skipped: str | None = None

    @property
    def stopped(self) -> bool:
        """Whether the electrical check finds something new that forbids it."""
        return bool(self.warnings)

    @property
    def does_nothing(self) -> bool:
        """Whether every run comes out as before, and nothing speaks against the change."""
        moved = [self.days_gained, self.standard_error, self.chance_gained]
        moved += [self.reserve_gained_wh, self.reserve_standard_error_wh]
        return not self.stopped and not any(moved)


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class LeversAnswer(Situation):
    """Changes by kind, ranked by what they gain; those that do not apply come last.

    Attributes
    ----------
    days : DaysUnplugged
        As things are.
    chance_lasts : float
        As things are.
    reserve_wh : float
        Mean over the runs of what is left above the bank's floor at the stay's lowest hour, Wh, as
        things are.
    ranked_by : str
        ``"days"``, or ``"reserve"`` where half of the runs or more last to the end as things are:
        days beyond it cannot be gained.
    levers : tuple of Lever
        What a builder can build, then what people can do. Within each what passes the electrical
        check comes first, what nobody likes to live without last, and the most gained first, by
        `ranked_by`.
    warnings : tuple of str
        What trips or may not be built as things are.
    gas_kg_per_day : float
        Propane that cooking on gas burns in place of what the electric appliances cook.
    """

    _face: ClassVar[str] = "levers"

    days: DaysUnplugged
    chance_lasts: float
    reserve_wh: float
    ranked_by: Literal["days", "reserve"]
    levers: tuple[Lever, ...]
    warnings: tuple[str, ...]
    gas_kg_per_day: float = 0.0

    def of_kind(self, kind: Kind) -> tuple[Lever, ...]:
        """Return the changes of a kind that apply, in their order."""
        return tuple(one for one in self.levers if one.kind == kind and one.skipped is None)


def levers(question: Question, *, progress: Progress | None = None) -> LeversAnswer:
    """Try every change by itself against things as they are, run by run on the same weather.

    Parameters
    ----------
    question : Question
        What is asked.
    progress : callable, optional
        Called with runs done and runs in all.
    """
    tried, skipped = _changes(question)
    cases = [
        (asked, [design_of(asked.van)]) for asked in (question, *(one.question for one in tried))
    ]
    simulations = simulate_all(cases, progress=progress)
    base = simulations[0]
    base_days = base.outcome.first_cut_h[:, 0] / 24.0
    base_wh = reserve_wh(base, design_of(question.van))
    found = []
    warnings = change_warnings(question, [one.question for one in tried])
    for one, simulation, warned in zip(tried, simulations[1:], warnings, strict=True):
        days = paired(simulation.outcome.first_cut_h[:, 0] / 24.0 - base_days)
        reserve = paired(reserve_wh(simulation, design_of(one.question.van)) - base_wh)
        chance = chance_lasts(simulation, 0) - chance_lasts(base, 0)
        lever = Lever(one.name, one.kind, *days, chance, *reserve, warned, one.needed)
        if lever.does_nothing:
            reason = _why_nothing(question, one.question, base)
            lever = dataclasses.replace(lever, skipped=reason)
        found.append(lever)
    unplugged = days_unplugged(base, 0)
    by_reserve = unplugged.p50 >= unplugged.follow_days
    found.sort(key=lambda lever: _rank(lever, by_reserve=by_reserve))
    return LeversAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=base.conditions,
        days=unplugged,
        chance_lasts=chance_lasts(base, 0),
        reserve_wh=float(base_wh.mean()),
        ranked_by="reserve" if by_reserve else "days",
        levers=(
            *(lever for lever in found if lever.skipped is None),
            *skipped,
            *(lever for lever in found if lever.skipped is not None),
        ),
        warnings=van_warnings(question, base),
        gas_kg_per_day=_gas_kg_per_day(question, base.conditions.demand_wh_per_day),
    )


def _gas_kg_per_day(question: Question, demand_wh_per_day: dict[str, float]) -> float:
    """Return what gas would have to burn for what is cooked on electricity."""
    efficiency = (question.van.fuel or Fuel(cooking="propane")).cooking_efficiency
    cooked_wh = cooked_on_electricity_wh(question.profile, demand_wh_per_day)
    return float(fuel_for_heat(cooked_wh, "propane", efficiency))


def _why_nothing(before: Question, after: Question, base: Simulation) -> str:
    """Say why a change makes no difference in any run."""
    cut_h = base.outcome.first_cut_h[:, 0]
    for part, what in (("alternator", "drive"), ("shore", "night on shore power")):
        plan = getattr(after.van, part)
        if plan != getattr(before.van, part) and cut_h.max() < first_charge_h(plan):
            return (
                f"its first {what} comes on day {plan.every_days} after arrival, when every run is "
                "cut off already"
            )
    return "it makes no difference in this stay"


@dataclasses.dataclass(frozen=True)
class _Tried:
    """A change that applies, and the question with it."""

    name: str
    kind: Kind
    question: Question
    needed: bool = False


def _changes(question: Question) -> tuple[list[_Tried], list[Lever]]:
    """Return the changes that apply, and those that do not with the reason."""
    tried: list[_Tried] = []
    skipped: list[Lever] = []

    def skip(name: str, kind: Kind, reason: str) -> None:
        skipped.append(Lever(name, kind, 0.0, 0.0, 0.0, skipped=reason))

    van = question.van
    kinds: tuple[tuple[Kind, tuple[tuple[str, Change], ...]], ...]
    kinds = (("build", build_changes(van)), ("live", live_changes(van)))
    for kind, changes in kinds:
        for name, change in changes:
            changed = change(question)
            if isinstance(changed, Skip):
                skip(name, kind, changed.reason)
            else:
                tried.append(_Tried(name, kind, changed))
    # A few runs are enough to tell the largest loads.
    few = dataclasses.replace(
        question, runs=min(question.runs, 10), follow_days=question.van.stay.days
    )
    conditions = simulate(few, [design_of(van)]).conditions
    appliances = {one.name: one for one in question.profile.appliances if one.enabled}
    demand = conditions.demand_wh_per_day
    largest = sorted((name for name in demand if name in appliances), key=lambda n: (-demand[n], n))
    if len(largest) > 1:
        for name in largest[:LARGEST_LOADS]:
            appliance = appliances[name]
            cold = conditions.temp_air_c < _COLD_C
            if appliance.response == "heater" and cold:
                reason = f"nobody lives without it in air of {conditions.temp_air_c:z.0f} C"
                skip(f"without: {name}", "live", reason)
                continue
            if name in question.profile.medical:
                skip(f"without: {name}", "live", "someone's health depends on it")
                continue
            cooling = appliance.response in {"fan", "evaporative cooler"}
            needed = needed_load(appliance) or (cooling and conditions.temp_air_c > _HOT_C)
            less = without_load(question, name)
            tried.append(_Tried(f"without: {name}", "live", less, needed))
    return tried, skipped


def _rank(lever: Lever, *, by_reserve: bool) -> tuple[float, ...]:
    gained: tuple[float, ...] = (-lever.days_gained, -lever.chance_gained, -lever.reserve_gained_wh)
    if by_reserve:
        gained = (-lever.reserve_gained_wh, -lever.days_gained)
    return (lever.kind == "live", lever.stopped, lever.needed, *gained)
