"""The bundle's integers give back what was written, to half a step."""

import numpy as np
import pytest

from solarsim.weather.climate.codec import (
    CODES,
    CODES_PER_CLEARNESS,
    GRIDS,
    clearness_codes,
    coded,
    coded_clearness,
    coded_temperature,
    month_steps,
    temperature_codes,
)
from solarsim.weather.climate.data import CLIMATE_FILE


@pytest.fixture(scope="module")
def arrays():
    with np.load(CLIMATE_FILE, allow_pickle=False) as file:
        return {name: file[name] for name in file.files}


@pytest.mark.parametrize("name", CODES)
def test_the_shipped_integers_are_those_of_the_codec(arrays, name):
    codes = arrays[name]
    assert codes.dtype == CODES[name].kind
    if name == "node_temperature":
        temperature = temperature_codes(month_steps(codes[:, :5000]))
        back = coded_temperature(temperature * CODES[name].step)
        np.testing.assert_array_equal(back, codes[:, :5000])
    else:
        np.testing.assert_array_equal(coded(name, codes * CODES[name].step), codes)


def test_the_shipped_clearness_is_that_of_the_codec(arrays):
    first, steps = arrays["kt_first"][:200], arrays["kt_steps"][:200]
    back = coded_clearness(clearness_codes(first, steps) / CODES_PER_CLEARNESS)
    np.testing.assert_array_equal(back[0], first)
    np.testing.assert_array_equal(back[1], steps)


@pytest.mark.parametrize("mask", GRIDS)
def test_masks_have_the_grid_s_cells(arrays, mask):
    grid = GRIDS[mask]
    assert arrays[mask].size * 8 - 7 <= grid.rows * grid.columns <= arrays[mask].size * 8
    step_deg = 360.0 / grid.columns
    # All end at 72 N, but for those whose nodes are corners.
    assert grid.first_latitude_deg + grid.rows * step_deg == pytest.approx(72.0, abs=3.0)


@pytest.mark.parametrize(("name", "value"), [("wind", 25.6), ("ghi", -0.1), ("low", 4e4)])
def test_what_does_not_fit_is_refused(name, value):
    with pytest.raises(ValueError, match=f"{name} runs from"):
        coded(name, np.array([value]))


@pytest.mark.parametrize("quantiles", [[0.4, 0.3], [0.1, 0.5]])
def test_clearness_that_falls_or_leaps_is_refused(quantiles):
    with pytest.raises(ValueError, match="do not fit a byte"):
        coded_clearness(np.array([quantiles]))
