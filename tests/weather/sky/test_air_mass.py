"""Air mass against pvlib, which states the same equations."""

import numpy as np
import pytest
from pvlib import atmosphere

from solarsim.weather.sky.air_mass import absolute_air_mass, pressure_pa


@pytest.mark.parametrize("elevation_m", [-20.0, 0.0, 437.5, 3000.0])
def test_air_mass_is_pvlibs_to_the_last_bit(elevation_m):
    zenith_deg = np.linspace(0.0, 90.0, 9001)
    assert pressure_pa(elevation_m) == atmosphere.alt2pres(elevation_m)
    expected = atmosphere.get_absolute_airmass(
        atmosphere.get_relative_airmass(zenith_deg), atmosphere.alt2pres(elevation_m)
    )
    np.testing.assert_array_equal(absolute_air_mass(zenith_deg, elevation_m), expected)


def test_air_mass_at_known_heights_of_the_sun():
    """Kasten and Young 1989, table II: 37.92 at the horizon, 10.31 at 5 degrees (from memory)."""
    at = absolute_air_mass(np.array([0.0, 85.0, 90.0]), 0.0)
    np.testing.assert_allclose(at, [1.0, 10.31, 37.92], rtol=2e-3)
