"""What is said of a trip on every front."""

from __future__ import annotations

import datetime as dt

from solarsim.answers.trip.changes import TripChange
from solarsim.answers.trip.trip import StopAnswer, TripAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.words import all_days_text, safety_text

__all__ = [
    "change_text",
    "day_text",
    "fails_text",
    "picture_words",
    "safe_trip_text",
    "short_name",
    "stop_name",
    "trip_headline",
]


def trip_headline(answer: TripAnswer) -> str:
    """Return the answer in one sentence, and where it fails in another."""
    first, last = answer.stops[0], answer.stops[-1]
    ends = last.arrive + dt.timedelta(days=last.nights)
    stops = count_text(len(answer.stops), "stop")
    return (
        f"{safe_trip_text(answer)}"
        f"The van '{answer.question.van.van.name}' gets through all of '{answer.trip.name}' "
        f"({stops}, {count_text(answer.nights, 'night')}, {day_text(first.arrive)} to "
        f"{day_text(ends)} {ends.year}) with a chance of {chance_text(answer.chance_lasts)}. "
        f"{fails_text(answer)}"
    )


def safe_trip_text(answer: TripAnswer) -> str:
    """Return whether a trip is safe for those who depend on a device, and a space; else nothing."""
    said = safety_text(answer.medical, answer.days.follow_days, all_days_text(answer.nights))
    return f"{said} " if said else ""


def fails_text(answer: TripAnswer) -> str:
    """Return at which stop the bank runs out most often."""
    weakest = answer.weakest_stop
    if weakest is None:
        return "The bank runs out in none of the runs."
    return (
        f"The bank runs out first most often at {stop_name(weakest)}: in "
        f"{chance_text(weakest.fail_chance)} of the runs."
    )


def picture_words(answer: TripAnswer) -> str:
    """Return what the picture shows, for those who do not see it."""
    kept = "" if answer.soc.p1 is None else ", with a band down to what 99 in 100 runs keep"
    return (
        f"State of charge of the bank by hour along the trip{kept}, its stops, drives and nights "
        "on shore power, and how often the bank runs out first at each stop. The tables below "
        "hold the numbers."
    )


def stop_name(stop: StopAnswer) -> str:
    """Return a stop by number and place."""
    return f"stop {stop.number}, {stop.place.name}"


def short_name(stop: StopAnswer) -> str:
    """Return a stop by number and town, without its country; coordinates stay whole."""
    name = stop.place.name
    town = name.split(",")[0]
    return f"{stop.number} {name if any(c.isdigit() for c in town) else town}"


def day_text(day: dt.date) -> str:
    """Return a date without its year.

    Examples
    --------
    >>> day_text(dt.date(2026, 3, 4))
    '4 March'
    """
    return f"{day.day} {day:%B}"


def change_text(change: TripChange) -> str:
    """Return what a change gains, in a builder's words."""
    gains = []
    if abs(change.chance_gained) >= 0.005:
        gains.append(f"chance {change.chance_gained * 100.0:+z.0f} points")
    if abs(change.gained_days) >= 0.05:
        gains.append(f"{change.gained_days:+z.1f} days of use")
    if not gains:
        gains.append(f"{change.reserve_gained_wh:+z,.0f} Wh left at the lowest hour")
    return ", ".join(gains)
