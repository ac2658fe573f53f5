"""What is burnt at each stop of a trip, and along all of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from solarsim.answers.fuel import (
    FuelAnswer,
    Spread,
    Warmth,
    burnt_by_use,
    by_fuel,
    fuel_answer,
    joined_warmth,
    spread_of,
    warmth_of,
)
from solarsim.answers.trip.itinerary import Itinerary
from solarsim.arrays import BoolArray, FloatArray
from solarsim.inputs.fuel import FuelKind
from solarsim.power.demand_record import Demand
from solarsim.records import ArrayRecord

__all__ = ["Lived", "joined_lived", "lived_at_stops", "trip_fuel"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Lived(ArrayRecord):
    """What the fuel of a stop depends on.

    Attributes
    ----------
    runs : int
        How many.
    warmth : Warmth or None
        Over the stop's hours; None where the van does not say what it burns.
    demand_wh_per_day : dict
        Energy of each electric appliance of those aboard, mean over all their hours.
    """

    runs: int
    warmth: Warmth | None
    demand_wh_per_day: dict[str, float]


def lived_at_stops(
    itinerary: Itinerary, crews: Sequence[tuple[Demand, BoolArray]], runs: int
) -> tuple[Lived, ...]:
    """Return what the fuel of each stop depends on, of crews and the hours that are theirs."""
    found = []
    for leg, end_h in zip(itinerary.legs, itinerary.ends_h, strict=True):
        demand = next(demand for demand, theirs in crews if theirs[leg.begins_h])
        told = itinerary.question.van.fuel is not None
        warmth = warmth_of(demand, runs, slice(leg.begins_h, end_h)) if told else None
        found.append(Lived(runs, warmth, dict(demand.wh_per_day)))
    return tuple(found)


def joined_lived(chunks: Sequence[tuple[Lived, ...]]) -> tuple[Lived, ...]:
    """Return several chunks of runs as one, stop by stop."""
    found = []
    for parts in zip(*chunks, strict=True):
        weights = np.array([part.runs for part in parts], dtype=np.float64)
        weights /= weights.sum()
        demand = {
            name: float(np.dot(weights, [part.demand_wh_per_day[name] for part in parts]))
            for name in parts[0].demand_wh_per_day
        }
        warmth = joined_warmth([part.warmth for part in parts])
        found.append(Lived(sum(part.runs for part in parts), warmth, demand))
    return tuple(found)


def trip_fuel(
    itinerary: Itinerary, lived: Sequence[Lived], charged_wh: FloatArray
) -> tuple[FuelAnswer | None, tuple[dict[FuelKind, Spread], ...]]:
    """Return the fuel of all of a trip, and what is burnt at each stop.

    Parameters
    ----------
    itinerary : Itinerary
        Each stop with the hours up to the arrival at the next, on the road as well.
    lived : sequence of Lived
        By stop.
    charged_wh : ndarray
        ``(runs, stops)`` what a generator charged, Wh.
    """
    question, whole_h = itinerary.question, float(itinerary.counted_h)
    by_stop, shares = [], []
    for index, (leg, end_h) in enumerate(zip(itinerary.legs, itinerary.ends_h, strict=True)):
        hours = float(end_h - leg.begins_h)
        shares.append(hours / whole_h)
        by_stop.append(
            burnt_by_use(
                leg.question,
                lived[index].warmth,
                lived[index].demand_wh_per_day,
                charged_wh=charged_wh[:, index],
                days=hours / 24.0,
            )
        )
    by_use = {
        use: np.sum([share * of[use] for share, of in zip(shares, by_stop, strict=True)], axis=0)
        for use in by_stop[0]
    }
    days = whole_h / 24.0
    at_stops = tuple(
        {
            kind: spread_of(share * days * np.sum(list(uses.values()), axis=0))
            for kind, uses in by_fuel(question.van, of).items()
        }
        for share, of in zip(shares, by_stop, strict=True)
    )
    return fuel_answer(question, by_use, days, crews=len(itinerary.crews)), at_stops
