"""The published distribution of daily clearness about a monthly mean."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.island import COMPARISONS
from solarsim.weather.climate.island import (
    greatest_clearness,
    island_quantiles,
    quantiles_from_mean_clearness,
    rate_from_mean_clearness,
)
from tests.checks.agree import assert_agrees, name_of


@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


def test_all_values_of_the_table():
    # Hollands and Huget 1983; Bendt 1981 with Herzog's fit, least clearness 0.05.
    mean = np.array([0.3, 0.4, 0.5, 0.6, 0.7])
    assert greatest_clearness(mean) == pytest.approx(
        [0.6914, 0.7354, 0.7646, 0.7915, 0.8182], abs=1e-4
    )
    assert rate_from_mean_clearness(mean) == pytest.approx(
        [-2.10, 0.18, 2.31, 4.58, 8.52], abs=0.02
    )
    assert quantiles_from_mean_clearness(mean).mean(axis=1) == pytest.approx(
        [0.3008, 0.3998, 0.5016, 0.5987, 0.7019], abs=0.001
    )


@given(st.floats(0.3, 0.7))
def test_quantiles_rise_from_least_to_greatest_and_keep_the_mean(mean):
    quantiles = quantiles_from_mean_clearness(np.array([mean]))[0]
    assert (np.diff(quantiles) > 0.0).all()
    assert quantiles[0] > 0.05
    assert quantiles[-1] < greatest_clearness(np.array([mean]))[0]
    assert quantiles.mean() == pytest.approx(mean, abs=0.003)


@given(st.floats(-45.0, 45.0))
def test_islands_up_to_45_degrees_have_a_climate(latitude):
    quantiles = island_quantiles(latitude)
    assert quantiles.shape == (12, 64)
    assert (np.diff(quantiles, axis=1) > 0.0).all()
    assert quantiles.mean(axis=1).min() > 0.3
    assert quantiles.mean(axis=1).max() < 0.61
