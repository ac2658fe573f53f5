"""The normal distribution is that of `scipy.special`, bit for bit."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special

from solarsim.weather.normal import ndtr, ndtri


def test_shares_are_those_of_the_reference_library():
    random = np.random.default_rng(3)
    x = np.concatenate(
        [
            random.normal(0.0, 1.5, 20_000),
            random.uniform(-39.0, 39.0, 20_000),
            np.sqrt(2.0) * np.array([-8.0, -1.0, 1.0, 8.0, 26.6]),
            [0.0, -np.inf, np.inf, np.nan, -1000.0, 1000.0],
        ]
    )
    np.testing.assert_array_equal(ndtr(x), special.ndtr(x))


def test_values_are_those_of_the_reference_library():
    random = np.random.default_rng(4)
    share = np.concatenate(
        [
            random.random(20_000),
            10.0 ** random.uniform(-300.0, 0.0, 5_000),
            1.0 - 10.0 ** random.uniform(-16.0, 0.0, 5_000),
            [0.0, 1.0, 0.5, np.exp(-2.0), 1.0 - np.exp(-2.0), np.nan],
        ]
    )
    np.testing.assert_array_equal(ndtri(share), special.ndtri(share))


def test_shapes_are_kept():
    shares = ndtr(np.zeros((2, 3, 4)))
    assert shares.shape == (2, 3, 4)
    assert ndtri(shares) == pytest.approx(0.0, abs=1e-300)
    assert ndtr(np.array(1.0)).shape == ()
