"""Where the sun stands, against the solar position report, textbooks and other libraries."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.data.accuracy.light import textbook_sun_deg
from solarsim.data.accuracy.sun import COMPARISONS, GOLDEN, at_solar_time, crossing_min, sun_at
from solarsim.weather.record import Place
from solarsim.weather.sky.season import declination_rad, equation_of_time_h, sunset_angle_rad
from tests.checks.agree import assert_agrees, name_of

POSITION = [comparison for comparison in COMPARISONS if comparison.subject == "sun position"]
DAYS = np.arange(1, 367)


@pytest.mark.parametrize("comparison", POSITION, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


@pytest.mark.parametrize(
    ("date", "evening", "day", "rise", "transit", "set_"),
    [
        # NREL's solar position calculator for Golden, in pvlib 0.16's tests and in the report. It
        # counts days in universal time: a set after 17:00 there is that of the evening before.
        ("2015-01-02", "2015-01-02", 2, "07:21:55", "12:04:45", "16:47:43"),
        ("2015-08-02", "2015-08-01", 214, "05:00:27", "12:06:58", "19:13:58"),
        ("2003-10-17", "2003-10-16", 290, "06:12:43", "11:46:05", "17:20:19"),
    ],
)
def test_rise_transit_and_set_at_golden(date, evening, day, rise, transit, set_):
    def minutes(text):
        return pd.Timedelta(text) / pd.Timedelta(minutes=1)

    # The thin air of 1830 m lifts the sun by less than the 0.5667 degrees of the calculator, which
    # takes half a minute off each end.
    assert crossing_min(GOLDEN, date, "rise") - minutes(rise) == pytest.approx(0.5, abs=0.15)
    assert crossing_min(GOLDEN, date, "transit") == pytest.approx(minutes(transit), abs=0.1)
    assert crossing_min(GOLDEN, evening, "set") - minutes(set_) == pytest.approx(-0.5, abs=0.15)
    # The mean year's sundial and the geometric sunset, without refraction and the sun's radius,
    # which widen the day by 4 to 7 minutes at each end.
    shift_h = GOLDEN.longitude_deg / 15.0 - GOLDEN.utc_offset_h
    noon = 60.0 * (12.0 - shift_h - equation_of_time_h(np.array([day]))[0])
    half = 720.0 / np.pi * sunset_angle_rad(GOLDEN.latitude_deg, declination_rad(np.array([day])))
    assert noon == pytest.approx(minutes(transit), abs=0.3)
    assert noon - half[0] == pytest.approx(minutes(rise), abs=7.0)
    assert noon + half[0] == pytest.approx(minutes(set_), abs=7.0)


def test_noon_of_another_library():
    # npm suncalc 2.0.2, run: solar noon 10:09:29 UTC.
    kyiv = Place("", 50.5, 30.5, 0.0, "Etc/UTC", 0.0)
    noon = crossing_min(kyiv, "2013-03-05", "transit")
    assert noon == pytest.approx(10 * 60 + 9 + 29 / 60, abs=0.1)


def position_algorithm(year):
    """Declination and equation of time at each noon by the report's full algorithm."""
    from pvlib import spa

    days = 366 if pd.Timestamp(year=year, month=12, day=31).day_of_year == 366 else 365
    noons = pd.date_range(f"{year}-01-01 12:00", periods=days, freq="D", tz="UTC")
    seconds = noons.as_unit("s").asi8.astype(float)
    arguments = (seconds, 0.0, 0.0, 0.0, 1013.25, 12.0, 67.0, 0.5667)
    declination_deg = spa.solar_position(*arguments, sst=True)[2]
    return np.arange(1, days + 1), declination_deg, spa.solar_position(*arguments)[5]


@pytest.mark.parametrize("year", [2024, 2025, 2026, 2027, 2028])
def test_the_mean_year_stays_near_every_year(year):
    days, declination_deg, ahead_min = position_algorithm(year)
    assert np.abs(np.degrees(declination_rad(days)) - declination_deg).max() < 0.16
    assert np.abs(60.0 * equation_of_time_h(days) - ahead_min).max() < 0.3


def test_textbook_declinations_are_close_at_the_solstices_and_a_degree_off_in_autumn():
    # Cooper's 23.45 sin(360 (284 + n) / 365): why worked examples are compared at their own
    # declination and not on their own date.
    cooper_deg = 23.45 * np.sin(2.0 * np.pi * (284.0 + DAYS) / 365.0)
    off = np.abs(np.degrees(declination_rad(DAYS)) - cooper_deg)
    assert off[[171, 354]].max() < 0.1
    assert 0.9 < off.max() < 1.2
    assert off.argmax() + 1 in range(270, 310)


def test_equation_of_time_of_february_within_what_the_calendar_has_moved():
    # Duffie and Beckman, example 1.5.1: -13.5 min on 3 February, by a series fitted to the almanac
    # of 1950; the position algorithm has -13.6 to -13.8 min in 2024 to 2027.
    ahead_min = 60.0 * equation_of_time_h(np.array([34]))[0]
    assert ahead_min == pytest.approx(-13.5, abs=0.4)
    measured = [position_algorithm(year)[2][33] for year in (2024, 2025, 2026, 2027)]
    assert ahead_min == pytest.approx(np.mean(measured), abs=0.1)


@pytest.mark.parametrize(
    ("latitude", "declination", "hour_angle", "zenith", "west"),
    [
        # Duffie and Beckman, examples 1.6.2 and 1.6.3; Kalogirou, chapter 2 (65.7 W of S).
        (43.0, -13.95, -37.5, 66.5, -40.1),
        (43.0, 23.12, 97.5, 79.6, 112.0),
        (43.0, -2.42, 60.0, 70.33, 66.76),
        (40.0, 23.35, 30.0, 30.25, 65.7),
    ],
)
def test_worked_examples_with_their_own_declination(
    latitude, declination, hour_angle, zenith, west
):
    found = textbook_sun_deg(latitude, declination, hour_angle)
    assert found == pytest.approx((zenith, 180.0 + west), abs=0.1)


def test_the_real_sun_on_the_days_that_have_those_declinations():
    february = at_solar_time(43.0, "2026-02-11", 9.5)
    assert february.zenith_deg[0] == pytest.approx(66.5, abs=0.1)
    assert february.azimuth_deg[0] == pytest.approx(180.0 - 40.1, abs=0.1)
    july = at_solar_time(43.0, "2026-07-01", 18.5)
    assert july.azimuth_deg[0] == pytest.approx(180.0 + 112.0, abs=0.1)
    june = at_solar_time(40.0, "2026-06-15", 14.0)
    assert june.azimuth_deg[0] == pytest.approx(180.0 + 65.7, abs=0.2)


def test_sunset_of_the_worked_examples():
    def sunset_deg(latitude, declination):
        angle = sunset_angle_rad(latitude, np.radians(np.array([declination])))
        return np.degrees(angle[0])

    # Duffie and Beckman 1.6.3, 2.12.1; Rabl 31 N; FAO-56 example 8 (1.527 rad).
    assert sunset_deg(43.0, -2.42) == pytest.approx(87.74, abs=0.01)
    assert sunset_deg(43.0, 23.0) == pytest.approx(113.4, abs=0.1)
    assert sunset_deg(31.0, -13.46) == pytest.approx(81.7, abs=0.05)
    assert np.radians(sunset_deg(-20.0, np.degrees(0.120))) == pytest.approx(1.527, abs=5e-4)
    # Kalogirou: 14.83 h on 15 June at 40 N, from a declination of 23.35.
    assert sunset_deg(40.0, 23.35) / 7.5 == pytest.approx(14.83, abs=0.01)


@given(st.floats(-89.0, 89.0), st.integers(1, 366))
def test_day_and_night_share_24_hours_and_the_hemispheres_swap_them(latitude, day):
    declination = declination_rad(np.array([day]))
    north = sunset_angle_rad(latitude, declination)[0]
    south = sunset_angle_rad(-latitude, declination)[0]
    assert 0.0 <= north <= np.pi
    assert north + south == pytest.approx(np.pi, abs=1e-9)


@pytest.mark.parametrize(("latitude", "day", "angle"), [(68.0, 1, 0.0), (89.0, 182, np.pi)])
def test_polar_night_and_day_have_an_end_value(latitude, day, angle):
    assert sunset_angle_rad(latitude, declination_rad(np.array([day])))[0] == angle


@pytest.mark.slow
# The first call of the position algorithm imports it.
@settings(deadline=None)
@given(st.floats(-60.0, 60.0), st.floats(-180.0, 180.0), st.integers(0, 365))
def test_sun_is_where_spherical_trigonometry_puts_it(latitude, longitude, day):
    noon = pd.Timestamp("2026-01-01 12:00", tz="UTC") + pd.Timedelta(days=day)
    place = Place("", latitude, longitude, 0.0, "Etc/UTC", 0.0)
    found = sun_at(place, pd.DatetimeIndex([noon]))
    of_year = np.array([noon.day_of_year])
    angle = longitude + 15.0 * equation_of_time_h(of_year)[0]
    zenith, _ = textbook_sun_deg(latitude, np.degrees(declination_rad(of_year)[0]), angle)
    if zenith < 85.0:
        # 0.09 degrees of leap cycle and 0.2 of refraction near the horizon.
        assert found.zenith_deg[0] == pytest.approx(zenith, abs=0.35)
