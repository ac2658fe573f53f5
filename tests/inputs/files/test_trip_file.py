"""Trips from files: what is read, and what is said of a file that cannot be one."""

from __future__ import annotations

import datetime as dt

import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.trip import checked_trip, read_trip
from solarsim.inputs.trip import Stop

TOML = """
[trip]
name = "Two towns"
[[stops]]
place = "Umea, SE"
arrive = 2026-03-14
nights = 2
[[stops]]
place = "65.1, 21.5"
nights = 3
drive_h = 2
plugged_nights = 1
parking = "forest edge"
"""
CSV = """place,arrive,nights,drive_h,plugged_nights,parking
"Umea, SE",2026-03-14,,,,
"65.1, 21.5",2026-03-16,3,2,1,forest edge
"""


@pytest.fixture
def written(tmp_path):
    def write(text, name="trip.toml"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def test_the_shipped_trip_has_nine_stops_over_three_weeks():
    trip = read_trip("northern-spring")
    dates = trip.dates()
    assert len(dates) == 9
    assert sum(nights for _, nights in dates) == 21
    assert (dates[0][0], dates[-1][0]) == (dt.date(2026, 3, 14), dt.date(2026, 4, 2))


def test_a_csv_and_a_toml_give_the_same_stops(written):
    one, other = read_trip(written(TOML)), read_trip(written(CSV, "trip.csv"))
    assert one.dates() == other.dates() == ((dt.date(2026, 3, 14), 2), (dt.date(2026, 3, 16), 3))
    second = Stop(
        place="65.1, 21.5", nights=3, drive_h=2.0, plugged_nights=1, parking="forest edge"
    )
    assert one.stops[1] == second
    assert other.stops[1] == second.model_copy(update={"arrive": dt.date(2026, 3, 16)})
    assert (one.name, other.name) == ("Two towns", "trip")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("nights = 3", "nights = 0", "stop 2: nights: got 0; should be greater than or equal to 1"),
        ("nights = 3", "nihgts = 3", "stop 2: nihgts: unknown key; did you mean 'nights'?"),
        ("nights = 3\n", "", "stop 2: nights: is required"),
        ("nights = 2\n", "", "stop 1: nights: is required, or stop 2 its arrive"),
        ("arrive = 2026-03-14\n", "", "stop 1: arrive: is required and was not given"),
        ("arrive = 2026-03-14", "arrive = 1920-03-14", "stop 1: arrive: 1920-03-14 must lie"),
        ('place = "Umea, SE"\n', "", "stop 1: place: is required and was not given"),
        ("drive_h = 2", "drive_h = 24", "stop 2: drive_h: got 24; should be less than or equal"),
        ("drive_h = 2", "drive_h = nan", "stop 2: drive_h: got nan"),
        ("plugged_nights = 1", "plugged_nights = 4", "plugged_nights (4) must be at most"),
        ("forest edge", "forest", "stop 2: parking: got 'forest'; should be 'open field'"),
        (
            "nights = 3",
            "nights = 3\narrive = 2026-03-13",
            "stop 2: arrive: got 2026-03-13; must be after 2026-03-14, the arrival at stop 1",
        ),
        (
            "nights = 3",
            "nights = 3\narrive = 2026-03-15",
            "the 2 nights of stop 1 end on 2026-03-16: the two overlap",
        ),
        (
            "nights = 3",
            "nights = 3\narrive = 2026-03-18",
            "the 2 nights of stop 1 end on 2026-03-16: the two leave a gap",
        ),
        ("nights = 3", "nights = 364", "all stops together have 366 nights; at most 365"),
        ("[[stops]]", "[[stop]]", "stop"),
    ],
)
def test_a_fault_is_told_with_the_file_the_stop_and_the_field(written, old, new, words):
    assert old in TOML
    path = written(TOML.replace(old, new))
    with pytest.raises(InputError) as told:
        read_trip(path)
    assert str(told.value).startswith(path)
    assert words in str(told.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("town,nights\nGent,2\n", "line 1: needs a heading 'place'"),
        ("place,nights\nGent,2,3\n", "line 2: holds more cells than the 2 headings"),
        ("place,arrive,nights\nGent,14.3.2026,2\n", "stop 1: arrive: got '14.3.2026'"),
        ("place,arrive,nights\nGent,2026-03-14,two\n", "stop 1: nights: got 'two'"),
        ("place,arrive,nights\nGent,2026-03-14,1.5\n", "stop 1: nights: got '1.5'"),
        ("place,arrive,plugged\nGent,2026-03-14,1\n", "did you mean 'plugged_nights'?"),
        ("place,arrive\n", "stops"),
        ("", "line 1"),
    ],
)
def test_a_fault_of_a_csv_is_told_likewise(written, text, words):
    path = written(text, "trip.csv")
    with pytest.raises(InputError) as told:
        read_trip(path)
    assert str(told.value).startswith(path)
    assert words in str(told.value)


def test_a_trip_changed_past_its_checks_is_checked():
    trip = read_trip("northern-spring")
    stop = trip.stops[2].model_copy(update={"drive_h": -1.0})
    broken = trip.model_copy(update={"stops": (*trip.stops[:2], stop)})
    with pytest.raises(InputError, match=r"trip: stop 3: drive_h: got -1\.0"):
        checked_trip(broken)


def test_an_unknown_trip_is_told_with_those_that_ship():
    with pytest.raises(InputError, match="shipped: northern-spring"):
        read_trip("southern-autumn")
