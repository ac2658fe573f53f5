"""Hours from a day's total, against worked examples, its own closure and two typical years."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.weather_statistics import (
    COMPARISONS,
    GREENSBORO,
    SAND_POINT,
    daily_clearness,
    hour_share,
    hours_of_days,
    profile_error_w_m2,
    typical_year,
)
from solarsim.weather.synthesis.hourly_light import profile_weights
from tests.checks.agree import assert_agrees, name_of

MIDDLES_DEG = 15.0 * (np.arange(24) + 0.5) - 180.0


@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


def test_coefficients_of_the_worked_examples():
    # Rabl: a 0.5947, b 0.4844 at sunset 81.7; Duffie and Beckman 2.13.2: 0.735, 0.351 at 100.5.
    for sunset_deg, a, b in ((81.7, 0.5947, 0.4844), (100.5, 0.735, 0.351)):
        sunset = np.radians(np.array([sunset_deg]))
        at_six, at_noon = profile_weights(np.array([np.pi / 2.0, 0.0]), sunset)
        assert at_six == pytest.approx(a, abs=1e-3)
        assert at_noon - at_six == pytest.approx(b, abs=1e-3)


@pytest.mark.parametrize(
    ("angle_deg", "share", "irradiance_w_m2"),
    [(7.5, 0.1521, 536.0), (22.5, 0.1357, 474.0), (37.5, 0.1061, 372.0)],
)
def test_worked_day_at_31_n(angle_deg, share, irradiance_w_m2):
    # Class example after Rabl, Active Solar Collectors, equations 3.6: 31 N, day 45, 12.64 MJ/m2.
    found = hour_share(angle_deg, 81.7)
    assert found == pytest.approx(share, abs=1e-4)
    assert found * 12.64e6 / 3600.0 == pytest.approx(irradiance_w_m2, abs=3.0)


def test_worked_hour_at_43_n():
    # Duffie and Beckman, example 2.13.2: 31.4 MJ/m2 on 23 August, 13 to 14 h: 3.70 MJ/m2.
    assert hour_share(22.5, 100.5) * 31.4 == pytest.approx(3.70, abs=0.03)


@pytest.mark.parametrize(
    ("sunset_deg", "integral"),
    [
        (60.0, 1.002),
        (70.0, 0.995),
        (75.0, 0.993),
        (80.0, 0.991),
        (90.0, 0.992),
        (100.0, 0.995),
        (110.0, 1.001),
        (120.0, 1.007),
    ],
)
def test_the_profile_nearly_closes(sunset_deg, integral):
    # The papers' reprints differ in the sign of b's sine: with the other one the day would hold
    # 1.00 to 1.55 of its light.
    angles = np.linspace(-sunset_deg, sunset_deg, 4001)
    shares = [hour_share(angle, sunset_deg) for angle in angles]
    assert np.trapezoid(shares, angles / 15.0) == pytest.approx(integral, abs=1e-3)


@given(st.floats(60.0, 120.0))
def test_mid_hours_close_within_two_percent_before_they_are_scaled(sunset_deg):
    lit = MIDDLES_DEG[np.abs(MIDDLES_DEG) < sunset_deg]
    assert sum(hour_share(angle, sunset_deg) for angle in lit) == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
def test_days_keep_their_light(name):
    year = typical_year(name)
    totals = year.ghi_w_m2.reshape(365, 24).sum(axis=1)
    ghi_w_m2, dhi_w_m2 = hours_of_days(year, own_hours=False)
    assert ghi_w_m2.sum(axis=1) == pytest.approx(totals, rel=1e-9)
    assert (dhi_w_m2 <= ghi_w_m2 + 1e-9).all()


@pytest.mark.parametrize(("name", "error_w_m2"), [(GREENSBORO, 15.0), (SAND_POINT, 12.6)])
def test_mean_days_of_typical_years(name, error_w_m2):
    # The published profile by itself, on FAO-56's sun, errs by 15 and 12.6 W/m2.
    assert profile_error_w_m2(name) < error_w_m2


@pytest.mark.parametrize(
    ("name", "spread", "deciles", "brightest"),
    [
        (GREENSBORO, 0.159, (0.280, 0.572, 0.688), 0.757),
        (SAND_POINT, 0.160, (0.183, 0.355, 0.611), 0.735),
    ],
)
def test_daily_clearness_of_typical_years(name, spread, deciles, brightest):
    # Worked out from the files with FAO-56's light above the atmosphere.
    clearness = daily_clearness(name)
    assert clearness.std() == pytest.approx(spread, abs=0.005)
    assert np.quantile(clearness, [0.1, 0.5, 0.9]) == pytest.approx(deciles, abs=0.01)
    assert clearness.max() == pytest.approx(brightest, abs=0.01)
