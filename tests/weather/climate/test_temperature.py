"""Monthly temperature of a site against station normals, and its rule for height."""

import numpy as np
import pytest

from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.temperature import LAPSE_RATE_K_M, lapse_rate_k_m
from solarsim.weather.record import Place


def site(latitude, longitude, elevation):
    return load_site_climate(Place("here", latitude, longitude, elevation, "Etc/UTC", 0.0))


def test_cold_air_lies_in_the_basins():
    lapse = lapse_rate_k_m(np.array([30.0, -8.0, -18.0, -21.75, -60.0]))
    np.testing.assert_allclose(
        lapse, [LAPSE_RATE_K_M, LAPSE_RATE_K_M, 0.0015, 0.0, -0.004], atol=1e-12
    )


@pytest.mark.parametrize(
    ("latitude", "longitude", "elevation", "january_c", "july_c"),
    # Normals of coasts that a mean over land cells has 4 to 9 C too warm in July; from memory.
    [
        (-12.02, -77.11, 13.0, 22.5, 17.0),
        (33.94, -118.4, 38.0, 13.8, 20.7),
        (36.85, -2.39, 21.0, 12.6, 26.0),
        (-33.97, 18.6, 46.0, 21.0, 12.5),
    ],
    ids=["Lima", "Los Angeles", "Almeria", "Cape Town"],
)
def test_coasts_have_the_sea_s_share(latitude, longitude, elevation, january_c, july_c):
    climate = site(latitude, longitude, elevation)
    assert climate.temp_mean_c[0] == pytest.approx(january_c, abs=1.5)
    assert climate.temp_mean_c[6] == pytest.approx(july_c, abs=1.5)


def test_extremes_keep_their_distance_from_the_months():
    coast = site(33.94, -118.4, 38.0)
    assert coast.temp_mean_c.min() - coast.temp_low_c < 18.0
    assert coast.temp_high_c - coast.temp_mean_c.max() < 20.0
