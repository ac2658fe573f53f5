"""The current-voltage curve against published values and an independent solver."""

import numpy as np
import pytest
from pvlib import pvsystem

from solarsim.solar.single_diode import (
    CurveParameters,
    SingleDiode,
    current_at_voltage,
    curve_parameters,
    log_saturation_slope,
    max_power_point,
    open_circuit_voltage,
)

# The module of pvlib's own De Soto tests.
MODULE = SingleDiode(
    alpha_isc_a_k=0.003,
    modified_ideality_v=0.473,
    light_current_a=7.545,
    saturation_current_a=1.94e-9,
    shunt_ohm=15.72,
    series_ohm=0.094,
)


def test_parameters_at_800_w_m2():
    # De Soto et al. (2006): light current and shunt conductance go with the light.
    curve = curve_parameters(MODULE, 800.0, 25.0)
    assert curve.light_current_a == pytest.approx(6.036, abs=1e-4)
    assert 1.0 / curve.shunt_per_ohm == pytest.approx(19.65, abs=1e-4)
    assert curve.modified_ideality_v == pytest.approx(0.473, abs=1e-12)
    assert curve.saturation_current_a == pytest.approx(1.94e-9, rel=1e-12)


def test_one_curve_against_published_solution():
    curve = CurveParameters(
        light_current_a=np.array(7.0),
        saturation_current_a=np.array(6e-7),
        modified_ideality_v=np.array(0.5),
        shunt_per_ohm=np.array(1.0 / 20.0),
        series_ohm=0.1,
    )
    power_w, voltage_v = max_power_point(curve)
    assert current_at_voltage(curve, 0.0) == pytest.approx(6.965172, abs=1e-6)
    assert open_circuit_voltage(curve) == pytest.approx(8.106300, abs=1e-6)
    assert voltage_v == pytest.approx(6.224339, abs=1e-6)
    assert power_w / voltage_v == pytest.approx(6.136267, abs=1e-6)
    assert power_w == pytest.approx(38.19421, abs=1e-5)


@pytest.mark.parametrize(
    ("light_w_m2", "temp_c", "power_w", "voc_v", "isc_a"),
    [
        (1000.0, 25.0, 55.437, 10.401, 7.500),
        (800.0, 25.0, 44.490, 10.296, 6.007),
        (200.0, 25.0, 10.815, 9.643, 1.507),
        (1000.0, 50.0, 48.392, 9.292, 7.575),
    ],
)
def test_four_conditions(light_w_m2, temp_c, power_w, voc_v, isc_a):
    curve = curve_parameters(MODULE, light_w_m2, temp_c)
    assert max_power_point(curve)[0] == pytest.approx(power_w, abs=1e-3)
    assert open_circuit_voltage(curve) == pytest.approx(voc_v, abs=1e-3)
    assert current_at_voltage(curve, 0.0) == pytest.approx(isc_a, abs=1e-3)


def test_equals_an_independent_solver_over_light_and_temperature():
    light, temp = np.meshgrid(np.geomspace(0.5, 1800.0, 25), np.linspace(-50.0, 110.0, 21))
    curve = curve_parameters(MODULE, light, temp)
    arguments = (
        curve.light_current_a,
        curve.saturation_current_a,
        np.full(light.shape, curve.series_ohm),
        1.0 / curve.shunt_per_ohm,
        curve.modified_ideality_v,
    )
    power_w, voltage_v = max_power_point(curve)
    expected = pvsystem.max_power_point(*arguments, method="newton")
    np.testing.assert_allclose(power_w, expected["p_mp"], rtol=1e-10)
    np.testing.assert_allclose(voltage_v, expected["v_mp"], rtol=1e-8)
    for terminal_v in (0.0, 4.0, 8.0, 9.5):
        exact_a = pvsystem.i_from_v(terminal_v, *arguments)
        ours_a = current_at_voltage(curve, terminal_v)
        flows = exact_a > 0.0
        np.testing.assert_allclose(ours_a[flows], exact_a[flows], rtol=1e-9, atol=1e-10)
        assert (ours_a[~flows] <= 1e-9).all()


def test_parameters_equal_pvlib_over_temperature():
    temp = np.linspace(-40.0, 100.0, 29)
    curve = curve_parameters(MODULE, 640.0, temp)
    light_a, saturation_a, _, shunt_ohm, ideality_v = pvsystem.calcparams_desoto(
        640.0, temp, 0.003, 0.473, 7.545, 1.94e-9, 15.72, 0.094, EgRef=1.121, dEgdT=-0.0002677
    )
    np.testing.assert_allclose(curve.light_current_a, light_a, rtol=1e-12)
    np.testing.assert_allclose(curve.saturation_current_a, saturation_a, rtol=1e-6)
    np.testing.assert_allclose(1.0 / curve.shunt_per_ohm, shunt_ohm, rtol=1e-12)
    np.testing.assert_allclose(curve.modified_ideality_v, ideality_v, rtol=1e-12)


def test_slope_of_the_saturation_current_is_that_of_the_parameters():
    curve = curve_parameters(MODULE, 1000.0, [24.99, 25.01])
    slope = np.diff(np.log(curve.saturation_current_a))[0] / 0.02
    assert log_saturation_slope() == pytest.approx(slope, rel=1e-6)


def test_darkness_gives_nothing_and_no_warning():
    curve = curve_parameters(MODULE, [0.0, 0.0], [-40.0, 60.0])
    power_w, voltage_v = max_power_point(curve)
    np.testing.assert_allclose(power_w, 0.0, atol=1e-12)
    np.testing.assert_allclose(voltage_v, 0.0, atol=1e-12)
    np.testing.assert_allclose(open_circuit_voltage(curve), 0.0, atol=1e-12)


@pytest.mark.parametrize("terminal_v", [12.0, 60.0, 1000.0])
def test_far_above_open_circuit_stays_finite_and_draws(terminal_v):
    current_a = current_at_voltage(curve_parameters(MODULE, [1.0, 1000.0], 25.0), terminal_v)
    assert np.isfinite(current_a).all()
    assert (current_a < 0.0).all()
