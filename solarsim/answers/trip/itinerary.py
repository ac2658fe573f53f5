"""A trip laid out in hours: where the van is in each, when it drives and when it is plugged in."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Sequence

import numpy as np
import pandas as pd

from solarsim.answers.given import given_place, stay_with
from solarsim.answers.question import Question
from solarsim.arrays import BoolArray, FloatArray
from solarsim.errors import InputError, PlaceError
from solarsim.inputs.calendar import ARRIVAL_HOUR, arrival_time
from solarsim.inputs.crew import with_people
from solarsim.inputs.profile import Profile
from solarsim.inputs.trip import Stop, Trip
from solarsim.power.sources import plans, span_share
from solarsim.records import ArrayRecord
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place

__all__ = ["PLUGGED_H", "Itinerary", "Leg", "lay_out", "with_stop"]

# A night on shore power, from the arrival to the next morning: common practice, no source.
PLUGGED_H = 16.0


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Leg(ArrayRecord):
    """The hours of one stop, up to the arrival at the next.

    Attributes
    ----------
    number : int
        1 for the first.
    stop : Stop
        As it was given.
    question : Question
        The van at that place, with those dates.
    arrive : datetime.date
        Day of the arrival.
    nights : int
        Nights there.
    times : pandas.DatetimeIndex
        ``(hours,)`` stamps with the place's own fixed offset. The first stop's begin with the drive
        to it; the last stop's go on until the end of the days that are followed.
    begins_h : int
        Hour of the trip in which they begin.
    arrives_h : int
        Hour of the trip in which the van arrives.
    """

    number: int
    stop: Stop
    question: Question
    arrive: dt.date
    nights: int
    times: pd.DatetimeIndex
    begins_h: int
    arrives_h: int

    @property
    def place(self) -> Place:
        """Where it is."""
        return self.question.place

    @property
    def hours(self) -> int:
        """How many hours."""
        return len(self.times)


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Itinerary(ArrayRecord):
    """All hours of a trip, stop after stop.

    Attributes
    ----------
    trip : Trip
        As it was given.
    question : Question
        The van at the first stop.
    legs : tuple of Leg
        The stops.
    counted_h : int
        Hours of the trip; those after it, at the last stop, are there to see how long the bank
        lasts.
    """

    trip: Trip
    question: Question
    legs: tuple[Leg, ...]
    counted_h: int

    @property
    def hours(self) -> int:
        """Hours of the trip and those that are followed after it."""
        return sum(leg.hours for leg in self.legs)

    @property
    def ends_h(self) -> tuple[int, ...]:
        """Hour of the trip in which each stop ends."""
        return (*(leg.begins_h for leg in self.legs[1:]), self.counted_h)

    @property
    def elapsed_times(self) -> pd.DatetimeIndex:
        """``(hours,)`` all hours in the fixed offset of the first stop, without a break."""
        return pd.date_range(self.legs[0].times[0], periods=self.hours, freq="h", unit="us")

    @property
    def wall_times(self) -> pd.DatetimeIndex:
        """``(hours,)`` what the clocks on the spot show, in the form of UTC stamps.

        A clock that follows a fixed offset of 0 reads from them what people's own clocks show, so
        that habits need to know nothing of zones.
        """
        shown = [
            leg.times.tz_convert(leg.place.timezone).tz_localize(None).to_numpy()
            for leg in self.legs
        ]
        return pd.DatetimeIndex(np.concatenate(shown), tz="UTC")

    @property
    def crews(self) -> tuple[tuple[Profile, BoolArray], ...]:
        """Who is aboard, each with whether an hour is theirs, ``(hours,)``."""
        found: list[tuple[Profile, BoolArray]] = []
        for leg in self.legs:
            hours = np.zeros(self.hours, dtype=np.bool_)
            hours[leg.begins_h : leg.begins_h + leg.hours] = True
            for index, (profile, theirs) in enumerate(found):
                if profile == leg.question.profile:
                    found[index] = profile, theirs | hours
                    break
            else:
                found.append((leg.question.profile, hours))
        return tuple(found)

    def driven(self) -> FloatArray:
        """Share of each hour that is driven between stops, ``(hours,)``, 0 to 1."""
        share = np.zeros(self.hours)
        for leg in self.legs:
            whole = math.floor(leg.stop.drive_h)
            share[leg.arrives_h - whole : leg.arrives_h] = 1.0
            if leg.stop.drive_h > whole:
                share[leg.arrives_h - whole - 1] = leg.stop.drive_h - whole
        return share

    def on_the_road(self) -> BoolArray:
        """Whether any of the hour is driven between stops, ``(hours,)``."""
        return self.driven() > 0.0

    def charging(self) -> tuple[FloatArray, FloatArray]:
        """Share of each hour that is driven, and plugged in, each ``(hours,)``, 0 to 1.

        The van's own plans go on at each stop, counted from the arrival there.
        """
        driving, plugged = np.zeros(self.hours), np.zeros(self.hours)
        van = self.question.van
        for leg in self.legs:
            hours = slice(leg.arrives_h, leg.begins_h + leg.hours)
            times, timezone = leg.times[leg.arrives_h - leg.begins_h :], leg.place.timezone
            driving[hours], plugged[hours] = plans(van.alternator, van.shore, times, timezone)
            nights = span_share(
                times,
                timezone,
                begins_h=[24.0 * night + ARRIVAL_HOUR for night in range(leg.stop.plugged_nights)],
                duration_h=PLUGGED_H,
            )
            plugged[hours] = np.maximum(plugged[hours], nights)
        driven = self.driven()
        return np.maximum(driving, driven), np.where(driven > 0.0, 0.0, plugged)


def lay_out(question: Question, trip: Trip, *, source: str = "trip") -> Itinerary:
    """Find the places of a trip and put its hours in order.

    Parameters
    ----------
    question : Question
        The van and its people; its own place and dates play no part.
    trip : Trip
        Checked.
    source : str
        What the trip came from, for the messages.

    Raises
    ------
    PlaceError
        A stop's place that cannot be found; the stop is named by its number.
    InputError
        A drive that is longer than the hours between two arrivals, shore power without a charger
        aboard, or a question on a weather file or on fetched years.
    """
    if question.series is not None:
        message = (
            "the stops of a trip stand on the embedded climate; leave weather files and years out"
        )
        raise InputError(message, field="weather" if question.on_file else "climate")
    asked = []
    for number, (stop, dates) in enumerate(zip(trip.stops, trip.dates(), strict=True), 1):
        _refuse_shore(question, stop, source=f"{source}: stop {number}")
        place, climate = _found(stop.place, source=f"{source}: stop {number}")
        asked.append(_at_stop(question, stop, *dates, place, climate))
    legs = _legs(trip, asked, question.follow_days, source)
    last = legs[-1]
    return Itinerary(trip, asked[0], legs, last.arrives_h + 24 * last.nights)


def _legs(trip: Trip, asked: Sequence[Question], follow_days: int, source: str) -> tuple[Leg, ...]:
    dates = trip.dates()
    arrivals = [
        arrival_time(arrive, one.place.timezone, one.place.utc_offset_h)
        for (arrive, _), one in zip(dates, asked, strict=True)
    ]
    legs: list[Leg] = []
    begins_h = 0
    for index, (stop, one) in enumerate(zip(trip.stops, asked, strict=True)):
        before_h = math.ceil(stop.drive_h) if index == 0 else 0
        start = arrivals[index] - dt.timedelta(hours=before_h)
        if index + 1 < len(asked):
            hours = before_h + _hours_between(arrivals[index], arrivals[index + 1])
            _refuse_long_drive(trip, index + 1, hours - before_h, source)
        else:
            hours = max(before_h + 24 * dates[index][1], 24 * follow_days - begins_h)
        times = pd.date_range(start=start, periods=hours, freq="h", unit="us")
        legs.append(Leg(index + 1, stop, one, *dates[index], times, begins_h, begins_h + before_h))
        begins_h += hours
    return tuple(legs)


def _hours_between(one: dt.datetime, other: dt.datetime) -> int:
    # Offsets that differ by half an hour put the hours half an hour off; each arrival is on its
    # own, so that it never adds up.
    return round((other - one).total_seconds() / 3600.0)


def _refuse_long_drive(trip: Trip, index: int, hours: int, source: str) -> None:
    drive_h = trip.stops[index].drive_h
    if math.ceil(drive_h) >= hours:
        message = (
            f"got {drive_h:g}; must be below {max(hours, 0)}, the hours between the arrival at "
            f"stop {index} and this one"
        )
        raise InputError(message, source=f"{source}: stop {index + 1}", field="drive_h")


def _refuse_shore(question: Question, stop: Stop, *, source: str) -> None:
    shore = question.van.shore
    if stop.plugged_nights and (shore is None or shore.charger_a == 0.0):
        message = f"got {stop.plugged_nights}; must be 0: the van has no [shore] charger"
        raise InputError(message, source=source, field="plugged_nights")


def _found(text: str, *, source: str) -> tuple[Place, SiteClimate]:
    try:
        place = given_place(text)
        return place, load_site_climate(place)
    except PlaceError as error:
        raise PlaceError(
            error.message, source=source, field="place", choices=error.choices
        ) from None


def _at_stop(
    question: Question,
    stop: Stop,
    arrive: dt.date,
    nights: int,
    place: Place,
    climate: SiteClimate,
) -> Question:
    """The question at one stop."""
    stay = stay_with(
        question.van.stay,
        place=stop.place,
        start=arrive,
        days=nights,
        parking=stop.parking,
        brush_snow=stop.brush_snow,
    )
    horizon = question.horizon
    if stop.parking is not None:
        # What is known of one place's horizon does not hold where the stop says what stands there.
        stay, horizon = stay.model_copy(update={"horizon": None}), None
    profile = question.profile
    if stop.people is not None:
        profile = with_people(profile, stop.people)
    return dataclasses.replace(
        question,
        van=question.van.model_copy(update={"stay": stay}),
        profile=profile,
        place=place,
        climate=climate,
        horizon=horizon,
        notes=(),
    )


def with_stop(itinerary: Itinerary, number: int, **changed: float) -> Itinerary:
    """Return the itinerary with another drive to a stop, or other nights plugged in there.

    Parameters
    ----------
    itinerary : Itinerary
        Stops, dates and hours stay as they are.
    number : int
        1 for the first.
    **changed
        ``drive_h`` or ``plugged_nights``.
    """
    stops = tuple(
        stop.model_copy(update=changed) if index == number else stop
        for index, stop in enumerate(itinerary.trip.stops, 1)
    )
    legs = tuple(
        dataclasses.replace(leg, stop=stop) for leg, stop in zip(itinerary.legs, stops, strict=True)
    )
    trip = itinerary.trip.model_copy(update={"stops": stops})
    return dataclasses.replace(itinerary, trip=trip, legs=legs)
