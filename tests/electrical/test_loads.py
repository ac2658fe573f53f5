"""Which loads may meet in an hour of the week, and which set is the largest."""

from __future__ import annotations

import pytest

from solarsim.electrical.loads import runs_in_week, worst_hour
from solarsim.inputs.profile import profile_from_data


def profile(*loads, **tables):
    return profile_from_data({"profile": {"name": "x"}, "appliances": loads} | tables, source="x")


def load(name, power_w, windows, **more):
    return {"name": name, "power_w": power_w, "minutes_per_day": 5.0, "windows": windows} | more


def worst(*loads, current="dc", **tables):
    return worst_hour(runs_in_week(profile(*loads, **tables), current))


def test_only_loads_whose_windows_touch_an_hour_add_up():
    got = worst(load("a", 100.0, [[7, 8]]), load("b", 50.0, [[8, 9]]), load("c", 70.0, [[8.5, 9]]))
    assert got.power_w == 120.0
    assert got.names == ("c", "b")


def test_weekdays_keep_loads_apart():
    weekend = load("a", 100.0, [[7, 8]], weekdays=["sat", "sun"])
    workday = load("b", 90.0, [[7, 8]], weekdays=["mon", "tue"])
    assert worst(weekend, workday).power_w == 100.0
    # A window past midnight belongs to the day on which it starts.
    late = load("c", 80.0, [[22, 8]], weekdays=["fri"])
    assert worst(weekend, workday, late).power_w == 180.0


def test_pieces_standby_and_what_is_switched_off():
    three = load("a", 10.0, [[7, 8]], count=3)
    off = load("b", 500.0, [[7, 8]], enabled=False)
    assert worst(three, off).power_w == 30.0
    idle = {"name": "box", "power_w": 40.0, "hours_per_day": 0.0, "standby_w": 2.0}
    assert worst(three, idle).power_w == 32.0


def test_currents_are_apart():
    ac = load("a", 900.0, [[7, 8]], current="ac")
    assert worst(load("b", 20.0, [[7, 8]]), ac).power_w == 20.0
    assert worst(load("b", 20.0, [[7, 8]]), ac, current="ac").power_w == 900.0


def test_heater_counts_with_its_glow_plug():
    heater = {
        "name": "heater",
        "power_w": 30.0,
        "low_power_w": 10.0,
        "heat_w": 2000.0,
        "low_heat_w": 900.0,
        "glow_w": 90.0,
        "glow_minutes": 5.0,
        "response": "heater",
    }
    assert worst(heater, cabin={"heater_set_point_c": 18.0}).power_w == 100.0


def test_hourly_watts_count_with_their_largest():
    hourly = {"dc_w": [5.0] * 23 + [60.0], "ac_w": [0.0] * 23 + [300.0]}
    got = worst(load("a", 10.0, [[7, 8]]), hourly=hourly)
    assert got.power_w == 70.0
    assert worst(load("a", 10.0, [[7, 8]]), current="ac", hourly=hourly).names == (
        "hourly AC watts",
    )


def test_nothing_runs():
    assert worst(load("a", 10.0, [[7, 8]]), current="ac").power_w == 0.0


@pytest.mark.parametrize(("surge_w", "extra_w"), [(None, 0.0), (500.0, 400.0)])
def test_one_piece_starts_at_a_time(surge_w, extra_w):
    more = {} if surge_w is None else {"surge_w": surge_w}
    (only,) = runs_in_week(profile(load("a", 100.0, [[7, 8]], count=2, **more)), "dc")
    assert (only.power_w, only.start_extra_w) == (200.0, extra_w)
