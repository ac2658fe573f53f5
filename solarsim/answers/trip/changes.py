"""What helps a trip: a night plugged in, an hour's drive more, one more panel or battery."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

import numpy as np

from solarsim.answers.cautions import change_warnings
from solarsim.answers.lever_changes import Skip, build_changes
from solarsim.answers.simulation.run import Simulation
from solarsim.answers.simulation.summary import chance_lasts, reserve_wh
from solarsim.answers.trip.itinerary import Itinerary, Leg, with_stop
from solarsim.answers.trip.run import Case
from solarsim.arrays import FloatArray
from solarsim.power.design import design_of

__all__ = ["MOST_HELPFUL", "TripChange", "TripLever", "found_changes", "trip_levers"]

MOST_HELPFUL = 3
_MORE_DRIVE_H = 1.0


@dataclasses.dataclass(frozen=True)
class TripChange:
    """One change, run by run on the same weather.

    Attributes
    ----------
    name : str
        What is done.
    stop : int or None
        At, or on the way to, which stop; None for what is built.
    chance_gained : float
        Change of the chance of getting through, -1 to 1.
    standard_error_chance : float
        Of that, paired.
    gained_days : float
        Mean over the runs of the days without unserved demand that it adds.
    standard_error_days : float
        Of that mean, paired.
    reserve_gained_wh : float
        Mean over the runs of what is left in the bank at the trip's lowest hour, more than before,
        Wh: it tells changes apart where the trip gets through anyhow.
    warnings : tuple of str
        What the electrical check finds wrong with it at any stop that was not wrong before.
    skipped : str or None
        Why it does not apply; then the figures are 0.
    """

    name: str
    stop: int | None
    chance_gained: float = 0.0
    standard_error_chance: float = 0.0
    gained_days: float = 0.0
    standard_error_days: float = 0.0
    reserve_gained_wh: float = 0.0
    warnings: tuple[str, ...] = ()
    skipped: str | None = None

    @property
    def helps(self) -> bool:
        """Whether it passes the checks and gains anything."""
        return (
            self.skipped is None
            and not self.warnings
            and (self.chance_gained, self.gained_days, self.reserve_gained_wh) > (0.0,) * 3
        )


@dataclasses.dataclass(frozen=True)
class TripLever:
    """A change that is tried: what it is called, where, and the trip with it."""

    name: str
    stop: int | None
    case: Case


def trip_levers(itinerary: Itinerary) -> tuple[list[TripLever], list[TripChange]]:
    """Return the changes that apply, and those that do not with the reason."""
    tried: list[TripLever] = []
    skipped: list[TripChange] = []
    for name, stop, changed in _all_changes(itinerary):
        if isinstance(changed, Skip):
            skipped.append(TripChange(name, stop, skipped=changed.reason))
        else:
            tried.append(TripLever(name, stop, changed))
    return tried, skipped


def found_changes(
    itinerary: Itinerary, base: Simulation, tried: Sequence[TripLever], found: Sequence[Simulation]
) -> list[TripChange]:
    """Return what each change gained, what passes the checks first and the most gained first."""
    question = itinerary.question
    lasted = _lasted(base)
    lost = base.outcome.depletion_days[:, 0]
    left_wh = reserve_wh(base, design_of(question.van))
    changes = []
    for lever, simulation in zip(tried, found, strict=True):
        chance = _lasted(simulation) - lasted
        days = lost - simulation.outcome.depletion_days[:, 0]
        reserve = reserve_wh(simulation, design_of(lever.case.question.van)) - left_wh
        changes.append(
            TripChange(
                lever.name,
                lever.stop,
                chance_gained=chance_lasts(simulation, 0) - chance_lasts(base, 0),
                standard_error_chance=_error(chance),
                gained_days=float(days.mean()),
                standard_error_days=_error(days),
                reserve_gained_wh=float(reserve.mean()),
                warnings=_warnings(itinerary, lever),
            )
        )
    return sorted(
        changes,
        key=lambda one: (
            bool(one.warnings),
            -one.chance_gained,
            -one.gained_days,
            -one.reserve_gained_wh,
        ),
    )


def _all_changes(itinerary: Itinerary) -> Iterator[tuple[str, int | None, Case | Skip]]:
    question = itinerary.question
    for leg in itinerary.legs:
        at = f"stop {leg.number}"
        yield f"a night plugged in at {at}", leg.number, _plugged(itinerary, leg)
        yield f"an hour's drive more before {at}", leg.number, _driven(itinerary, leg)
    # The first two that add: a string of panels, and one of batteries.
    for name, change in build_changes(question.van):
        if "more panel" in name or "more batter" in name:
            changed = change(question)
            case = changed if isinstance(changed, Skip) else Case(changed, itinerary)
            yield name, None, case


def _plugged(itinerary: Itinerary, leg: Leg) -> Case | Skip:
    shore = itinerary.question.van.shore
    if shore is None or shore.charger_a == 0.0:
        return Skip("no shore charger aboard")
    nights = leg.stop.plugged_nights + 1
    if nights > leg.nights:
        return Skip("it is plugged in every night already")
    return _with(itinerary, leg, plugged_nights=nights)


def _driven(itinerary: Itinerary, leg: Leg) -> Case | Skip:
    alternator = itinerary.question.van.alternator
    if alternator is None or alternator.rated_a == 0.0:
        return Skip("no DC-DC charger aboard")
    if leg.number == 1:
        return Skip("the trip begins with it")
    drive_h = leg.stop.drive_h + _MORE_DRIVE_H
    before = itinerary.legs[leg.number - 2]
    if drive_h >= before.hours - (before.arrives_h - before.begins_h):
        return Skip("it drives all day already")
    return _with(itinerary, leg, drive_h=drive_h)


def _with(itinerary: Itinerary, leg: Leg, **changed: float) -> Case:
    return Case(itinerary.question, with_stop(itinerary, leg.number, **changed))


def _warnings(itinerary: Itinerary, lever: TripLever) -> tuple[str, ...]:
    """What the check finds new at any stop; how it is driven and plugged in builds nothing."""
    if lever.stop is not None:
        return ()
    van = lever.case.question.van
    found: dict[str, None] = {}
    for leg in itinerary.legs:
        there = dataclasses.replace(
            leg.question, van=van.model_copy(update={"stay": leg.question.van.stay})
        )
        found |= dict.fromkeys(change_warnings(leg.question, [there])[0])
    return tuple(found)


def _lasted(simulation: Simulation) -> FloatArray:
    cut_h = simulation.outcome.first_cut_h[:, 0]
    return np.asarray(cut_h >= simulation.stay_hours, dtype=np.float64)


def _error(gained: FloatArray) -> float:
    """Standard error of the mean of the runs' differences; none is known of a single run."""
    return float(gained.std(ddof=1) / np.sqrt(len(gained))) if len(gained) > 1 else 0.0
