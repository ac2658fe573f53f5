"""The glass against the published modifier, and against reflection worked out here."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.module import COMPARISONS, incidence_modifier
from solarsim.solar.glass import diffuse_iam
from tests.checks.agree import assert_agrees, name_of


@pytest.mark.parametrize(
    "comparison", [c for c in COMPARISONS if c.subject == "incidence angle"], ids=name_of
)
def test_published_figure(comparison):
    assert_agrees(comparison)


def transmitted(aoi_rad):
    """De Soto et al. 2006, eq. 20: Snell, Fresnel and Bouguer with n 1.526, 4 1/m and 2 mm."""
    inside = np.arcsin(np.sin(aoi_rad) / 1.526)
    absorbed = np.exp(-4.0 * 0.002 / np.cos(inside))
    less, more = inside - aoi_rad, inside + aoi_rad
    reflected = 0.5 * ((np.sin(less) / np.sin(more)) ** 2 + (np.tan(less) / np.tan(more)) ** 2)
    return absorbed * (1.0 - reflected)


@pytest.mark.parametrize("aoi_deg", [1.0, 15.0, 30.0, 45.0, 60.0, 70.0, 75.0, 80.0, 85.0, 89.0])
def test_equals_the_equations(aoi_deg):
    # Perpendicular light: the limit of Fresnel's terms.
    normal = np.exp(-4.0 * 0.002) * (1.0 - (0.526 / 2.526) ** 2)
    expected = transmitted(np.radians(aoi_deg)) / normal
    assert incidence_modifier(aoi_deg) == pytest.approx(expected, abs=1e-5)


def test_perpendicular_light_passes_whole():
    assert incidence_modifier(0.0) == pytest.approx(1.0, abs=1e-12)


@given(aoi_deg=st.floats(0.0, 89.0), more_deg=st.floats(0.01, 0.9))
def test_falls_steadily_with_the_angle(aoi_deg, more_deg):
    # Interpolated between nodes of 0.025 degrees: rounding may raise it by a hair.
    assert incidence_modifier(aoi_deg + more_deg) <= incidence_modifier(aoi_deg) + 1e-9
    assert 0.0 < incidence_modifier(aoi_deg) <= 1.0


def test_sky_of_a_flat_panel_is_the_hemisphere_s_mean():
    """Even sky on a flat panel: the modifier's mean over the hemisphere, weighted by the cosine."""
    aoi = np.linspace(0.0, np.pi / 2.0, 20_001)[1:-1]
    normal = np.exp(-4.0 * 0.002) * (1.0 - (0.526 / 2.526) ** 2)
    weight = np.sin(aoi) * np.cos(aoi)
    expected = float((transmitted(aoi) / normal * weight).sum() / weight.sum())
    # pvlib integrates in steps of half a degree.
    assert diffuse_iam(0.0)[0] == pytest.approx(expected, abs=5e-4)
