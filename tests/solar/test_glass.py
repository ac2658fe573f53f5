"""The glass against pvlib, which states the same equations."""

import numpy as np
import pytest
from pvlib import iam as pvlib_iam

from solarsim.solar.glass import diffuse_iam, iam


def test_the_modifier_is_pvlibs_to_the_last_bit():
    aoi_deg = np.linspace(0.0, 90.0, 3601)[:-1]
    np.testing.assert_array_equal(iam(aoi_deg), pvlib_iam.physical(aoi_deg))


def test_light_from_behind_is_let_in_by_no_glass():
    np.testing.assert_allclose(iam(np.array([90.0, 135.0])), 0.0, atol=1e-12)


@pytest.mark.parametrize("tilt_deg", [0.0, 0.001, 5.0, 20.0, 45.0, 90.0])
def test_the_modifier_of_sky_and_ground_is_pvlibs(tilt_deg):
    expected = [
        pvlib_iam.marion_integrate(pvlib_iam.physical, tilt_deg, region)
        for region in ("sky", "ground")
    ]
    assert list(diffuse_iam(tilt_deg)) == expected
