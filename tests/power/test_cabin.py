"""The cabin's temperature, and the appliances that respond to it."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.inputs.profile import Cabin
from solarsim.power.appliance import local_clock
from solarsim.power.cabin import cabin_hours, wet_bulb_c
from solarsim.power.demand import build_demand
from tests.power.demand_by_hand import NO_GAINS, load, profile
from tests.power.weather_by_hand import weather_by_hand


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


def test_windows_are_half_open_halfway_to_fully_open():
    # Without them 100 W of sun on 50 W/K bring so light a cabin to 26 degrees C within the hour:
    # 2 of the 4 K above 24 (the 4 K are common practice, no source).
    weather = weather_by_hand(24.0, ghi_w_m2=100.0, hours=200)
    cabin = Cabin(
        heat_loss_w_k=50.0,
        heat_capacity_wh_k=10.0,
        people=0,
        solar_gain_m2=1.0,
        vent_above_c=24.0,
        vent_loss_w_k=200.0,
    )
    hours = cabin_hours(cabin, weather, local_clock(weather.times, weather.place.timezone))
    assert hours.temp_c[-1, 0] == pytest.approx(24.0 + 100.0 / (50.0 + 0.5 * 200.0), abs=0.01)
