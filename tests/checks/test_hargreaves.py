"""The swing of temperature from clearness (FAO-56, equation 50, turned around)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.weather_statistics import (
    GREENSBORO,
    SAND_POINT,
    daily_clearness,
    typical_year,
)
from solarsim.weather.sky.season import DAYS_IN_MONTH
from solarsim.weather.synthesis.temperature import SWING_COAST, SWING_INLAND, daily_swing_c


def mean_swing_ratio(name, coast_share):
    """Year's mean daily swing of temperature from the months' clearness, over the file's."""
    by_hour_c = typical_year(name).temp_air_c.reshape(365, 24)
    starts = np.concatenate([[0], np.cumsum(DAYS_IN_MONTH)[:-1]])
    monthly = np.add.reduceat(daily_clearness(name), starts) / DAYS_IN_MONTH
    swing_c = daily_swing_c(monthly, coast_share)
    own_c = by_hour_c.max(axis=1) - by_hour_c.min(axis=1)
    return float(np.average(swing_c, weights=DAYS_IN_MONTH) / own_c.mean())


def test_coefficients_are_the_paper_s():
    assert (SWING_INLAND, SWING_COAST) == (0.16, 0.19)


def test_lyon_in_july():
    # FAO-56, example 15: Ra 40.6, 14.8 to 26.6 C, Rs 22.3 MJ/m2/day.
    swing_c = daily_swing_c(np.array([22.3 / 40.6]), 0.0)[0]
    assert swing_c == pytest.approx(26.6 - 14.8, abs=0.05)
    assert 0.16 * np.sqrt(swing_c) * 40.6 == pytest.approx(22.3, abs=0.05)


@pytest.mark.parametrize(
    ("name", "coast_share", "tolerance"), [(GREENSBORO, 0.0, 0.03), (SAND_POINT, 1.0, 0.16)]
)
def test_year_s_mean_swing_of_typical_years(name, coast_share, tolerance):
    # As irradiation the equation is off by -1.6 and -2.0 % there; the swing goes with the square,
    # and an island's clear days come with wind: seen +1 and +14 %.
    assert mean_swing_ratio(name, coast_share) == pytest.approx(1.0, abs=tolerance)


@given(st.floats(0.17, 0.85), st.floats(0.0, 1.0))
def test_the_equation_holds_between_inland_and_coast(clearness, coast_share):
    swing_c = daily_swing_c(np.array([clearness]), coast_share)[0]
    coefficient = SWING_INLAND + (SWING_COAST - SWING_INLAND) * coast_share
    # Above the least swing of one degree.
    assert swing_c == pytest.approx(max((clearness / coefficient) ** 2, 1.0), rel=1e-12)
