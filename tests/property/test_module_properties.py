"""What must hold for every plausible panel, light and temperature."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solarsim.errors import InputError
from solarsim.solar.controller import controller_table, worked_power
from solarsim.solar.module import fit_module
from solarsim.solar.power_table import look_up
from solarsim.solar.single_diode import (
    SingleDiode,
    current_at_voltage,
    curve_parameters,
    max_power_point,
    open_circuit_voltage,
)

THERMAL_V = 0.0256926


@st.composite
def circuits(draw):
    """Equivalent circuits of silicon panels from 10 to 150 cells, and their cell count."""
    cells = draw(st.integers(10, 150))
    isc_a = draw(st.floats(0.5, 20.0))
    voc_v = cells * draw(st.floats(0.55, 0.75))
    a_v = cells * THERMAL_V * draw(st.floats(0.85, 1.5))
    series_ohm = voc_v / isc_a * draw(st.floats(0.0005, 0.06))
    shunt_ohm = voc_v / isc_a * draw(st.floats(8.0, 2000.0))
    diode_a = isc_a - voc_v / shunt_ohm
    module = SingleDiode(
        alpha_isc_a_k=isc_a * draw(st.floats(0.0, 0.001)),
        modified_ideality_v=a_v,
        light_current_a=isc_a,
        saturation_current_a=float(diode_a / np.expm1(voc_v / a_v)),
        shunt_ohm=shunt_ohm,
        series_ohm=series_ohm,
    )
    return module, cells


def datasheet(module, cells):
    curve = curve_parameters(module, 1000.0, np.array([25.0, 24.99, 25.01]))
    power_w, voltage_v = max_power_point(curve)
    open_v = open_circuit_voltage(curve)
    isc_a = float(current_at_voltage(curve, 0.0)[0])
    return {
        "isc_a": isc_a,
        "voc_v": float(open_v[0]),
        "imp_a": float(power_w[0] / voltage_v[0]),
        "vmp_v": float(voltage_v[0]),
        "alpha_isc_pct_k": module.alpha_isc_a_k / isc_a * 100.0,
        "beta_voc_pct_k": float((open_v[2] - open_v[1]) / 0.02 / open_v[0] * 100.0),
        "cells_in_series": cells,
    }


@pytest.mark.slow
@given(circuits())
@settings(max_examples=60, deadline=None)
def test_fit_finds_the_circuit_behind_a_datasheet(case):
    module, cells = case
    sheet = datasheet(module, cells)
    found = fit_module(**sheet)
    again = datasheet(found, cells)
    for key in ("isc_a", "voc_v", "imp_a", "vmp_v"):
        assert again[key] == pytest.approx(sheet[key], rel=1e-6)
    assert again["beta_voc_pct_k"] == pytest.approx(sheet["beta_voc_pct_k"], rel=1e-5)
    assert found.modified_ideality_v == pytest.approx(module.modified_ideality_v, rel=1e-4)
    # And so it agrees where no datasheet number looks: a hot, dim panel.
    ours, theirs = (
        max_power_point(curve_parameters(circuit, 200.0, 65.0))[0] for circuit in (found, module)
    )
    assert ours == pytest.approx(theirs, rel=1e-4)


@pytest.mark.slow
@given(
    cells=st.integers(18, 144),
    cell_v=st.floats(0.6, 0.72),
    isc_a=st.floats(2.0, 18.0),
    imp_share=st.floats(0.90, 0.94),
    vmp_share=st.floats(0.78, 0.845),
    beta_voc_pct_k=st.floats(-0.33, -0.24),
    alpha_isc_pct_k=st.floats(0.02, 0.08),
)
@settings(max_examples=60, deadline=None)
def test_fit_meets_every_ordinary_datasheet(
    cells, cell_v, isc_a, imp_share, vmp_share, beta_voc_pct_k, alpha_isc_pct_k
):
    voc_v = round(cells * cell_v, 1)
    isc_a = round(isc_a, 2)
    sheet = {
        "isc_a": isc_a,
        "voc_v": voc_v,
        "imp_a": round(isc_a * imp_share, 2),
        "vmp_v": round(voc_v * vmp_share, 1),
        "alpha_isc_pct_k": alpha_isc_pct_k,
        "beta_voc_pct_k": beta_voc_pct_k,
        "cells_in_series": cells,
    }
    found = datasheet(fit_module(**sheet), cells)
    for key in ("isc_a", "voc_v", "imp_a", "vmp_v"):
        assert found[key] == pytest.approx(sheet[key], rel=1e-6)
    assert found["beta_voc_pct_k"] == pytest.approx(beta_voc_pct_k, rel=1e-5)


@given(
    isc_a=st.floats(0.06, 35.0),
    voc_v=st.floats(1.1, 200.0),
    imp_share=st.floats(0.05, 0.9999),
    vmp_share=st.floats(0.05, 0.9999),
    beta_voc_pct_k=st.floats(-0.6, -0.001),
    cells=st.integers(1, 300),
)
@settings(max_examples=80, deadline=None)
def test_any_datasheet_is_met_or_refused_by_name(
    isc_a, voc_v, imp_share, vmp_share, beta_voc_pct_k, cells
):
    sheet = {
        "isc_a": isc_a,
        "voc_v": voc_v,
        "imp_a": isc_a * imp_share,
        "vmp_v": voc_v * vmp_share,
        "alpha_isc_pct_k": 0.05,
        "beta_voc_pct_k": beta_voc_pct_k,
        "cells_in_series": cells,
    }
    try:
        found = datasheet(fit_module(**sheet), cells)
    except InputError as error:
        refused = error
    else:
        refused = None
    if refused is not None:
        assert refused.field.startswith("panels")
        return
    for key in ("isc_a", "voc_v", "imp_a", "vmp_v"):
        assert found[key] == pytest.approx(sheet[key], rel=1e-6)


@given(circuits(), st.floats(50.0, 1500.0), st.floats(-40.0, 95.0))
@settings(max_examples=40, deadline=None)
def test_table_is_within_a_thousandth_of_the_curve(case, light_w_m2, temp_c):
    module, _ = case
    exact_w, _ = max_power_point(curve_parameters(module, light_w_m2, temp_c))
    table = controller_table(module, "mppt", 0.5)
    found_w = look_up(table, np.array([light_w_m2]), np.array([temp_c]))
    assert found_w[0] == pytest.approx(float(exact_w), rel=1e-3)


@given(circuits(), st.floats(1.0, 1400.0), st.floats(-40.0, 90.0), st.floats(0.0, 1.1))
@settings(max_examples=60, deadline=None)
def test_no_point_of_the_curve_beats_the_maximum(case, light_w_m2, temp_c, voc_share):
    module, _ = case
    curve = curve_parameters(module, light_w_m2, temp_c)
    best_w, best_v = max_power_point(curve)
    open_v = float(open_circuit_voltage(curve))
    assert 0.0 < best_v < open_v
    voltage_v = voc_share * open_v
    assert current_at_voltage(curve, voltage_v) * voltage_v <= best_w * (1.0 + 1e-12)
    held_w = worked_power(module, "mppt", voltage_v, np.array(light_w_m2), np.array(temp_c))
    assert held_w <= best_w * (1.0 + 1e-12)


@given(circuits(), st.floats(20.0, 1200.0), st.floats(-30.0, 80.0))
@settings(max_examples=60, deadline=None)
def test_more_light_gives_more_and_more_heat_gives_less(case, light_w_m2, temp_c):
    module, _ = case
    # A large series resistance can make very strong light useless; no such panel is sold.
    sheet = datasheet(module, 1)
    assume(sheet["imp_a"] * sheet["vmp_v"] > 0.65 * sheet["isc_a"] * sheet["voc_v"])
    powers = [
        float(max_power_point(curve_parameters(module, light, temp))[0])
        for light, temp in (
            (light_w_m2, temp_c),
            (light_w_m2 * 1.05, temp_c),
            (light_w_m2, temp_c + 5.0),
        )
    ]
    assert powers[1] > powers[0] > powers[2]
