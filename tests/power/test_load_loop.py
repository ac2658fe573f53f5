"""The compiled loads equal their readable twin, to the bit."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.power.load_loop import add_load, glow_share, run_heater, scheduled_hours
from tests.power.load_twin import (
    add_load_twin,
    glow_share_twin,
    run_heater_twin,
    scheduled_hours_twin,
)

HOURS, RUNS = 72, 37


def shares(seed, hours=HOURS):
    """Shares of the hour of which a third are 0 and some are 1."""
    drawn = np.random.default_rng(seed).uniform(-0.5, 1.2, (hours, RUNS))
    return np.clip(drawn, 0.0, 1.0)


@pytest.mark.parametrize("varies", [False, True])
@pytest.mark.parametrize("sums", [2, 4])
def test_adding_loads_equals_its_twin(varies, sums):
    random = np.random.default_rng(5)
    rows = np.flatnonzero(random.uniform(size=HOURS) < 0.4)
    got = [random.uniform(0.0, 9.0, (HOURS, RUNS)) for _ in range(sums)]
    expected = [array.copy() for array in got]
    before = got[0].copy()
    on_share = shares(6, len(rows))
    above_w = random.uniform(5.0, 900.0, on_share.shape) if varies else 63.7
    mean_w, twins_w = np.empty_like(on_share), np.empty_like(on_share)
    add_load(on_share, above_w, rows, got, mean_w)
    add_load_twin(on_share, above_w, rows, expected, twins_w)
    np.testing.assert_array_equal(mean_w, twins_w)
    for one, other in zip(got, expected, strict=True):
        np.testing.assert_array_equal(one, other)
    others = np.setdiff1d(np.arange(HOURS), rows)
    np.testing.assert_array_equal(got[0][others], before[others])
    assert (got[0][rows] != before[rows]).any()


@pytest.mark.parametrize("least_w", [0.0, 900.0])
@pytest.mark.parametrize("count", [1, 2])
def test_a_heater_equals_its_twin(least_w, count):
    heat_w = 4000.0 * shares(7)
    part = np.where(np.arange(HOURS) % 24 < 9, 1.0, 0.4)[:, np.newaxis]
    heater = {"count": count, "least_w": least_w, "most_w": 2000.0}
    powers = {"lowest_power_w": 9.0, "power_w": 29.0}
    got = run_heater(heat_w, part, **heater, **powers)
    for one, other in zip(got, run_heater_twin(heat_w, part, **heater, **powers), strict=True):
        np.testing.assert_array_equal(one, other)
    assert got[0].min() == 0.0
    assert got[0].max() == 1.0
    assert got[1].min() == 9.0 < got[1].mean() < got[1].max()


def test_a_glowing_plug_equals_its_twin():
    on_share = shares(8)
    got = glow_share(on_share, most_starts=6.0, minutes=4.0)
    np.testing.assert_array_equal(got, glow_share_twin(on_share, most_starts=6.0, minutes=4.0))
    # Warmth after a cold hour adds a start, also in the first hour.
    begun = (on_share[1:] == 1.0) & (on_share[:-1] == 0.0)
    assert np.allclose(got[1:][begun], 4.0 / 60.0)
    assert np.allclose(got[0][on_share[0] == 1.0], 4.0 / 60.0)
    assert (got[1:][(on_share[1:] == 1.0) & (on_share[:-1] == 1.0)] == 0.0).all()


def test_hours_by_the_clock_equal_their_twin():
    random = np.random.default_rng(9)
    days = np.repeat(np.arange(3), 24)
    factors = random.lognormal(0.0, 0.6, (5, RUNS))
    weights = np.where(random.uniform(size=(72, 3)) < 0.5, 0.0, random.uniform(size=(72, 3)))
    got = scheduled_hours(factors, days, weights)
    np.testing.assert_array_equal(got, scheduled_hours_twin(factors, days, weights))
    assert (got == 1.0).any()
    assert (got == 0.0).any()
