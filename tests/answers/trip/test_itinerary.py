"""Trips that cannot be laid out are told by stop and field."""

from __future__ import annotations

import datetime as dt

import pytest

from solarsim.answers.question import ask
from solarsim.answers.trip.changes import trip_levers
from solarsim.answers.trip.itinerary import lay_out
from solarsim.answers.trip.trip import trip
from solarsim.errors import InputError, PlaceError
from solarsim.inputs.trip import Stop, Trip

FIRST = Stop(place="Lulea, SE", arrive=dt.date(2026, 3, 14), nights=1)


def laid_out(*stops, **asked):
    return lay_out(ask(runs=1, **asked), Trip(stops=(FIRST, *stops)), source="tour.toml")


def test_an_unknown_town_is_told_with_choices():
    with pytest.raises(PlaceError) as told:
        laid_out(Stop(place="Springfield", nights=1))
    assert str(told.value).startswith("tour.toml: stop 2: place: ")
    assert len(told.value.choices) > 1


def test_a_place_at_sea_is_told():
    with pytest.raises(PlaceError, match=r"tour\.toml: stop 2: place: "):
        laid_out(Stop(place="50, -30", nights=1))


def test_a_drive_that_does_not_fit_is_told():
    # An hour is lost on the way east.
    with pytest.raises(InputError, match=r"stop 2: drive_h: got 23; must be below 23, the hours"):
        laid_out(Stop(place="Tornio, FI", nights=1, drive_h=23.0))


def test_shore_power_without_a_charger_is_told():
    with pytest.raises(InputError, match=r"stop 2: plugged_nights: got 1; must be 0"):
        laid_out(
            Stop(place="Kalix, SE", nights=1, plugged_nights=1), settings=["shore.charger_a=0"]
        )


def test_half_hours_between_zones_do_not_add_up():
    # Adelaide's clocks are half an hour off Sydney's.
    there = Trip(
        stops=tuple(
            Stop(place=place, nights=1, arrive=dt.date(2026, 6, 1) if index == 0 else None)
            for index, place in enumerate(("Sydney, AU", "Adelaide, AU") * 4)
        )
    )
    itinerary = lay_out(ask(runs=1), there)
    for leg in itinerary.legs:
        local = leg.times[0].tz_convert(leg.place.timezone)
        assert (local.date(), local.hour, local.minute) == (leg.arrive, 17, 0)
        true_h = (leg.times[0] - itinerary.legs[0].times[0]).total_seconds() / 3600.0
        assert abs(true_h - leg.begins_h) <= 0.5


def test_a_drive_to_the_first_stop_begins_the_trip():
    stop = FIRST.model_copy(update={"nights": 2, "drive_h": 2.5})
    question = ask(runs=5, settings=["stay.start_soc=0.3"])
    itinerary = lay_out(question, Trip(stops=(stop,)))
    leg = itinerary.legs[0]
    # On whole hours: half an hour of the first is driven.
    assert leg.times[0].tz_convert("Europe/Stockholm").hour == 14
    assert (leg.arrives_h, itinerary.counted_h) == (3, 3 + 48)
    assert itinerary.charging()[0][:4].tolist() == [0.5, 1.0, 1.0, 0.0]
    answer = trip(question, Trip(stops=(stop,)), with_changes=False)
    assert answer.soc.p50[0] == pytest.approx(0.3)
    assert answer.stops[0].soc_arrival.p10 > 0.3
    assert answer.stops[0].arrives == "2026-03-14T17:00+01:00"


def test_an_hour_s_drive_more_is_an_hour_more():
    itinerary = laid_out(
        Stop(place="Kalix, SE", nights=1, drive_h=1.5), settings=["alternator.dcdc_a=30"]
    )
    tried, _ = trip_levers(itinerary)
    (more,) = (one for one in tried if one.name.startswith("an hour's drive more"))
    assert more.stop == 2
    drives_h = [leg.stop.drive_h for leg in more.case.itinerary.legs]
    assert drives_h == [itinerary.legs[0].stop.drive_h, 2.5]
