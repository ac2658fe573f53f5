"""Where the climate says that it is not to be trusted, and the stations that stand beside it."""

import math

import pytest

from solarsim.data.stations.light import station_light_csv
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.doubts import DOUBTS, doubts_at
from solarsim.weather.climate.stations import STATION_FILE, near_stations, station_lights
from solarsim.weather.places import find_place


@pytest.mark.parametrize(
    ("place", "names"),
    [
        ("Hamburg, DE", []),
        ("Innsbruck", ["Narrow valleys"]),
        ("Madrid", ["Outside central Europe"]),
        ("Sapporo", ["Outside central Europe", "Snowy winters beside a warmer sea or lake"]),
        ("Papeete", ["Outside central Europe"]),
        ("Miami, FL, US", ["Outside central Europe", "Warm wet coasts"]),
        ("Walvis Bay", ["Outside central Europe", "Coasts with cool, foggy summers"]),
        ("Fairbanks", ["Outside central Europe", "Hollows in very cold winters"]),
    ],
)
def test_a_place_has_the_doubts_of_its_kind(place, names):
    where = find_place(place)
    climate = load_site_climate(where)
    assert [doubt.name for doubt in DOUBTS if doubt.concerns(where, climate)] == names
    told = doubts_at(where, climate)
    assert len(told) == len(names)
    assert not any("{" in text for text in told)


def test_there_are_six_and_each_says_what_is_known():
    assert len(DOUBTS) == 6
    assert all(len(doubt.short) < len(doubt.full) + 40 for doubt in DOUBTS)


def test_the_stations_are_those_that_the_tests_know():
    assert STATION_FILE.read_text(encoding="utf-8") == station_light_csv(), (
        "run: python -m solarsim.data.stations.light"
    )
    known = [value for one in station_lights() for value in one.ghi_kwh_m2_day]
    assert len(station_lights()) == 53
    assert sum(math.isnan(value) for value in known) == 0
    assert all(0.0 <= value < 9.0 for value in known)


def test_stations_nearby_are_near():
    near = near_stations(find_place("Obihiro"))
    assert [station.name for station in near] == ["station 47417"]
    assert near_stations(find_place("Madrid")) == ()
