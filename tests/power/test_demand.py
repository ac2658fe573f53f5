"""Demand: local clock, energy, variation, cabin, and what responds to it."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from solarsim.power.appliance import local_clock, unit_mean_factors, window_share
from solarsim.power.cabin import cabin_hours, wet_bulb_c
from solarsim.power.demand import build_demand
from solarsim.spec.profile import Cabin, profile_from_data, read_profile
from tests.power.weather_by_hand import changing_weather, weather_by_hand

NO_GAINS = {"people": 0, "solar_gain_m2": 0.0}


def profile(*appliances, cabin=None, hourly=None):
    data = {"profile": {"name": "x"}, "appliances": list(appliances), "cabin": cabin or NO_GAINS}
    if hourly is not None:
        data["hourly"] = hourly
    return profile_from_data(data, source="x")


def load(name="x", power_w=100.0, **fields):
    return {"name": name, "power_w": power_w} | fields


def clock_of(demand):
    return demand.dc_w[0]


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


# --- cabin ---


def test_cabin_follows_the_exact_step_response():
    weather = weather_by_hand(np.where(np.arange(24) < 1, 20.0, 0.0), hours=24)
    cabin = Cabin(heat_loss_w_k=50.0, heat_capacity_wh_k=200.0, people=0, solar_gain_m2=0.0)
    clock = local_clock(weather.times, weather.place.timezone)
    hours = cabin_hours(cabin, weather, clock)
    ends_c = 20.0 * np.exp(-50.0 / 200.0 * np.arange(24))
    np.testing.assert_allclose(hours.temp_c[1:, 0], (ends_c[:-1] + ends_c[1:]) / 2, rtol=1e-12)


def test_settled_cabin_lies_above_outside_by_gain_over_loss():
    weather = weather_by_hand(5.0, ghi_w_m2=100.0, hours=200)
    cabin = Cabin(heat_loss_w_k=50.0, people=2, person_gain_w=70.0, solar_gain_m2=1.5)
    hours = cabin_hours(cabin, weather, local_clock(weather.times, weather.place.timezone))
    assert hours.temp_c[-1, 0] == pytest.approx(5.0 + (140.0 + 150.0) / 50.0)


def test_heater_holds_the_set_point_with_the_heat_that_is_lost():
    cabin = NO_GAINS | {"heater_set_point_c": 20.0, "heat_loss_w_k": 50.0}
    heater = load(
        "heater", 30.0, response="heater", heat_w=2000.0, low_heat_w=800.0, low_power_w=10.0
    )
    demand = build_demand(profile(heater, cabin=cabin), weather_by_hand(-5.0, hours=48), seed=1)
    # 50 W/K x 25 K = 1250 W, 3/8 of the way from 800 to 2000 W.
    np.testing.assert_allclose(demand.cabin_temp_c, 20.0)
    np.testing.assert_allclose(demand.dc_w, 10.0 + 20.0 * (1250.0 - 800.0) / 1200.0)


def test_a_heater_that_is_too_weak_says_so():
    cabin = NO_GAINS | {"heater_set_point_c": 20.0, "heat_loss_w_k": 100.0}
    heater = load("heater", 30.0, response="heater", heat_w=2000.0)
    demand = build_demand(profile(heater, cabin=cabin), weather_by_hand(-20.0, hours=96), seed=1)
    assert demand.cabin_temp_c[0, -1] == pytest.approx(-20.0 + 2000.0 / 100.0, abs=0.01)
    assert any("at its limit" in note for note in demand.notes)
    np.testing.assert_allclose(demand.dc_w[0, 24:], 30.0)


def test_a_cycling_heater_glows_at_each_start():
    cabin = NO_GAINS | {"heater_set_point_c": 20.0, "heat_loss_w_k": 50.0}
    heater = load(
        "heater",
        30.0,
        response="heater",
        heat_w=2000.0,
        low_heat_w=1000.0,
        low_power_w=12.0,
        glow_w=90.0,
        glow_minutes=4.0,
        starts_per_hour=2.0,
    )
    demand = build_demand(profile(heater, cabin=cabin), weather_by_hand(10.0, hours=24), seed=1)
    # 500 W of 1000 W: half the time on, where the thermostat cycles most.
    glow_wh = 90.0 * 4.0 / 60.0
    np.testing.assert_allclose(demand.dc_w[0, 1:], 12.0 * 0.5 + 2.0 * glow_wh)
    assert demand.dc_w[0, 0] == pytest.approx(12.0 * 0.5 + 3.0 * glow_wh)
    assert demand.dc_peak_w[0, 5] == 102.0


def test_two_heaters_share_the_heat_by_their_size():
    cabin = NO_GAINS | {"heater_set_point_c": 20.0, "heat_loss_w_k": 50.0}
    small = load("small", 10.0, response="heater", heat_w=1000.0)
    large = load("large", 10.0, response="heater", heat_w=3000.0)
    weather = weather_by_hand(0.0, hours=24)
    demand = build_demand(profile(small, large, cabin=cabin), weather, seed=1)
    assert demand.wh_per_day["small"] == pytest.approx(demand.wh_per_day["large"])
    np.testing.assert_allclose(demand.dc_w, 2 * 10.0 * 0.25)


def test_night_setting_and_windows_of_the_heater():
    cabin = NO_GAINS | {"heater_set_point_c": 20.0, "night_set_point_c": 12.0, "night": [22, 6]}
    heater = load("heater", 30.0, response="heater", heat_w=8000.0, windows=[[16, 10]])
    demand = build_demand(profile(heater, cabin=cabin), weather_by_hand(0.0, hours=72), seed=1)
    day = demand.cabin_temp_c[0, 24:48]
    assert day[20] == pytest.approx(20.0)
    assert day[5] == pytest.approx(12.0)
    assert day[15] < 5.0
    assert not demand.dc_w[0, 24 + 10 : 24 + 16].any()


def test_fridge_duty_is_linear_in_cabin_temperature():
    fridge = load("fridge", 50.0, response="fridge")
    watts = [
        build_demand(
            profile(fridge, cabin=NO_GAINS | {"vent_above_c": 60.0}),
            weather_by_hand(temp_c, hours=24),
            seed=1,
        ).dc_w[0, -1]
        for temp_c in (-20.0, 4.0, 14.0, 24.0, 34.0, 200.0)
    ]
    assert watts[0] == 0.0
    assert watts[1] == pytest.approx(50.0 * 0.055)
    np.testing.assert_allclose(np.diff(watts[1:5]), 50.0 * 0.15)
    assert watts[5] == 50.0


def test_fan_draws_by_the_cube_of_its_speed_and_rests_when_cool():
    fan = load("fan", 36.0, response="fan", start_above_c=25.0, full_at_c=35.0, low_speed_share=0.5)
    cabin = NO_GAINS | {"vent_above_c": 60.0}
    for temp_c, speed in ((20.0, 0.0), (30.0, 0.75), (40.0, 1.0)):
        demand = build_demand(profile(fan, cabin=cabin), weather_by_hand(temp_c, hours=24), seed=1)
        np.testing.assert_allclose(demand.dc_w, 36.0 * speed**3)


def test_a_fan_brings_the_cabin_towards_the_outside():
    weather = weather_by_hand(28.0, ghi_w_m2=700.0, hours=96)
    cabin = {"people": 0, "solar_gain_m2": 1.0}
    still = load("fan", 30.0, response="fan", airflow_m3_h=0.0)
    strong = load("fan", 30.0, response="fan", airflow_m3_h=1500.0)
    warm_c, cool_c = (
        build_demand(profile(fan, cabin=cabin), weather, seed=1).cabin_temp_c[0, -1]
        for fan in (still, strong)
    )
    assert 28.0 < cool_c < warm_c - 2.0


def test_wet_bulb_of_saturated_and_of_dry_air():
    # At saturation the wet bulb is the air's own temperature; the fit is within 0.3 K there.
    temps_c = np.array([5.0, 15.0, 25.0, 35.0])
    np.testing.assert_allclose(wet_bulb_c(temps_c, np.ones(4)), temps_c, atol=0.5)
    assert (np.diff(wet_bulb_c(np.full(9, 30.0), np.linspace(0.1, 0.9, 9))) > 0.0).all()


def test_evaporative_cooler_cools_dry_air_and_rests_in_humid():
    cooler = load(
        "cooler", 60.0, response="evaporative cooler", start_above_c=26.0, airflow_m3_h=800.0
    )
    cabin = {"people": 0}
    demands = [
        build_demand(
            profile(cooler, load("alarm", 1.0, hours_per_day=24), cabin=cabin),
            weather_by_hand(38.0, ghi_w_m2=500.0, relative_humidity=humidity, hours=72),
            seed=1,
        )
        for humidity in (0.1, 0.4, 0.85)
    ]
    dry, middling, humid = (demand.cabin_temp_c[0, -1] for demand in demands)
    assert dry < middling < 38.0 < humid
    assert humid - dry > 5.0
    assert demands[0].wh_per_day["cooler"] > 1000.0
    assert demands[2].wh_per_day["cooler"] == 0.0


def test_windows_never_cool_below_where_they_open():
    weather = weather_by_hand(10.0, ghi_w_m2=900.0, hours=96)
    demand = build_demand(
        profile(load(hours_per_day=1), cabin={"solar_gain_m2": 2.0}), weather, seed=1
    )
    assert demand.cabin_temp_c[0, -1] >= 24.0


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
    assert any("50 W/K" in note and "estimate" in note for note in demand.notes)
    assert math.isfinite(demand.dc_w.sum())
