"""The look-up table against the exact curve, and what the controllers make of it."""

import numpy as np
import pytest

from solarsim.inputs.panels import Controller
from solarsim.inputs.parts import part_tables
from solarsim.solar.controller import controller_table, panel_voltage_v, worked_power
from solarsim.solar.module import fit_panels
from solarsim.solar.power_table import look_up
from solarsim.solar.single_diode import current_at_voltage, curve_parameters, max_power_point


def points(lowest_w_m2, count=4000):
    generator = np.random.default_rng(3)
    light = np.exp(generator.uniform(np.log(lowest_w_m2), np.log(1500.0), count))
    return light, generator.uniform(-40.0, 95.0, count)


@pytest.mark.parametrize("name", list(part_tables("panels")))
def test_maximum_power_between_nodes(name, make_panels):
    module = fit_panels(make_panels(name))
    table = controller_table(module, "mppt", 1.0)
    for lowest_w_m2, tolerance in ((50.0, 2e-4), (1.0, 2e-4)):
        light, temp = points(lowest_w_m2)
        exact_w, _ = max_power_point(curve_parameters(module, light, temp))
        np.testing.assert_allclose(look_up(table, light, temp), exact_w, rtol=tolerance)


@pytest.mark.parametrize("name", list(part_tables("panels")))
@pytest.mark.parametrize(("kind", "voltage_v"), [("pwm", 13.6), ("pwm", 14.4), ("mppt", 15.4)])
def test_power_at_a_fixed_voltage_between_nodes(name, kind, voltage_v, make_panels):
    module = fit_panels(make_panels(name))
    light, temp = points(50.0)
    exact_w = np.maximum(worked_power(module, kind, voltage_v, light, temp), 0.0)
    table_w = look_up(controller_table(module, kind, voltage_v), light, temp)
    whole_w = module.light_current_a * light / 1000.0 * voltage_v
    assert np.max(np.abs(table_w - exact_w) / whole_w) < 1e-3


def test_outside_the_table(make_panels):
    module = fit_panels(make_panels())
    table = controller_table(module, "mppt", 1.0)
    dim = look_up(table, np.array([0.0, 0.25, 0.5, 1.0]), np.full(4, 10.0))
    np.testing.assert_allclose(dim / dim[3], [0.0, 0.25, 0.5, 1.0], rtol=1e-12)
    bright = look_up(table, np.array([1000.0, 1000.0]), np.array([120.0, 300.0]))
    assert bright[0] == bright[1] > 0.0


def test_table_is_kept(make_panels):
    module = fit_panels(make_panels())
    first = controller_table(module, "mppt", 14.3)
    assert controller_table(module, "mppt", 14.3) is first


def test_pwm_takes_the_panel_current_at_the_bank():
    assert panel_voltage_v(Controller(kind="pwm"), bus_voltage_v=13.5, series=1) == 13.5
    assert panel_voltage_v(Controller(kind="pwm"), bus_voltage_v=27.0, series=2) == 13.5
    mppt = Controller(kind="mppt", start_margin_v=1.5)
    assert panel_voltage_v(mppt, bus_voltage_v=27.0, series=2) == 14.25


def test_pwm_power_is_current_times_bank_voltage(make_panels):
    module = fit_panels(make_panels())
    power_w = worked_power(module, "pwm", 13.5, np.array(1000.0), np.array(25.0))
    # Far below the knee the current is all but Isc (10.4 A).
    assert power_w == pytest.approx(13.5 * 10.4, rel=0.015)
    assert power_w < 13.5 * 10.4


def test_mppt_holds_the_string_above_the_bank(make_panels):
    module = fit_panels(make_panels("100 W rigid low voltage"))
    hot, noon = np.array(85.0), np.array(1000.0)
    best_w, best_v = max_power_point(curve_parameters(module, noon, hot))
    assert best_v < 14.5
    free_w = worked_power(module, "mppt", float(best_v) - 0.1, noon, hot)
    assert free_w == pytest.approx(float(best_w), rel=1e-12)
    held_w = worked_power(module, "mppt", 14.5, noon, hot)
    curve = curve_parameters(module, noon, hot)
    assert held_w == pytest.approx(float(current_at_voltage(curve, 14.5)) * 14.5, rel=1e-12)
    assert 0.0 < held_w < best_w


def test_nothing_flows_into_a_bank_above_open_circuit(make_panels):
    module = fit_panels(make_panels())
    light, temp = np.array([300.0, 1000.0]), np.array([50.0, 60.0])
    for kind in ("pwm", "mppt"):
        assert (look_up(controller_table(module, kind, 27.0), light, temp) == 0.0).all()
