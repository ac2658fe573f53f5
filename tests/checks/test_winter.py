"""Winter's light and warmth by region, so that a worse bundle fails."""

import numpy as np
import pytest

from solarsim.data.accuracy.winter import COMPARISONS, japan_ratios, temperature_errors_c
from tests.checks.agree import assert_agrees, name_of


@pytest.mark.slow
@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_winter_by_region(comparison):
    assert_agrees(comparison)


def test_the_regions_are_there():
    assert len(COMPARISONS) == 16


def test_months_of_japan():
    *_, ratio = japan_ratios()
    known = ratio[np.isfinite(ratio).all(axis=1)]
    assert len(known) == 23
    # Medians of 0.94 to 1.09 by month; before, 0.94 to 1.07.
    assert np.median(known, axis=0) == pytest.approx(1.0, abs=0.12)
    # The error of one month at one station: 0.108; with one thickness of cloud a year, 0.117.
    assert np.sqrt((np.log(known) ** 2).mean()) < 0.112
    assert np.sqrt((np.log(known[:, [0, 1, 10, 11]]) ** 2).mean()) < 0.14


@pytest.mark.slow
def test_temperature_of_half_the_stations():
    january_error_c, july_error_c, coast, _ = temperature_errors_c()
    assert len(january_error_c) > 700
    # Of half-degree cells over land alone: 0.82 and 0.71 C, and 0.99 C on coasts in July.
    assert np.abs(january_error_c).mean() < 0.75
    assert np.abs(july_error_c).mean() < 0.65
    assert np.abs(july_error_c[coast > 0.5]).mean() < 0.75
