"""Demand: local clock, energy, variation, and the shipped profiles."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from solarsim.inputs.profile import read_profile
from solarsim.power.appliance import local_clock, unit_mean_factors, window_share
from solarsim.power.demand import build_demand
from tests.power.demand_by_hand import load, profile
from tests.power.weather_by_hand import changing_weather, weather_by_hand

# --- clock ---


def test_a_load_stays_on_the_clock_when_clocks_change():
    # 29 March 2026: 2:00 becomes 3:00 in Vienna; stamps stay at UTC+1.
    weather = weather_by_hand(
        hours=72, start="2026-03-28T00:00", timezone="Europe/Vienna", utc_offset_h=1.0
    )
    kettle = load(hours_per_day=1, windows=[[7, 8]])
    watts = build_demand(profile(kettle), weather, seed=1).dc_w[0]
    assert np.flatnonzero(watts).tolist() == [7, 24 + 6, 48 + 6]


def test_a_load_runs_twice_in_the_hour_that_comes_twice():
    # 25 October 2026: 3:00 becomes 2:00.
    weather = weather_by_hand(
        hours=48, start="2026-10-25T00:00", timezone="Europe/Vienna", utc_offset_h=1.0
    )
    watts = build_demand(profile(load(hours_per_day=1, windows=[[2, 3]])), weather, seed=1).dc_w[0]
    # 0:00 standard is 1:00 summer; 2:00 comes at 0:00 UTC and again at 1:00 UTC.
    assert np.flatnonzero(watts).tolist() == [1, 2, 26]


def test_a_leap_day_is_a_day_of_its_own():
    weather = weather_by_hand(hours=72, start="2028-02-28T00:00")
    kettle = load(hours_per_day=1, windows=[[7, 8]], weekdays=["tue"])
    watts = build_demand(profile(kettle), weather, seed=1).dc_w[0]
    assert weather.times[24].strftime("%A %d %B") == "Tuesday 29 February"
    assert np.flatnonzero(watts).tolist() == [31]


def test_a_window_across_midnight_belongs_to_the_day_it_starts_on():
    weather = weather_by_hand(hours=96, start="2026-01-16T00:00")  # a Friday
    party = load(hours_per_day=4, windows=[[22, 2]], weekdays=["fri"])
    watts = build_demand(profile(party), weather, seed=1).dc_w[0]
    assert np.flatnonzero(watts).tolist() == [22, 23, 24, 25]


def test_half_hour_offsets_split_hours():
    times = pd.date_range("2026-01-12T23:00+05:30", periods=3, freq="h")
    clock = local_clock(times, "Asia/Kathmandu")  # UTC+5:45
    assert clock.start_h.tolist() == [23.25, 0.25, 1.25]
    shares = window_share([(0.0, 1.0)], clock)
    assert shares[0].tolist() == [0.0, 0.75, 0.0]
    assert shares[-1].tolist() == [0.25, 0.0, 0.0]


def test_a_year_of_watts_follows_the_calendar():
    common = np.repeat(np.arange(365.0), 24)
    leap = np.repeat(np.arange(366.0), 24)
    weather = weather_by_hand(hours=72, start="2028-02-28T00:00")
    for watts, days in ((common, [58, 58, 59]), (leap, [58, 59, 60])):
        demand = build_demand(profile(hourly={"dc_w": watts.tolist()}), weather, seed=1)
        assert demand.dc_w[0, ::24].tolist() == days
    weather = weather_by_hand(hours=48, start="2026-02-28T00:00")
    for watts, days in ((common, [58, 59]), (leap, [58, 60])):
        demand = build_demand(profile(hourly={"dc_w": watts.tolist()}), weather, seed=1)
        assert demand.dc_w[0, ::24].tolist() == days


def test_a_day_of_watts_repeats_on_the_local_clock():
    weather = weather_by_hand(
        hours=48, start="2026-07-01T00:00", timezone="Europe/Vienna", utc_offset_h=1.0
    )
    demand = build_demand(profile(hourly={"ac_w": list(range(24))}), weather, seed=1)
    assert demand.ac_w[0, :3].tolist() == [1.0, 2.0, 3.0]
    assert demand.ac_w[0, 23] == 0.0
    np.testing.assert_allclose(demand.ac_square_w2, demand.ac_w**2)
    assert not demand.dc_w.any()


# --- energy within the hour ---


def test_hours_times_watts_times_count():
    weather = weather_by_hand(hours=96)
    demand = build_demand(
        profile(load(count=3, minutes_per_day=30, windows=[[7, 9], [18.5, 21]], standby_w=1.0)),
        weather,
        seed=1,
    )
    daily_wh = demand.dc_w.reshape(4, 24).sum(axis=1)
    expected_wh = 3 * (100 * 0.5 + 1.0 * 23.5)
    np.testing.assert_allclose(daily_wh, expected_wh)
    assert demand.wh_per_day["x"] == pytest.approx(expected_wh)
    assert demand.dc_peak_w[0, 18] == 300.0
    assert demand.dc_peak_w[0, 12] == 3.0


def test_mean_square_and_on_share_of_independent_appliances():
    weather = weather_by_hand(hours=24)
    hob = load("hob", 1800.0, current="ac", minutes_per_day=20, windows=[[18, 19]])
    fan = load("fan", 200.0, current="ac", minutes_per_day=30, windows=[[18, 19]])
    demand = build_demand(profile(hob, fan), weather, seed=1)
    outcomes = [
        (p * q, 1800.0 * a + 200.0 * b)
        for a, p in ((1, 1 / 3), (0, 2 / 3))
        for b, q in ((1, 1 / 2), (0, 1 / 2))
    ]
    assert demand.ac_w[0, 18] == pytest.approx(sum(p * w for p, w in outcomes))
    assert demand.ac_square_w2[0, 18] == pytest.approx(sum(p * w * w for p, w in outcomes))
    assert demand.ac_on_share[0, 18] == pytest.approx(1 - 2 / 3 * 1 / 2)
    assert demand.ac_peak_w[0, 18] == 2000.0
    assert demand.ac_on_share[0, 12] == demand.ac_peak_w[0, 12] == 0.0


def test_ac_standby_keeps_the_inverter_on():
    clock_radio = load(current="ac", minutes_per_day=30, windows=[[12, 13]], standby_w=4.0)
    demand = build_demand(profile(clock_radio), weather_by_hand(hours=24), seed=1)
    assert (demand.ac_on_share == 1.0).all()
    assert demand.ac_w[0, 3] == 4.0
    assert demand.ac_square_w2[0, 3] == 16.0
    assert demand.ac_square_w2[0, 12] == pytest.approx(0.5 * 100.0**2 + 0.5 * 4.0**2)


# --- variation ---


@pytest.mark.parametrize("largest", [1.2, 2.0, 10.0, 1000.0])
def test_factors_keep_their_mean_and_their_limit(largest):
    normals = np.random.default_rng(3).standard_normal(400_000)
    factors = unit_mean_factors(normals, 0.6, largest)
    assert factors.mean() == pytest.approx(1.0, abs=0.004)
    assert factors.max() <= largest
    if largest == 1000.0:
        assert factors.std() == pytest.approx(0.6, abs=0.01)


def test_a_load_that_fills_its_window_cannot_vary():
    assert (unit_mean_factors(np.array([-2.0, 3.0]), 0.5, 1.0) == 1.0).all()


def test_days_and_runs_differ_and_keep_the_stated_energy():
    weather = weather_by_hand(runs=400, hours=30 * 24)
    varying = load(hours_per_day=2.0, windows=[[7, 9], [18, 21]], variation_share=0.4)
    demand = build_demand(profile(varying), weather, seed=5)
    daily_wh = demand.dc_w.reshape(400, 30, 24).sum(axis=2)
    assert daily_wh.mean() == pytest.approx(200.0, rel=0.01)  # standard error 0.3 %
    assert daily_wh.std() == pytest.approx(80.0, rel=0.1)
    # No memory from day to day.
    assert abs(np.corrcoef(daily_wh[:, 0], daily_wh[:, 1])[0, 1]) < 0.15
    assert demand.wh_per_day["x"] == pytest.approx(daily_wh.mean())


def test_another_seed_gives_other_days():
    weather = weather_by_hand(runs=2, hours=48)
    varying = profile(load(hours_per_day=2.0, variation_share=0.4))
    first, again, other = (build_demand(varying, weather, seed=seed).dc_w for seed in (5, 5, 6))
    np.testing.assert_array_equal(first, again)
    assert not np.isclose(first, other).any()


def test_switching_an_appliance_off_leaves_the_others_as_they_were():
    weather = weather_by_hand(runs=3, hours=72)
    loads = [load(name, hours_per_day=2.0, variation_share=0.4) for name in "abc"]
    every = build_demand(profile(*loads), weather, seed=5)
    without = [load("a", hours_per_day=2.0, variation_share=0.4, enabled=False), *loads[1:]]
    alone = [dict(item, enabled=item["name"] == "a") for item in loads]
    parts = [build_demand(profile(*some), weather, seed=5) for some in (without, alone)]
    np.testing.assert_allclose(parts[0].dc_w + parts[1].dc_w, every.dc_w, rtol=1e-12)


def test_a_longer_stay_starts_with_the_same_days():
    mixed = read_profile("remote-workers")
    weather = changing_weather(hours=24 * 12)
    longer = build_demand(mixed, weather, seed=2)
    week = changing_weather(hours=24 * 12)
    cut = weather_by_hand(
        week.temp_air_c[:, :168], ghi_w_m2=week.ghi_w_m2[:, :168], runs=5, hours=168
    )
    shorter = build_demand(mixed, cut, seed=2)
    np.testing.assert_array_equal(longer.dc_w[:, :168], shorter.dc_w)
    np.testing.assert_array_equal(longer.ac_square_w2[:, :168], shorter.ac_square_w2)


# --- shipped profiles ---


@pytest.mark.parametrize(
    ("name", "low_wh", "high_wh"),
    [("weekend-couple", 700, 1200), ("remote-workers", 2500, 4000), ("ski-trip", 900, 1500)],
)
@pytest.mark.parametrize("mean_c", [-6.0, 0.0, 4.0])
def test_shipped_profiles_use_what_such_people_use_in_winter(name, low_wh, high_wh, mean_c):
    demand = build_demand(read_profile(name), changing_weather(mean_c=mean_c, hours=336), seed=1)
    total_wh = 24.0 * (demand.dc_w.mean() + demand.ac_w.mean())
    assert low_wh <= total_wh <= high_wh
    assert sum(demand.wh_per_day.values()) == pytest.approx(total_wh, rel=1e-9)


@pytest.mark.parametrize("mean_c", [0.0, 15.0, 24.0])
def test_chunks_of_runs_are_the_same_to_the_last_bit(mean_c):
    loads = read_profile("remote-workers")
    weather = changing_weather(runs=7, mean_c=mean_c)
    whole = build_demand(loads, weather, seed=9, first_run=3)
    for first, runs in ((0, 1), (1, 2), (3, 4)):
        part = slice(first, first + runs)
        chunk = weather_by_hand(
            weather.temp_air_c[part],
            ghi_w_m2=weather.ghi_w_m2[part],
            runs=runs,
            hours=weather.hours,
        )
        demand = build_demand(loads, chunk, seed=9, first_run=3 + first)
        for name in ("dc_w", "ac_w", "ac_square_w2", "ac_on_share", "dc_peak_w", "cabin_temp_c"):
            expected = np.broadcast_to(getattr(whole, name), (7, weather.hours))[part]
            np.testing.assert_array_equal(
                np.broadcast_to(getattr(demand, name), expected.shape), expected, err_msg=name
            )


def test_defaults_of_the_cabin_are_noted():
    demand = build_demand(read_profile("ski-trip"), weather_by_hand(), seed=1)
    assert any("49 W/K, estimated for good insulation" in note for note in demand.notes)
    assert math.isfinite(demand.dc_w.sum())


def test_a_cabin_that_two_profiles_share_changes_no_watt():
    """Only heaters, coolers and the cabin itself decide whether it may be taken over."""
    weather = changing_weather(runs=3, mean_c=22.0, hours=72)
    loads = read_profile("remote-workers")
    base = build_demand(loads, weather, seed=2)
    for gone in loads.appliances:
        left = tuple(one for one in loads.appliances if one is not gone)
        changed = loads.model_copy(update={"appliances": left})
        alone = build_demand(changed, weather, seed=2)
        beside = build_demand(changed, weather, seed=2, like=(loads, None, base))
        assert beside == alone
        follows = gone.enabled and gone.response not in ("none", "fridge")
        assert (beside.cabin is base.cabin) is not follows
