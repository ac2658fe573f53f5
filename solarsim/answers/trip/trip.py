"""Whether one bank gets a van through a trip of several stops, and where it fails."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence
from typing import ClassVar

import numpy as np
import pandas as pd

from solarsim.answers.cautions import build_warnings, run_warnings
from solarsim.answers.fuel import FuelAnswer, Spread
from solarsim.answers.generator import generator_warnings
from solarsim.answers.medical import Medical, medical_of
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress, Simulation
from solarsim.answers.simulation.summary import (
    Bands,
    DaysUnplugged,
    Situation,
    StandardErrors,
    StayDates,
    chance_lasts,
    days_unplugged,
    ledger_wh_per_day,
    soc_bands,
    standard_errors,
)
from solarsim.answers.stay import late_charge, ledger_warnings
from solarsim.answers.trip.assumed import assumed
from solarsim.answers.trip.changes import (
    MOST_HELPFUL,
    TripChange,
    found_changes,
    trip_levers,
)
from solarsim.answers.trip.fuel import trip_fuel
from solarsim.answers.trip.itinerary import Itinerary, Leg, lay_out
from solarsim.answers.trip.run import TripSimulation, simulate_trip, stops_text
from solarsim.arrays import BoolArray, FloatArray
from solarsim.inputs.files.trip import checked_trip
from solarsim.inputs.fuel import FuelKind
from solarsim.inputs.trip import Trip
from solarsim.inputs.van import Van
from solarsim.power.design import design_of, usable_wh
from solarsim.power.ledger import GENERATOR_TERMS, Term
from solarsim.weather.record import Place

__all__ = ["SocRange", "StopAnswer", "TripAnswer", "trip"]


@dataclasses.dataclass(frozen=True)
class SocRange:
    """State of charge over the runs, 0 to 1.

    ``p1`` is what 99 runs in 100 have where someone's health depends on it and they are enough to
    tell it, else None.
    """

    p10: float
    p50: float
    p90: float
    p1: float | None = None


@dataclasses.dataclass(frozen=True)
class StopAnswer:
    """One stop of a trip; its hours go up to the arrival at the next.

    Attributes
    ----------
    number : int
        1 for the first.
    place : Place
        Where.
    arrives, leaves : str
        When it is reached, and when it is driven away from or the trip ends, by the clock on the
        spot, in ISO 8601 with the clock's offset from UTC.
    arrive : datetime.date
        Day of the arrival.
    nights, plugged_nights : int
        Nights there, and those plugged in.
    drive_h : float
        Hours driven right before the arrival.
    parking : str
        What stands around the van.
    people : int
        How many are aboard.
    begins_h, arrives_h, ends_h : int
        Hours of the trip: where its hours begin (the first stop's with the drive to it), where the
        van arrives, and where they end.
    fail_chance : float
        Share of the runs whose first cut-off falls in its hours.
    reached_chance : float
        Share of the runs without a cut-off before it.
    lost_days : float
        Mean number of days with unserved demand.
    soc_arrival, soc_lowest : SocRange
        On arrival, and at each run's lowest hour there.
    ledger_wh : dict
        Mean energy over all of its hours, by ledger term.
    ghi_kwh_m2_day, temp_air_c, demand_wh_per_day : float
        Means of its weather and of what the people aboard ask for.
    fuel : dict
        What is burnt over all of its hours, by fuel, L or kg; empty where the van does not say.
    """

    number: int
    place: Place
    arrives: str
    leaves: str
    arrive: dt.date
    nights: int
    plugged_nights: int
    drive_h: float
    parking: str
    people: int
    begins_h: int
    arrives_h: int
    ends_h: int
    fail_chance: float
    reached_chance: float
    lost_days: float
    soc_arrival: SocRange
    soc_lowest: SocRange
    ledger_wh: dict[str, float]
    ghi_kwh_m2_day: float
    temp_air_c: float
    demand_wh_per_day: float
    fuel: dict[FuelKind, Spread]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class TripAnswer(Situation):
    """The answer of `trip`; the question and the dates are those of the first stop.

    Attributes
    ----------
    trip : Trip
        As it was given.
    stops : tuple of StopAnswer
        In order.
    days : DaysUnplugged
        Days from setting off to the first cut-off, the van staying at the last stop afterwards.
    chance_lasts : float
        Share of runs without a cut-off on the trip.
    standard_errors : StandardErrors
        What the number of runs leaves uncertain; ``chance_lasts`` is that of getting through.
    lost_days : float
        Mean number of days of the trip with any unserved demand.
    ledger_wh : dict
        Mean energy over the whole trip, by ledger term: the sum of the stops'.
    ledger_wh_per_day : dict
        The same a day.
    soc : Bands
        State of charge by hour, in the fixed offset of the first stop.
    night, on_the_road, plugged_in : ndarray
        ``(trip hours,)`` whether the sun is down, whether it drives between stops, and whether it
        is on shore power.
    usable_wh : float
        Energy between a full bank and its floor, as rated.
    fuel : FuelAnswer or None
        What is burnt beside the electricity; its ``per_stay`` is the whole trip's. None where the
        van does not say.
    changes : tuple of TripChange
        All that were tried, those that pass the checks first and the most gained first, then those
        that do not apply.
    warnings : tuple of str
        What a builder must know before believing or building this.
    notes : tuple of str
        What is assumed, defaults and other caveats.
    """

    _face: ClassVar[str] = "trip"

    trip: Trip
    stops: tuple[StopAnswer, ...]
    days: DaysUnplugged
    chance_lasts: float
    standard_errors: StandardErrors
    lost_days: float
    ledger_wh: dict[str, float]
    ledger_wh_per_day: dict[str, float]
    soc: Bands
    night: BoolArray
    on_the_road: BoolArray
    plugged_in: BoolArray
    usable_wh: float
    fuel: FuelAnswer | None
    changes: tuple[TripChange, ...]
    warnings: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def nights(self) -> int:
        """All nights of the trip."""
        return sum(stop.nights for stop in self.stops)

    @property
    def medical(self) -> Medical | None:
        """Whether the trip is safe for those who depend on a device; None where nobody does."""
        return medical_of(self.question.profile.medical, self.days, self.nights)

    @property
    def most_helpful(self) -> tuple[TripChange, ...]:
        """The changes, three at most, that pass the checks and gain most."""
        return tuple(one for one in self.changes if one.helps)[:MOST_HELPFUL]

    @property
    def weakest_stop(self) -> StopAnswer | None:
        """Where it fails most often; None where it never does."""
        worst = max(self.stops, key=lambda stop: stop.fail_chance)
        return worst if worst.fail_chance > 0.0 else None

    def hourly(self) -> pd.DataFrame:
        """Return the state of charge at each stamp of the trip, 0 to 1, with stop and clock."""
        table: pd.DataFrame = self._shown().hourly(self)
        return table


def trip(
    question: Question,
    stops: Trip,
    *,
    source: str = "trip",
    with_changes: bool = True,
    progress: Progress | None = None,
) -> TripAnswer:
    """Answer whether one bank gets the van through all stops, where it fails and what would help.

    Parameters
    ----------
    question : Question
        The van and its people; its own place and dates play no part.
    stops : Trip
        Where it goes.
    source : str
        What the trip came from, for messages.
    with_changes : bool
        Whether changes are tried.
    progress : callable, optional
        Called with runs done and runs in all.

    Raises
    ------
    InputError
        As for `lay_out`; a trip that cannot be.
    """
    itinerary = lay_out(question, checked_trip(stops), source=source)
    tried, skipped = trip_levers(itinerary) if with_changes else ([], [])
    run = simulate_trip(itinerary, [lever.case for lever in tried], progress=progress)
    base, first = run.base, itinerary.question
    changes = found_changes(itinerary, base, tried, run.changed)
    ledger = base.outcome.ledger_wh[:, :, 0].mean(axis=0)
    fuel, at_stops = trip_fuel(itinerary, run.lived, run.ledger_wh[:, Term.GENERATOR])
    generator = first.van.generator is not None
    counted = slice(itinerary.counted_h)
    # Of several stops each has a first drive of its own.
    late = late_charge(base, first.van) if len(itinerary.legs) == 1 else ()
    start, nights = itinerary.legs[0].arrive, sum(leg.nights for leg in itinerary.legs)
    return TripAnswer(
        question=first,
        dates=StayDates(start, nights, start.month),
        conditions=base.conditions,
        trip=itinerary.trip,
        stops=_stops(itinerary, run, at_stops),
        days=days_unplugged(base, 0),
        chance_lasts=chance_lasts(base, 0),
        standard_errors=standard_errors(base, 0),
        lost_days=float(base.outcome.depletion_days[:, 0].mean()),
        ledger_wh=_told_wh(first.van, ledger),
        ledger_wh_per_day=ledger_wh_per_day(base, 0, generator=generator),
        soc=soc_bands(base, rare=_tells_rare(itinerary, base)),
        night=base.conditions.night[counted],
        on_the_road=itinerary.on_the_road()[counted],
        plugged_in=itinerary.charging()[1][counted] > 0.0,
        usable_wh=usable_wh(design_of(first.van)),
        fuel=fuel,
        changes=(*changes, *skipped),
        warnings=_warnings(itinerary, base),
        notes=(*late, *assumed(itinerary), *base.conditions.notes),
    )


def _tells_rare(itinerary: Itinerary, base: Simulation) -> bool:
    """Whether one run in a hundred counts, and is told: as of days, by 300 runs."""
    medical = bool(itinerary.question.profile.medical)
    return medical and days_unplugged(base, 0).p1 is not None


def _told_wh(van: Van, ledger_wh: FloatArray) -> dict[str, float]:
    """Energy by ledger term; a generator's only of a van that has one."""
    told = [term for term in Term if van.generator is not None or term not in GENERATOR_TERMS]
    return {term.name.lower(): float(ledger_wh[term]) for term in told}


def _stops(
    itinerary: Itinerary, run: TripSimulation, fuel: Sequence[dict[FuelKind, Spread]]
) -> tuple[StopAnswer, ...]:
    cut_h = run.base.outcome.first_cut_h[:, 0]
    soc = run.base.outcome.soc[:, :, 0]
    ledger_wh = run.ledger_wh.mean(axis=0)
    rare = _tells_rare(itinerary, run.base)
    found = []
    for index, (leg, end_h) in enumerate(zip(itinerary.legs, itinerary.ends_h, strict=True)):
        reached, lasted = (float((cut_h >= hour).mean()) for hour in (leg.begins_h, end_h))
        found.append(
            StopAnswer(
                number=leg.number,
                place=leg.place,
                arrives=_clock(leg, leg.arrives_h),
                leaves=_clock(leg, _leaves_h(itinerary, index)),
                arrive=leg.arrive,
                nights=leg.nights,
                plugged_nights=leg.stop.plugged_nights,
                drive_h=leg.stop.drive_h,
                parking=leg.question.van.stay.parking,
                people=leg.question.profile.cabin.people,
                begins_h=leg.begins_h,
                arrives_h=leg.arrives_h,
                ends_h=end_h,
                fail_chance=reached - lasted,
                reached_chance=reached,
                lost_days=float(run.lost_days[:, index].mean()),
                soc_arrival=_range(soc[:, leg.arrives_h], rare=rare),
                soc_lowest=_range(soc[:, leg.begins_h : end_h + 1].min(axis=1), rare=rare),
                ledger_wh=_told_wh(leg.question.van, ledger_wh[:, index]),
                ghi_kwh_m2_day=float(run.means.ghi_kwh_m2_day[index]),
                temp_air_c=float(run.means.temp_air_c[index]),
                demand_wh_per_day=float(run.means.demand_wh_per_day[index]),
                fuel=fuel[index],
            )
        )
    return tuple(found)


def _range(soc: FloatArray, *, rare: bool) -> SocRange:
    p1, p10, p50, p90 = (float(value) for value in np.percentile(soc, [1, 10, 50, 90]))
    return SocRange(p10, p50, p90, p1 if rare else None)


def _leaves_h(itinerary: Itinerary, index: int) -> float:
    """Hour of the trip in which a stop is driven away from, or the trip ends."""
    end_h = itinerary.ends_h[index]
    if index + 1 == len(itinerary.legs):
        return end_h
    return end_h - itinerary.legs[index + 1].stop.drive_h


def _clock(leg: Leg, hour: float) -> str:
    """An hour of the trip by the clock at a stop."""
    local = leg.times[0] + pd.Timedelta(hours=hour - leg.begins_h)
    return str(local.tz_convert(leg.place.timezone).isoformat(timespec="minutes"))


def _warnings(itinerary: Itinerary, base: Simulation) -> tuple[str, ...]:
    """What the runs tell once, and what the check forbids with the stops where it does."""
    told = run_warnings(itinerary.question, base.conditions, itinerary.wall_times, "UTC")
    stops: dict[str, list[int]] = {}
    for leg in itinerary.legs:
        for warning in build_warnings(leg.question):
            stops.setdefault(warning, []).append(leg.number)
    everywhere = len(itinerary.legs)
    of_build = (
        warning if len(where) == everywhere else f"{stops_text(where)}: {warning}"
        for warning, where in stops.items()
    )
    ledger = ledger_wh_per_day(base, 0)
    van = itinerary.question.van
    return (*told, *of_build, *ledger_warnings(van, ledger), *generator_warnings(van))
