"""Bypass diodes and strings against the added current-voltage curves of their groups."""

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.panels import Controller
from solarsim.solar.module import fit_panels
from solarsim.solar.shade.bypass import (
    GROUPS,
    array_factor,
    diode_drop_share,
    group_light,
    least_groups,
)
from solarsim.solar.single_diode import curve_parameters

DROP_V = 0.5


def group_curve(module, light_share, current_a, temp_cell_c=25.0):
    """Voltage of one third of a panel at given currents, its diode conducting beyond its own."""
    curve = curve_parameters(module, 1000.0 * light_share, temp_cell_c)
    inner_v = np.linspace(-3.0, 1.15 * 30.0, 40001)
    diode_a = curve.saturation_current_a * np.expm1(inner_v / curve.modified_ideality_v)
    flowing_a = curve.light_current_a - diode_a - inner_v * curve.shunt_per_ohm
    terminal_v = (inner_v - flowing_a * curve.series_ohm) / GROUPS
    found = np.interp(current_a, flowing_a[::-1], terminal_v[::-1], right=-np.inf)
    return np.maximum(found, -DROP_V)


def strings_power(module, strings):
    """Largest power of strings in parallel; each is a list of its groups' light."""
    current_a = np.linspace(0.0, 12.0, 6001)
    grid_v = np.linspace(0.0, 45.0 * max(len(s) for s in strings) / GROUPS, 6001)
    total_a = np.zeros_like(grid_v)
    for lights in strings:
        volts = sum(group_curve(module, light, current_a) for light in lights)
        # The string's current at each voltage: its voltage falls with the current.
        total_a += np.interp(grid_v, volts[::-1], current_a[::-1], right=0.0)
    return (grid_v * total_a).max()


@pytest.mark.parametrize(
    ("series", "panels_light"),
    [
        (1, [[0.2, 1.0, 1.0]]),
        (1, [[0.2, 0.2, 1.0]]),
        (1, [[0.75, 1.0, 1.0]]),
        (1, [[0.3, 0.6, 0.9]]),
        (1, [[0.15] * 3, [1.0] * 3, [1.0] * 3]),  # three in parallel, one in the shade
        (3, [[0.15] * 3, [1.0] * 3, [1.0] * 3]),  # three in series, one in the shade
        (3, [[0.7] * 3, [1.0] * 3, [1.0] * 3]),
        (1, [[0.2, 1.0, 1.0], [1.0] * 3, [1.0] * 3]),
        (2, [[0.2, 1.0, 1.0], [1.0] * 3, [1.0] * 3, [1.0] * 3]),
        (4, [[0.2, 1.0, 1.0], [1.0] * 3, [1.0, 0.2, 0.5], [1.0] * 3]),
    ],
)
def test_factor_is_that_of_the_added_curves(series, panels_light, make_panels):
    panels = make_panels("400 W rigid")
    module = fit_panels(panels)
    light = np.array(panels_light)
    strings = light.reshape(len(light) // series, series * GROUPS).tolist()
    bright = [[1.0] * len(lights) for lights in strings]
    expected = strings_power(module, strings) / strings_power(module, bright)
    found = array_factor(light, series=series, drop_share=diode_drop_share(panels))
    # Left out: the voltage of a dim group falls a little, and that of bright groups rises where
    # half shade holds the current down. The first counts little, the second is on the safe side.
    half_shade = bool(((light > 0.5) & (light < 1.0)).any())
    assert expected - (0.07 if half_shade else 0.03) < float(found) < expected + 0.03


def test_a_conducting_diode_costs_half_a_volt(make_panels):
    # A Schottky diode at a panel's current: common practice, no source. Of three groups one is
    # dark: two thirds of Vmp less the drop are left, at the whole current.
    panels = make_panels("400 W rigid")
    found = array_factor(np.array([[0.0, 1.0, 1.0]]), drop_share=diode_drop_share(panels))
    left_v = panels.vmp_v * 2.0 / 3.0 - DROP_V
    assert float(found) == pytest.approx(left_v / panels.vmp_v, rel=1e-12)


def test_parallel_beats_series_where_one_of_three_is_in_the_shade():
    light = np.array([[0.1] * 3, [1.0] * 3, [1.0] * 3])
    # In parallel the shaded one still adds its diffuse light; in series it is bypassed.
    assert float(array_factor(light)) == pytest.approx(2.1 / 3.0)
    assert float(array_factor(light, series=3)) == pytest.approx(2.0 / 3.0)
    # Without diodes, or with a bank that leaves no voltage to lose, it takes the others down.
    assert float(array_factor(light, series=3, least=9)) == pytest.approx(0.1)


@pytest.mark.parametrize("shaded", [0, 1, 2, 3])
@pytest.mark.parametrize("diffuse", [0.05, 0.2, 0.5, 0.9])
def test_one_panel_is_the_better_of_bypass_and_diffuse(shaded, diffuse):
    light = np.ones((1, 3))
    light[0, :shaded] = group_light(np.array(1.0), np.array(0.0), np.array(1.0 - diffuse))
    expected = max((3 - shaded) / 3.0, diffuse if shaded else 1.0)
    assert float(array_factor(light)) == pytest.approx(expected, rel=1e-12)


def test_pwm_gives_the_current_that_enough_groups_carry():
    light = np.array([[0.2, 0.5, 1.0], [1.0, 1.0, 1.0]])
    for least, expected in ((1, 1.0), (2, 0.75), (3, 0.6)):
        found = array_factor(light, least=least, fixed_voltage=True)
        assert float(found) == pytest.approx(expected)


def test_groups_that_a_bank_asks_for(make_panels):
    small, large = make_panels("200 W rigid"), make_panels("400 W rigid")
    mppt, pwm = Controller(), Controller(kind="pwm")
    # 36 cells give 19.0 V when warm: two thirds are below a 12 V bank on charge.
    assert least_groups(small, mppt, bus_voltage_v=13.8) == 3
    assert least_groups(large, mppt, bus_voltage_v=13.8) == 2
    string = small.model_copy(update={"count": 3, "series": 3})
    assert least_groups(string, mppt, bus_voltage_v=13.8) == 3
    assert least_groups(string, mppt, bus_voltage_v=27.6) == 5
    assert least_groups(large, pwm, bus_voltage_v=13.8) == 2
    assert least_groups(small, pwm, bus_voltage_v=13.8) == 2
    assert least_groups(small, mppt, bus_voltage_v=60.0) == 3


def test_arrays_of_hours_equal_hours_alone():
    generator = np.random.default_rng(3)
    light = generator.uniform(0.0, 1.0, (4, 3, 5, 7))
    found = array_factor(light, series=2, least=2, drop_share=0.06)
    assert found.shape == (5, 7)
    for i in range(5):
        for j in range(7):
            alone = array_factor(light[:, :, i, j], series=2, least=2, drop_share=0.06)
            assert float(alone) == found[i, j]


def test_refuses_parts_of_strings():
    with pytest.raises(InputError, match="whole strings") as caught:
        array_factor(np.ones((3, 3)), series=2)
    assert caught.value.field == "panels.series"
