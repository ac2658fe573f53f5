"""Light on a tilted panel against worked examples and identities."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.data.accuracy.light import COMPARISONS, split_hour, textbook_sun_deg, tilted_w_m2
from solarsim.solar.light import beam_factors
from solarsim.weather.synthesis.hourly_light import diffuse_share
from tests.checks.agree import assert_agrees, name_of

PLANE = [
    comparison for comparison in COMPARISONS if comparison.subject == "light on a tilted panel"
]


@pytest.mark.parametrize("comparison", PLANE, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


def on_plane(latitude, declination, hour_angle, tilt, azimuth):
    zenith, sun_azimuth = textbook_sun_deg(latitude, declination, hour_angle)
    projection, _ = beam_factors(np.array([zenith]), np.array([sun_azimuth]), tilt, azimuth)
    return projection[0], np.cos(np.radians(zenith)), zenith, sun_azimuth


@pytest.mark.parametrize(
    ("latitude", "declination", "hour_angle", "tilt", "azimuth", "ratio"),
    [
        # Duffie and Beckman, examples 1.8.1 to 1.8.3 and 2.15.1.
        (43.0, -14.0, -22.5, 45.0, 195.0, 1.66),
        (40.0, -13.0, -37.5, 30.0, 180.0, 1.61),
        (40.0, -13.0, -37.5, 50.0, 180.0, 1.79),
        (40.0, -11.58, -37.5, 60.0, 180.0, 1.71),
    ],
)
def test_beam_on_the_plane_over_beam_on_the_flat(
    latitude, declination, hour_angle, tilt, azimuth, ratio
):
    on_tilt, on_flat, *_ = on_plane(latitude, declination, hour_angle, tilt, azimuth)
    assert on_tilt / on_flat == pytest.approx(ratio, abs=0.01)


def test_angle_of_incidence_of_the_worked_example():
    # Duffie and Beckman, example 1.6.1: 0.817, 35.0 degrees; 35.16 without the book's rounding.
    projection, *_ = on_plane(43.0, -13.95, -22.5, 45.0, 195.0)
    assert projection == pytest.approx(0.817, abs=1e-3)
    assert np.degrees(np.arccos(projection)) == pytest.approx(35.16, abs=0.02)


def test_worked_hour_piece_by_piece():
    # Duffie and Beckman, example 2.15.1 in MJ/m2: 40 N, 20 February, 9 to 10 h, 60 S, albedo 0.6.
    projection, cosine, zenith, azimuth = on_plane(40.0, -11.58, -37.5, 60.0, 180.0)
    share = diffuse_share(np.array([1.04 / 2.335]))[0]
    assert share == pytest.approx(0.7655, abs=1e-3)
    diffuse, sun = share * 1.04, {"zenith_deg": zenith, "sun_azimuth_deg": azimuth}
    beam_mj = 1.04 - diffuse
    beam = tilted_w_m2(60.0, ghi_w_m2=beam_mj, dni_w_m2=beam_mj / cosine, **sun)
    assert beam == pytest.approx(0.418, abs=0.003)
    assert beam == pytest.approx(beam_mj * projection / cosine, rel=1e-9)
    even = tilted_w_m2(60.0, ghi_w_m2=diffuse, dhi_w_m2=diffuse, **sun)
    assert even == pytest.approx(0.597, abs=1e-3)
    snow = tilted_w_m2(60.0, ghi_w_m2=1.04, albedo=0.6, **sun)
    assert snow == pytest.approx(0.156, abs=1e-3)
    whole = {"ghi_w_m2": 1.04, "dhi_w_m2": diffuse, "dni_w_m2": beam_mj / cosine}
    assert tilted_w_m2(60.0, albedo=0.6, **whole, **sun) == pytest.approx(1.17, abs=0.005)


@settings(deadline=None, max_examples=50)
@given(st.floats(1.0, 1200.0), st.floats(0.0, 84.0), st.floats(0.0, 360.0), st.floats(0.0, 1.0))
def test_a_flat_panel_has_the_global_light_whatever_the_ground(ghi, zenith, azimuth, albedo):
    dni, dhi = split_hour(ghi, zenith, "2019-03-21")
    found = tilted_w_m2(
        0.0,
        ghi_w_m2=ghi,
        dni_w_m2=dni,
        dhi_w_m2=dhi,
        dni_extra_w_m2=1380.0,
        zenith_deg=zenith,
        sun_azimuth_deg=azimuth,
        albedo=albedo,
    )
    assert found == pytest.approx(ghi, rel=1e-9)


@settings(deadline=None, max_examples=50)
@given(st.floats(1.0, 90.0), st.floats(0.0, 1.0))
def test_an_even_sky_and_a_white_ground_are_one(tilt, albedo):
    # Sky and ground view add up to one: with a ground as bright as the sky the tilt is nothing.
    light = {"ghi_w_m2": 100.0, "dhi_w_m2": 100.0}
    assert tilted_w_m2(tilt, albedo=1.0, **light) == pytest.approx(100.0, rel=1e-9)
    view = (1.0 - np.cos(np.radians(tilt))) / 2.0
    dimmer = tilted_w_m2(tilt, albedo=albedo, **light)
    assert dimmer == pytest.approx(100.0 * (1.0 - view * (1.0 - albedo)), rel=1e-9)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.0, 84.0), st.floats(0.0, 360.0))
def test_a_panel_that_faces_the_sun_has_the_whole_beam(zenith, azimuth):
    light = {"ghi_w_m2": 800.0 * np.cos(np.radians(zenith)), "dni_w_m2": 800.0}
    found = tilted_w_m2(zenith, azimuth, zenith_deg=zenith, sun_azimuth_deg=azimuth, **light)
    assert found == pytest.approx(800.0, rel=1e-9)
