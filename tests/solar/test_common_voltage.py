"""Unlike strings on one MPPT controller, against curves added up elsewhere.

pvlib solves the current of each panel (Lambert's W, Jain and Kapoor 2004) from the five parameters
that we fitted; the best common voltage is looked for among 3,000.
"""

import numpy as np
import pytest
from pvlib import pvsystem

from solarsim.inputs.panels import Controller
from solarsim.solar.common_voltage import Source, at_common_voltages, common_share
from solarsim.solar.module import fit_panels
from solarsim.solar.output import PanelOutput
from solarsim.solar.single_diode import curve_parameters

HOURS = 150
BUS_V = 13.8


def source(panels, light, temp):
    nothing = np.zeros_like(light)
    output = PanelOutput(nothing, light, nothing, nothing, temp, nothing)
    return Source(panels, output, np.ones((1, HOURS)))


def watts_at(panels, light, temp, string_v):
    """Power of one panel over voltages of its string, ``(voltages, hours)``; a diode blocks."""
    curve = curve_parameters(fit_panels(panels), light, temp)
    panel_v = string_v[:, np.newaxis] / panels.series
    amps = pvsystem.i_from_v(
        panel_v,
        curve.light_current_a,
        curve.saturation_current_a,
        curve.series_ohm,
        1.0 / curve.shunt_per_ohm,
        curve.modified_ideality_v,
    )
    return np.maximum(amps, 0.0) * panel_v


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("one", "other", "series"),
    [
        ("200 W rigid", "100 W rigid", 1),
        ("200 W rigid", "100 W rigid", 2),
        ("400 W rigid", "220 W rigid", 2),
        ("330 W residential 60 cells", "200 W flexible", 1),
    ],
)
def test_best_common_voltage_is_that_of_the_added_curves(one, other, series, make_panels):
    arrays = [make_panels(one, count=2), make_panels(other, count=2, series=series)]
    generator = np.random.default_rng(3)
    light = generator.uniform(5.0, 1100.0, (2, 1, HOURS))
    temp = generator.uniform(-10.0, 65.0, (2, 1, HOURS))
    sources = [source(*each) for each in zip(arrays, light, temp, strict=True)]
    found = common_share(at_common_voltages(sources, Controller(), bus_voltage_v=BUS_V), [2, 2])[0]
    string_v = np.linspace(BUS_V + Controller().start_margin_v, 60.0, 3000)
    watts = [watts_at(a, g[0], t[0], string_v) for a, g, t in zip(arrays, light, temp, strict=True)]
    apart = sum(each.max(axis=0) for each in watts)
    expected = sum(watts).max(axis=0) / apart
    # Off the end of the grid a string's own best lies below the bank: both sides are held there.
    assert np.abs(found - expected).max() < 0.015
    assert np.average(found - expected, weights=apart) == pytest.approx(0.0, abs=0.001)
    assert expected.min() < 0.97


def test_like_strings_in_like_light_lose_nothing(make_panels):
    light, temp = np.linspace(20.0, 1000.0, HOURS)[np.newaxis], np.full((1, HOURS), 40.0)
    sources = [source(make_panels(), light, temp), source(make_panels(count=3), light, temp)]
    at = at_common_voltages(sources, Controller(), bus_voltage_v=BUS_V)
    np.testing.assert_allclose(common_share(at, [1, 3]), 1.0, atol=1e-12)
    assert (common_share(at, [0, 3]) == 1.0).all()


def test_an_array_out_of_use_holds_nobody_back(make_panels):
    light, temp = np.full((1, HOURS), 600.0), np.full((1, HOURS), 30.0)
    away = Source(
        make_panels(series=2, count=2),
        source(make_panels(), light, temp).output,
        np.zeros((1, HOURS)),
    )
    at = at_common_voltages(
        [source(make_panels(), light, temp), away], Controller(), bus_voltage_v=BUS_V
    )
    np.testing.assert_allclose(common_share(at, [2, 2]), 1.0, atol=1e-12)
