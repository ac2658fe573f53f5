import typing

import numpy as np
import pytest
from pvlib import temperature

from solarsim.inputs.panels import Panels
from solarsim.solar.cell_temperature import MOUNTINGS, OPEN_RACK, Mounting, cell_temperature

OPEN_RACK_GLASS = Mounting(intercept=-3.47, wind_slope=-0.0594, rise_c=3.0)


def at(poa_w_m2, temp_air_c, wind_m_s, mounting):
    arrays = [np.array([float(value)]) for value in (poa_w_m2, temp_air_c, wind_m_s)]
    return float(cell_temperature(*arrays, mounting)[0])


def test_mountings_are_those_that_a_van_offers():
    assert set(MOUNTINGS) == set(typing.get_args(Panels.model_fields["mounting"].annotation))


def test_published_value_of_an_open_rack():
    # pvlib's test of King et al. (2004).
    assert at(900, 20, 5, OPEN_RACK_GLASS) == pytest.approx(43.509, abs=1e-3)


@pytest.mark.parametrize(
    ("mounting", "expected_c"),
    [
        (MOUNTINGS["close"], (76.79, 74.46, 66.14)),
        (MOUNTINGS["glued"], (85.20, 82.53, 72.95)),
        (OPEN_RACK, (56.44, 54.38, 47.55)),
    ],
)
def test_mountings_at_full_sun(mounting, expected_c):
    for wind_m_s, cell_c in zip((0, 1, 5), expected_c, strict=True):
        assert at(1000, 25, wind_m_s, mounting) == pytest.approx(cell_c, abs=0.02)


def test_glued_is_28_kelvin_above_an_open_rack_in_still_air():
    assert at(1000, 25, 0, MOUNTINGS["glued"]) - at(1000, 25, 0, OPEN_RACK) > 28.0


def test_gap_lies_between_open_rack_and_close_mount_as_fuentes_has_it():
    # 5 cm of air add about 6 K to the open rack at 800 W/m2, 20 C and 1 m/s.
    added_c = at(800, 20, 1, MOUNTINGS["gap"]) - at(800, 20, 1, OPEN_RACK)
    assert 2.0 < added_c < 11.0
    assert added_c == pytest.approx(6.0, abs=1.0)


@pytest.mark.parametrize(
    ("name", "pvlib_name"),
    [
        ("close", "close_mount_glass_glass"),
        ("glued", "insulated_back_glass_polymer"),
    ],
)
def test_equals_pvlib(name, pvlib_name):
    coefficients = temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"][pvlib_name]
    generator = np.random.default_rng(5)
    poa, air, wind = generator.uniform([0, -30, 0], [1200, 45, 20], (200, 3)).T
    np.testing.assert_allclose(
        cell_temperature(poa, air, wind, MOUNTINGS[name]),
        temperature.sapm_cell(poa, air, wind, **coefficients),
        rtol=1e-12,
    )
