"""Fuel and a generator along a trip: by stop, in all, and on every front."""

from __future__ import annotations

import datetime as dt
import io

import pytest
from rich.console import Console

from solarsim.answers.generator import GENERATOR_CAUTION
from solarsim.answers.question import ask
from solarsim.answers.trip.trip import trip
from solarsim.inputs.trip import Stop, Trip
from solarsim.present.stay.fuel import NO_FUEL
from solarsim.present.trip.documents import csv_bytes, trip_document
from solarsim.present.trip.text import print_trip

# Two people in the cold, then four of them by the sea.
TOUR = Trip(
    stops=(
        Stop(place="Lulea, SE", arrive=dt.date(2026, 2, 6), nights=3, people=2),
        Stop(place="Seville, ES", nights=2, drive_h=3.0, people=4),
    )
)
SETTINGS = [
    *("stay.start_soc=0.5", "generator.power_w=800", "generator.windows=[[7, 20]]"),
    *("fuel.heat=diesel", "fuel.hot_water=diesel", "fuel.cooking=propane"),
]


@pytest.fixture(scope="module")
def driven():
    return trip(ask(runs=20, settings=SETTINGS), TOUR, with_changes=False)


def test_stops_make_up_the_whole_trip(driven):
    north, south = driven.stops
    assert set(north.fuel) == {"diesel", "propane", "petrol"}
    assert north.fuel["diesel"].p50 > 2.0 * south.fuel["diesel"].p50
    # Nothing but how many they are makes the difference: cooking is the same every day.
    days = [(stop.ends_h - stop.begins_h) / 24.0 for stop in driven.stops]
    propane = [stop.fuel["propane"].p50 for stop in driven.stops]
    assert propane[1] / days[1] > 1.5 * propane[0] / days[0]
    by_kind = {one.kind: one for one in driven.fuel.fuels}
    assert by_kind["propane"].per_stay.p50 == pytest.approx(sum(propane))
    for kind, one in by_kind.items():
        assert one.per_day.p90 * sum(days) == pytest.approx(one.per_stay.p90)
        assert min(stop.fuel[kind].p10 for stop in driven.stops) <= one.per_stay.p10
    assert any("each person aboard" in note for note in driven.fuel.notes)


def test_a_generator_s_fuel_is_what_its_socket_gave(driven):
    stops_wh = [stop.ledger_wh["generator"] for stop in driven.stops]
    assert stops_wh[0] > 0.0
    assert driven.ledger_wh["generator"] == pytest.approx(sum(stops_wh))
    (petrol,) = (one for one in driven.fuel.fuels if one.kind == "petrol")
    days = driven.stops[-1].ends_h / 24.0
    burnt_l = 0.6 * driven.ledger_wh["generator"] / 0.9 / 1000.0
    assert petrol.uses_per_day["generator"] * days == pytest.approx(burnt_l)
    assert GENERATOR_CAUTION in driven.warnings
    assert any("starts it at" in note for note in driven.notes)


def test_every_front_says_it(driven):
    out = io.StringIO()
    print_trip(driven, Console(file=out, width=500))
    text = out.getvalue()
    assert "Fuel by stop" in text
    assert "nine trips in ten burn no more than" in text
    assert "stays" not in text.split("Fuel beside the electricity")[1].split("Taken as given")[0]
    assert "generator" in text.split("Energy by stop")[1].split("in all")[0]
    document = trip_document(driven)
    assert document["fuel"]["diesel"]["per_stay"]["p90"] == driven.fuel.fuels[0].per_stay.p90
    assert set(document["stops"][0]["fuel"]["petrol"]) == {"p10", "p50", "p90"}
    assert "generator" in document["ledger_wh_per_day"]
    table = csv_bytes(driven).decode()
    assert "diesel_p90_l" in table
    assert "generator_wh" in table
    assert driven.frame()["petrol_p90_l"].iloc[-1] == document["fuel"]["petrol"]["per_stay"]["p90"]
    assert "nine trips of ten" in dict(driven.card().rows)["fuel"]


def test_a_van_that_names_no_fuel_says_that_none_is_counted():
    answer = trip(ask(runs=5), TOUR, with_changes=False)
    out = io.StringIO()
    print_trip(answer, Console(file=out, width=500))
    assert NO_FUEL in out.getvalue()
    document = trip_document(answer)
    assert "fuel" not in document
    assert not any("fuel" in stop or "generator" in stop["ledger_wh"] for stop in document["stops"])
