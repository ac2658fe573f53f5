"""Fitting ordinary datasheets, and refusing impossible ones by the right number."""

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.parts import part_tables
from solarsim.solar.module import fit_module, fit_panels, gamma_note, power_slope_pct_k
from solarsim.solar.single_diode import (
    current_at_voltage,
    curve_parameters,
    max_power_point,
    open_circuit_voltage,
)

# A datasheet of the 200 W class on which a general five-equation root finder did not converge.
HARD = {
    "isc_a": 10.4,
    "voc_v": 24.3,
    "imp_a": 9.8,
    "vmp_v": 20.4,
    "alpha_isc_pct_k": 0.05,
    "beta_voc_pct_k": -0.28,
    "cells_in_series": 36,
}


def assert_meets(module, *, isc_a, voc_v, imp_a, vmp_v, alpha_isc_pct_k, beta_voc_pct_k, **_):
    curve = curve_parameters(module, 1000.0, np.array([25.0, 24.9, 25.1]))
    power_w, voltage_v = max_power_point(curve)
    short_a = current_at_voltage(curve, 0.0)
    open_v = open_circuit_voltage(curve)
    assert short_a[0] == pytest.approx(isc_a, rel=1e-6)
    assert open_v[0] == pytest.approx(voc_v, rel=1e-6)
    assert voltage_v[0] == pytest.approx(vmp_v, rel=1e-6)
    assert power_w[0] / voltage_v[0] == pytest.approx(imp_a, rel=1e-6)
    # Central differences over 0.2 K err by about 1e-7 of the slope.
    assert (open_v[2] - open_v[1]) / 0.2 / voc_v * 100 == pytest.approx(beta_voc_pct_k, rel=1e-5)
    assert module.alpha_isc_a_k == pytest.approx(alpha_isc_pct_k / 100.0 * isc_a, rel=1e-12)
    assert module.series_ohm >= 0.0
    assert module.shunt_ohm > 0.0
    assert module.saturation_current_a > 0.0


def test_meets_the_datasheet_that_a_root_finder_fails_on():
    assert_meets(fit_module(**HARD), **HARD)


@pytest.mark.parametrize("name", list(part_tables("panels")))
def test_meets_every_part_of_the_library(name, make_panels):
    panels = make_panels(name)
    module = fit_panels(panels)
    assert_meets(module, **{key: getattr(panels, key) for key in HARD})
    assert gamma_note(panels, module) is None


def test_ideality_and_power_slope_of_a_silicon_panel_are_ordinary():
    module = fit_module(**HARD)
    ideality = module.modified_ideality_v / (36 * 0.025693)
    assert 0.9 < ideality < 1.1
    assert -0.40 < power_slope_pct_k(module) < -0.28


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"imp_a": 10.4}, "panels.imp_a", "between 0 and isc_a"),
        ({"vmp_v": 25.0}, "panels.vmp_v", "between 0 and voc_v"),
        ({"imp_a": 5.0, "vmp_v": 8.0}, "panels", "more than 1"),
        ({"vmp_v": 23.5}, "panels", "vmp_v or imp_a is too high"),
        ({"imp_a": 10.39, "vmp_v": 15.0}, "panels", "too near isc_a"),
        ({"beta_voc_pct_k": -0.6}, "panels.beta_voc_pct_k", "must lie between"),
        ({"beta_voc_pct_k": -0.02}, "panels.beta_voc_pct_k", "must lie between"),
        ({"cells_in_series": 72}, "panels.cells_in_series", "25 to 54 cells"),
        ({"cells_in_series": 20}, "panels.cells_in_series", "25 to 54 cells"),
    ],
)
def test_refuses_what_no_panel_can_be(changes, field, words):
    with pytest.raises(InputError, match=words) as caught:
        fit_module(**(HARD | changes))
    assert caught.value.field == field


def test_allowed_slopes_in_the_message_are_those_that_are_taken():
    with pytest.raises(InputError) as caught:
        fit_module(**(HARD | {"beta_voc_pct_k": -0.6}))
    low, high = (float(word) for word in caught.value.message.split("between ")[1].split()[0:3:2])
    for slope in (low + 0.002, high - 0.002):
        sheet = HARD | {"beta_voc_pct_k": slope}
        assert_meets(fit_module(**sheet), **sheet)
    for slope in (low - 0.002, high + 0.002):
        with pytest.raises(InputError):
            fit_module(**(HARD | {"beta_voc_pct_k": slope}))


def test_short_circuit_current_in_the_message_is_taken():
    # Seen on real 100 W sheets: Imp is 96 % of Isc while Vmp is only 80 % of Voc.
    sheet = HARD | {"isc_a": 5.8, "imp_a": 5.56, "voc_v": 22.5, "vmp_v": 18.0}
    with pytest.raises(InputError, match="or isc_a") as caught:
        fit_module(**sheet)
    better = sheet | {"isc_a": float(caught.value.message.split("about ")[1].split()[0])}
    assert_meets(fit_module(**better), **better)


def test_power_slope_far_from_the_datasheet_is_told(make_panels):
    panels = make_panels(gamma_pmp_pct_k=-0.50)
    note = gamma_note(panels, fit_panels(panels))
    assert note is not None
    assert "-0.50" in note
    assert "-0.33" in note
