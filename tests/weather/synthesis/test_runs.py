import dataclasses
import datetime as dt

import numpy as np
import pandas as pd
import pytest

from solarsim.inputs.calendar import stay_times
from solarsim.inputs.stay import Stay
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.record import Place, Weather
from solarsim.weather.sky.clear_sky import brightest_sky
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.synthesis.runs import synthesise

TEMPERATE = Place("temperate", 47.8, 13.04, 425.0, "Europe/Vienna", 1.0)
ARCTIC = Place("arctic", 69.6, 17.4, 10.0, "Europe/Oslo", 1.0)
INLAND = Place("inland of it", 69.0, 23.0, 330.0, "Europe/Oslo", 1.0)
SOUTH = Place("south", -33.9, 151.2, 30.0, "Australia/Sydney", 10.0)
OUTBACK = Place("outback", -23.7, 133.9, 550.0, "Australia/Darwin", 9.5)
FAR_WEST = Place("far west of its zone", 39.5, 76.0, 1290.0, "Asia/Shanghai", 8.0)
SAHEL = Place("desert under a hazy map", 16.8, -3.0, 260.0, "Africa/Bamako", 0.0)
PLACES = [TEMPERATE, ARCTIC, SOUTH, OUTBACK, FAR_WEST, SAHEL]

BY_RUN = [
    "ghi_w_m2",
    "dni_w_m2",
    "dhi_w_m2",
    "temp_air_c",
    "wind_speed_m_s",
    "relative_humidity",
    "snowfall_mm",
    "albedo",
]
OF_SUN = ["zenith_deg", "azimuth_deg", "dni_extra_w_m2"]


def weather(place, month=1, days=30, **options) -> Weather:
    times = stay_times(
        Stay(month=month, days=days), place.timezone, place.utc_offset_h, follow_days=days
    )
    options = {"runs": 6, "seed": 11} | options
    return synthesise(place, load_site_climate(place), times, **options)


def by_id(place):
    return place.name


def test_rows_do_not_depend_on_the_chunk():
    whole, part = weather(TEMPERATE, runs=10), weather(TEMPERATE, runs=3, first_run=4)
    for name in BY_RUN:
        assert np.array_equal(getattr(whole, name)[4:7], getattr(part, name)), name


@pytest.mark.parametrize("place", [TEMPERATE, ARCTIC], ids=by_id)
@pytest.mark.parametrize("month", [1, 3, 10])
def test_a_longer_horizon_leaves_earlier_hours_alone(place, month):
    long = weather(place, month)
    short = synthesise(place, load_site_climate(place), long.times[:200], runs=6, seed=11)
    for name in BY_RUN + OF_SUN:
        assert np.array_equal(getattr(long, name)[:, :200], getattr(short, name)), name


def test_seed_and_run_change_the_weather():
    one, other = weather(TEMPERATE), weather(TEMPERATE, seed=12)
    assert not np.array_equal(one.ghi_w_m2, other.ghi_w_m2)
    assert not np.array_equal(one.ghi_w_m2[0], one.ghi_w_m2[1])
    assert not np.array_equal(one.temp_air_c[0], one.temp_air_c[1])


@pytest.mark.parametrize("place", PLACES, ids=by_id)
def test_sun_is_the_sun_of_the_hours(place):
    made = weather(place)
    sun = sun_at_mid_hour(place, made.times)
    for name in OF_SUN:
        assert getattr(made, name).shape == (1, made.hours)
        assert getattr(made, name)[0] == pytest.approx(getattr(sun, name), abs=1e-9)


@pytest.mark.parametrize("place", PLACES, ids=by_id)
@pytest.mark.parametrize("month", [1, 6, 10])
def test_light_is_closed_bounded_and_dark_at_night(place, month):
    made = weather(place, month)
    cosine = np.cos(np.radians(made.zenith_deg))
    down = (made.zenith_deg >= 90.0)[0]
    for name in BY_RUN:
        assert getattr(made, name).shape == (6, 720), name
    for light in (made.ghi_w_m2, made.dni_w_m2, made.dhi_w_m2):
        assert (light >= 0.0).all()
        assert not light[:, down].any()
    beam = made.dni_w_m2 * np.maximum(cosine, 0.0)
    assert made.dhi_w_m2 + beam == pytest.approx(made.ghi_w_m2, abs=1e-9)
    assert (made.dni_w_m2 < made.dni_extra_w_m2).all()
    assert ((made.relative_humidity > 0.0) & (made.relative_humidity <= 1.0)).all()


@pytest.mark.parametrize("place", [TEMPERATE, ARCTIC, SOUTH, FAR_WEST], ids=by_id)
@pytest.mark.parametrize("month", [1, 4, 7])
def test_global_is_never_above_the_brightest_sky(place, month):
    made = weather(place, month, runs=20)
    clear = brightest_sky(
        place, sun_at_mid_hour(place, made.times), made.times.day_of_year.to_numpy()
    )
    assert (made.ghi_w_m2 <= clear.ghi_w_m2 * (1.0 + 1e-9)).all()
    assert (made.dni_w_m2 <= clear.dni_w_m2 * (1.0 + 1e-9)).all()


def test_clear_sky_that_is_too_hazy_for_the_climate_is_raised_and_told():
    assert not any("turbidity" in note for note in weather(TEMPERATE).notes)
    assert not any("turbidity" in note for note in weather(SAHEL, 12).notes)
    climate = load_site_climate(SAHEL)
    kt = np.tile(np.linspace(0.80, 0.85, 64), (12, 1))
    wanted = 0.825 * monthly_extraterrestrial_kwh_m2(SAHEL.latitude_deg)[0]
    bright = dataclasses.replace(climate, kt_quantiles=kt, ghi_kwh_m2_day=wanted)
    times = pd.date_range("2026-12-01", periods=31 * 24, freq="h", tz=dt.UTC)
    made = synthesise(SAHEL, bright, times, runs=50, seed=3, site_uncertainty=False)
    assert any("turbidity" in note for note in made.notes)
    assert made.ghi_w_m2.mean() * 0.024 == pytest.approx(wanted[11], rel=0.02)


def test_polar_night_is_dark_and_finite():
    made = weather(ARCTIC, 12)
    assert made.zenith_deg.min() > 90.0
    assert not made.ghi_w_m2.any()
    assert not made.dni_w_m2.any()
    assert not made.dhi_w_m2.any()
    assert np.ptp(made.temp_air_c) > 3.0


def test_midnight_sun_shines_at_midnight():
    made = weather(ARCTIC, 6)
    midnight = made.ghi_w_m2[:, made.times.hour == 0]
    assert (midnight > 0.0).any()
    assert midnight.mean() < 0.2 * made.ghi_w_m2[:, made.times.hour == 12].mean()


def test_seasons_are_turned_round_in_the_south():
    january, july = weather(SOUTH, 1, runs=40), weather(SOUTH, 7, runs=40)
    assert january.ghi_w_m2.mean() > 1.6 * july.ghi_w_m2.mean()
    assert january.temp_air_c.mean() > july.temp_air_c.mean() + 6.0


@pytest.mark.parametrize("place", [OUTBACK, FAR_WEST], ids=by_id)
def test_light_and_warmth_follow_the_sun_and_not_the_clock(place):
    made = weather(place, 6, runs=60)
    hours = made.times.hour.to_numpy() + 0.5
    light = np.array([made.ghi_w_m2[:, hours == hour].mean() for hour in np.arange(24) + 0.5])
    warmth = np.array([made.temp_air_c[:, hours == hour].mean() for hour in np.arange(24) + 0.5])
    noon_h = 12.0 + place.utc_offset_h - place.longitude_deg / 15.0
    centre_h = (light * (np.arange(24) + 0.5)).sum() / light.sum()
    assert centre_h == pytest.approx(noon_h, abs=0.15)
    assert warmth.argmax() + 0.5 == pytest.approx(noon_h + 1.86, abs=0.6)


def test_first_day_begins_with_the_arrival():
    made = weather(TEMPERATE, 6)
    assert made.times[0].hour in (16, 17)
    # The evening's light is that of an evening, not of a whole day pressed into it.
    assert made.ghi_w_m2[:, 0].max() < 700.0
    assert made.ghi_w_m2[:, 5].max() == 0.0


def test_mean_light_and_warmth_are_the_climate_s():
    climate = load_site_climate(TEMPERATE)
    whole_month = pd.date_range(
        "2026-04-01", periods=30 * 24, freq="h", tz=dt.timezone(dt.timedelta(hours=1))
    )
    made = synthesise(TEMPERATE, climate, whole_month, runs=400, seed=3, site_uncertainty=False)
    daily = made.ghi_w_m2.sum(axis=1) / 30.0 / 1000.0
    standard_error = daily.std() / np.sqrt(400)
    assert daily.mean() == pytest.approx(climate.ghi_kwh_m2_day[3], abs=3.5 * standard_error)
    warmth = made.temp_air_c.mean(axis=1)
    standard_error = warmth.std() / np.sqrt(400)
    assert warmth.mean() == pytest.approx(climate.temp_mean_c[3], abs=3.5 * standard_error + 0.1)
    assert made.wind_speed_m_s.mean() == pytest.approx(climate.wind_m_s, rel=0.03)


def test_site_uncertainty_widens_the_means_by_its_spread():
    sure = weather(TEMPERATE, 7, runs=300, site_uncertainty=False)
    unsure = weather(TEMPERATE, 7, runs=300)
    plain = sure.ghi_w_m2.mean(axis=1)
    # The same days on both sides: what differs is the site's factor alone.
    ratio = unsure.ghi_w_m2.mean(axis=1) / plain
    # Salzburg lies in the satellite's grid.
    assert ratio.std() == pytest.approx(0.04, abs=0.006)
    assert ratio.mean() == pytest.approx(1.0, abs=0.01)
    assert len(unsure.notes) == len(sure.notes) + 1


@pytest.mark.slow
def test_site_uncertainty_is_the_month_s_and_links_the_months():
    climate = load_site_climate(SOUTH)
    year = pd.date_range(
        "2026-01-01", periods=8760, freq="h", tz=dt.timezone(dt.timedelta(hours=10))
    )
    share = np.where(np.arange(12) < 6, 0.05, 0.1)
    unsure = dataclasses.replace(climate, ghi_error_share=share)
    light = []
    for uncertain in (False, True):
        made = synthesise(SOUTH, unsure, year, runs=250, seed=3, site_uncertainty=uncertain)
        by_month = [made.ghi_w_m2[:, year.month == month].mean(axis=1) for month in range(1, 13)]
        light.append(np.stack(by_month))
    off = light[1] / light[0] - 1.0
    # Lines between the months' middles flatten a single month's draw by a tenth.
    assert off[:5].std(axis=1).mean() == pytest.approx(0.05 * 0.92, rel=0.1)
    assert off[6:11].std(axis=1).mean() == pytest.approx(0.1 * 0.92, rel=0.1)
    # A third of the variance is the year's; neighbours share two thirds of the rest.
    links = np.corrcoef(off)
    assert np.mean([links[month, month + 1] for month in range(11)]) == pytest.approx(0.8, abs=0.1)
    assert np.mean([links[month, month + 5] for month in range(7)]) == pytest.approx(0.35, abs=0.12)


def test_no_jump_where_two_months_meet():
    climate = load_site_climate(TEMPERATE)
    steps = np.where(np.arange(12) % 2, 0.25, 0.6)[:, None]
    uneven = dataclasses.replace(
        climate, kt_quantiles=climate.kt_quantiles * 0.0 + steps + np.linspace(0.0, 0.1, 64)
    )
    times = pd.date_range(
        "2026-05-15", periods=60 * 24, freq="h", tz=dt.timezone(dt.timedelta(hours=1))
    )
    made = synthesise(TEMPERATE, uneven, times, runs=400, seed=3, site_uncertainty=False)
    daily = made.ghi_w_m2.reshape(400, 60, 24).sum(axis=-1).mean(axis=0)
    assert np.abs(np.diff(daily)).max() < 0.06 * daily.mean()


def test_snow_covers_the_ground_in_a_cold_winter_and_never_in_the_tropics():
    winter = weather(INLAND, 2, runs=30)
    assert winter.snowfall_mm.sum() > 0.0
    assert winter.albedo.mean() > 0.5
    assert not winter.snowfall_mm[winter.temp_air_c > 0.5].any()
    summer = weather(SAHEL, 5, runs=30)
    assert not summer.snowfall_mm.any()
    assert (summer.albedo == 0.2).all()


@pytest.mark.parametrize(
    ("times", "runs", "message"),
    [
        (pd.date_range("2026-01-01", periods=5, freq="h"), 1, "time zone"),
        (pd.date_range("2026-01-01", periods=5, freq="2h", tz="UTC"), 1, "hourly"),
        (pd.date_range("2026-01-01 00:30", periods=5, freq="h", tz="UTC"), 1, "whole hour"),
        (pd.date_range("2026-01-01", periods=0, freq="h", tz="UTC"), 1, "empty"),
        (pd.date_range("2026-01-01", periods=5, freq="h", tz="UTC"), 0, "runs is 0"),
    ],
)
def test_what_cannot_be_drawn_is_refused(times, runs, message):
    with pytest.raises(ValueError, match=message):
        synthesise(TEMPERATE, load_site_climate(TEMPERATE), times, runs=runs, seed=1)
