"""Beam and diffuse out of global light, against Erbs and two typical years."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.data.accuracy.light import COMPARISONS, split_hour
from solarsim.data.accuracy.weather_statistics import (
    GREENSBORO,
    SAND_POINT,
    diffuse_ratio,
    hours_of_days,
    typical_year,
)
from solarsim.weather.synthesis.hourly_light import diffuse_share
from tests.checks.agree import assert_agrees, name_of

HOURS = pd.read_csv(Path(__file__).parent / "data" / "erbs_hours.csv", comment="#")
SPLIT = [comparison for comparison in COMPARISONS if comparison.subject == "beam and diffuse"]


@pytest.mark.parametrize("comparison", SPLIT, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


@pytest.mark.parametrize("row", list(HOURS.itertuples(index=False)), ids=str)
def test_hours_of_the_published_table(row):
    dni_w_m2, dhi_w_m2 = split_hour(row.ghi_w_m2, row.zenith_deg, row.date)
    assert dni_w_m2 == pytest.approx(row.dni_w_m2, abs=0.01)
    assert dhi_w_m2 == pytest.approx(row.dhi_w_m2, abs=0.01)


def test_the_three_pieces():
    # Erbs, Klein and Duffie 1982: 1 - 0.09 k, the polynomial, 0.165.
    clearness = np.array([0.1, 0.22, 0.35, 0.5, 0.65, 0.80, 0.9])
    expected = [0.9910, 0.9802, 0.9043, 0.6591, 0.3336, 0.1653, 0.1650]
    assert diffuse_share(clearness) == pytest.approx(expected, abs=5e-5)
    for joint in (0.22, 0.80):
        below, above = diffuse_share(np.array([joint, np.nextafter(joint, 1.0)]))
        # The paper's pieces do not meet exactly.
        assert abs(above - below) < 4e-4


@pytest.mark.parametrize(("name", "ratio"), [(GREENSBORO, 1.05), (SAND_POINT, 1.11)])
def test_year_of_diffuse_light(name, ratio):
    # The files' own diffuse light is modelled; within 15 % is what such models agree by.
    assert diffuse_ratio(name) == pytest.approx(ratio, abs=0.01)
    assert abs(ratio - 1.0) < 0.15


@pytest.mark.parametrize(("name", "ratio"), [(GREENSBORO, 0.91), (SAND_POINT, 0.79)])
def test_year_of_beam(name, ratio):
    # With the files' own global light. The beam is what is left over: on a cloudy island a tenth
    # more diffuse light is a fifth less beam.
    year = typical_year(name)
    ghi_w_m2, dhi_w_m2 = hours_of_days(year, own_hours=True)
    cosine = np.cos(np.radians(year.sun.zenith_deg)).reshape(365, 24)
    beam = np.where(cosine > 0.0, (ghi_w_m2 - dhi_w_m2) / np.maximum(cosine, 0.065), 0.0)
    assert beam.sum() / year.dni_w_m2.sum() == pytest.approx(ratio, abs=0.03)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.0, 1.5))
def test_share_is_a_share_and_clear_air_scatters_less(clearness):
    share, clearer = diffuse_share(np.array([clearness, clearness + 0.05]))
    assert 0.16 < share <= 1.0
    # Erbs' polynomial dips to 0.162 just below 0.8.
    assert clearer <= share + 0.004


@settings(deadline=None, max_examples=50)
@given(st.floats(1.0, 1200.0), st.floats(0.0, 84.0))
def test_beam_and_diffuse_make_the_global(ghi_w_m2, zenith_deg):
    dni_w_m2, dhi_w_m2 = split_hour(ghi_w_m2, zenith_deg, "2019-03-21")
    closed = dhi_w_m2 + dni_w_m2 * np.cos(np.radians(zenith_deg))
    assert closed == pytest.approx(ghi_w_m2, rel=1e-9)
    assert dni_w_m2 >= 0.0
    assert dhi_w_m2 >= 0.0
