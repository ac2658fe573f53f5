"""Light above the atmosphere, against FAO-56's tables, ASCE, textbooks and the hourly sun."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.sun import COMPARISONS
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import daily_extraterrestrial_kwh_m2, over_a_day_kwh_m2
from solarsim.weather.sky.season import declination_rad, sunset_angle_rad
from solarsim.weather.sky.sun import sun_at_mid_hour
from tests.checks.agree import assert_agrees, name_of

DATA = Path(__file__).parent / "data"
ABOVE = [comparison for comparison in COMPARISONS if comparison.subject == "above the atmosphere"]
# The 15th of each month, as the tables have it.
MIDDLES = np.array([15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349])
RADIATION = pd.read_csv(DATA / "extraterrestrial_radiation.csv", comment="#", index_col=0)
DAYLIGHT = pd.read_csv(DATA / "daylight_hours.csv", comment="#", index_col=0)


@pytest.mark.parametrize("comparison", ABOVE, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


def test_the_table_is_whole():
    assert RADIATION.index.tolist() == list(range(-60, 61, 2))
    assert RADIATION.shape == (61, 12)


@pytest.mark.parametrize("latitude", RADIATION.index)
def test_every_row_of_the_radiation_table(latitude):
    found_mj = 3.6 * daily_extraterrestrial_kwh_m2(float(latitude), MIDDLES.astype(float))
    # The table is rounded to 0.1; its own declination is not the one that the text prints.
    tolerance = 0.12 if abs(latitude) <= 50 else 0.17
    np.testing.assert_allclose(found_mj, RADIATION.loc[latitude], atol=tolerance)


@pytest.mark.parametrize("latitude", DAYLIGHT.index)
def test_daylight_hours_with_the_table_s_declination(latitude):
    declination = 0.409 * np.sin(2.0 * np.pi * MIDDLES / 365.0 - 1.39)
    hours = 24.0 / np.pi * sunset_angle_rad(float(latitude), declination)
    np.testing.assert_allclose(hours, DAYLIGHT.loc[latitude], atol=0.15)


@pytest.mark.parametrize("latitude", DAYLIGHT.index)
def test_daylight_hours_of_the_sun_s_own_declination(latitude):
    # Its autumn comes more slowly than the table's: up to 0.21 h longer days at 50 degrees.
    hours = 24.0 / np.pi * sunset_angle_rad(float(latitude), declination_rad(MIDDLES))
    np.testing.assert_allclose(hours, DAYLIGHT.loc[latitude], atol=0.25)


def test_asce_day():
    # ASCE-EWRI standardised reference evapotranspiration, in refet 0.4.2's tests: day 182,
    # declination 0.40295 rad, distance factor 0.967001, 41.648 MJ/m2.
    found_mj = 3.6 * over_a_day_kwh_m2(39.4575, np.array([0.40295]), 0.967001)[0]
    assert found_mj == pytest.approx(41.648, abs=2e-3)


def hourly_sun_kwh_m2(latitude):
    place = Place("", latitude, 0.0, 0.0, "Etc/UTC", 0.0)
    times = pd.date_range("2026-01-01", periods=8760, freq="h", tz="UTC", unit="us")
    sun = sun_at_mid_hour(place, times)
    light = sun.dni_extra_w_m2 * np.maximum(np.cos(np.radians(sun.zenith_deg)), 0.0)
    return light.reshape(365, 24).sum(axis=1) / 1000.0


@pytest.mark.parametrize(
    ("latitude", "lowest", "highest"),
    [
        (0.0, 0.99, 1.001),
        (-40.0, 0.995, 1.025),
        (40.0, 0.965, 1.002),
        (50.0, 0.95, 1.002),
        (60.0, 0.90, 1.002),
    ],
)
def test_daily_yardstick_against_the_hourly_sun(latitude, lowest, highest):
    # The calendar's sine runs ahead of the autumn: as the docstring says, and not more than that.
    # (Refraction of the low sun, which the hours have, adds 1 % at 60 degrees in winter.)
    month = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    daily = daily_extraterrestrial_kwh_m2(latitude, np.arange(1.0, 366.0))
    ratio = np.bincount(month, daily) / np.bincount(month, hourly_sun_kwh_m2(latitude))
    assert lowest < ratio.min()
    assert ratio.max() < highest
    # Around the solstice of summer it is exact.
    summer = 5 if latitude >= 0.0 else 11
    assert ratio[summer] == pytest.approx(1.0, abs=0.006)


@pytest.mark.parametrize("latitude", [0.0, 40.0, -50.0])
def test_a_day_of_the_real_declination_is_the_hourly_sun_s(latitude):
    # Formula of the day with the sun's own declination and distance.
    days = np.arange(1, 366)
    strength = 1.0 + 0.0334 * np.cos(2.0 * np.pi * (days - 3.0) / 365.25)
    daily = over_a_day_kwh_m2(latitude, declination_rad(days), strength)
    ratio = daily / hourly_sun_kwh_m2(latitude)
    assert np.abs(ratio - 1.0).max() < 0.02
    assert ratio.mean() == pytest.approx(1.0, abs=0.005)


@given(st.floats(-90.0, 90.0), st.floats(-0.409, 0.409))
def test_a_day_is_finite_not_negative_and_at_most_the_pole_s_in_summer(latitude, declination):
    light = over_a_day_kwh_m2(latitude, np.array([declination]))[0]
    assert 0.0 <= light <= 24.0 * 1.367 * np.sin(0.409) + 1e-9


@given(st.floats(0.0, 90.0), st.floats(0.0, 0.409))
def test_hemispheres_mirror_each_other(latitude, declination):
    north = over_a_day_kwh_m2(latitude, np.array([declination]))
    south = over_a_day_kwh_m2(-latitude, np.array([-declination]))
    assert north == pytest.approx(south, abs=1e-12)
    # Winter's day is not the brighter one.
    assert over_a_day_kwh_m2(latitude, np.array([-declination]))[0] <= north[0] + 1e-12


def test_polar_night_is_dark():
    assert daily_extraterrestrial_kwh_m2(68.0, np.array([1.0]))[0] == 0.0
    assert daily_extraterrestrial_kwh_m2(-68.0, np.array([182.0]))[0] == 0.0
    assert np.isfinite(daily_extraterrestrial_kwh_m2(80.0, np.arange(1.0, 367.0))).all()
