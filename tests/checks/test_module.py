"""The single diode: published curves, De Soto's four conditions, and what any panel must do."""

import csv
import pathlib

import numpy as np
import pytest

from solarsim.data.accuracy.module import COMPARISONS
from solarsim.inputs.panels import Panels
from solarsim.inputs.parts import part_table, part_tables
from solarsim.solar.module import fit_panels
from solarsim.solar.single_diode import (
    CurveParameters,
    SingleDiode,
    current_at_voltage,
    curve_parameters,
    max_power_point,
    open_circuit_voltage,
)
from tests.checks.agree import assert_agrees, name_of

DATA = pathlib.Path(__file__).parent / "data" / "single_diode.csv"


@pytest.mark.parametrize(
    "comparison", [c for c in COMPARISONS if c.subject == "panel"], ids=name_of
)
def test_published_figure(comparison):
    assert_agrees(comparison)


def exact_curves():
    with DATA.open(encoding="utf-8") as file:
        next(file)
        rows = [{key: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
    return {key: np.array([row[key] for row in rows]) for key in rows[0]}


def test_64_curves_that_were_solved_with_40_digits():
    """Two sets of 32 curves: ideality 1.01 and 1.3, shunts of 300 and 3,000 ohm, 1 and 8 A."""
    exact = exact_curves()
    assert exact["index"].size == 64
    for series_ohm in np.unique(exact["series_ohm"]):
        at = exact["series_ohm"] == series_ohm
        curve = CurveParameters(
            light_current_a=exact["light_current_a"][at],
            saturation_current_a=exact["saturation_current_a"][at],
            modified_ideality_v=exact["modified_ideality_v"][at],
            shunt_per_ohm=1.0 / exact["shunt_ohm"][at],
            series_ohm=float(series_ohm),
        )
        power_w, voltage_v = max_power_point(curve)
        # Double precision carries 16 digits; the voltage at a flat maximum is known to half.
        np.testing.assert_allclose(power_w, exact["pmp_w"][at], rtol=1e-12)
        np.testing.assert_allclose(voltage_v, exact["vmp_v"][at], rtol=1e-10)
        np.testing.assert_allclose(power_w / voltage_v, exact["imp_a"][at], rtol=1e-10)
        np.testing.assert_allclose(open_circuit_voltage(curve), exact["voc_v"][at], rtol=1e-12)
        np.testing.assert_allclose(current_at_voltage(curve, 0.0), exact["isc_a"][at], rtol=1e-12)


def test_parameters_at_800_w_m2():
    """De Soto et al. 2006: light current and shunt conductance go with the light."""
    module = SingleDiode(0.003, 0.473, 7.545, 1.94e-9, 15.72, 0.094)
    curve = curve_parameters(module, 800.0, 25.0)
    assert curve.light_current_a == pytest.approx(6.036, abs=1e-4)
    assert 1.0 / curve.shunt_per_ohm == pytest.approx(19.65, abs=1e-4)
    assert curve.modified_ideality_v == pytest.approx(0.473, abs=1e-4)


@pytest.mark.parametrize("name", list(part_tables("panels")))
def test_low_light_costs_a_few_percent(name):
    """93 to 100 % of the efficiency is left at 200 W/m2: makers' sheets, from memory."""
    panels = Panels(**part_table("panels", name))
    power_w, _ = max_power_point(curve_parameters(fit_panels(panels), [200.0, 1000.0], 25.0))
    assert 0.93 <= 5.0 * power_w[0] / power_w[1] <= 1.0
    # At standard test conditions the panel is its datasheet's.
    assert power_w[1] == pytest.approx(panels.vmp_v * panels.imp_a, rel=1e-9)
