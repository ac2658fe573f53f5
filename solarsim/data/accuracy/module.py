"""Published figures for the cell's temperature, the single diode, and the glass."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from solarsim.data.accuracy.comparison import Comparison
from solarsim.solar.cell_temperature import MOUNTINGS, OPEN_RACK, Mounting, cell_temperature
from solarsim.solar.light import beam_factors
from solarsim.solar.module import fit_module
from solarsim.solar.single_diode import (
    CurveParameters,
    SingleDiode,
    current_at_voltage,
    curve_parameters,
    max_power_point,
    open_circuit_voltage,
)

__all__ = ["COMPARISONS", "cell_c", "incidence_modifier", "worked_cold_voc_v"]

_KING = "King et al. 2004, SAND2004-3535, table 1"
_DE_SOTO = "pvlib 0.16, De Soto et al. 2006, the module of its tests"
_GLASS = "De Soto et al. 2006, eqs. 20 and 21, glass of index 1.526"
_NEC = "NEC 690.7(A)(1), worked example"

OPEN_RACK_GLASS = Mounting(intercept=-3.47, wind_slope=-0.0594, rise_c=3.0)
_MODULE = SingleDiode(
    alpha_isc_a_k=0.003,
    modified_ideality_v=0.473,
    light_current_a=7.545,
    saturation_current_a=1.94e-9,
    shunt_ohm=15.72,
    series_ohm=0.094,
)


def cell_c(poa_w_m2: float, temp_air_c: float, wind_m_s: float, mounting: Mounting) -> float:
    """Cell temperature of one case, degrees C."""
    poa, air, wind = (np.array([value]) for value in (poa_w_m2, temp_air_c, wind_m_s))
    return float(cell_temperature(poa, air, wind, mounting)[0])


def incidence_modifier(aoi_deg: float) -> float:
    """Share of a beam that passes the glass, against a perpendicular one."""
    projection, passed = beam_factors(np.array([aoi_deg]), np.zeros(1), 0.0, 180.0)
    return float(passed[0] / projection[0])


def worked_cold_voc_v(temp_c: float) -> float:
    """Open-circuit voltage, V, of a fitted 72-cell panel of Voc 49.5 V and -0.27 %/K.

    The worked example gives Voc and its slope alone; the other numbers are ordinary ones.
    """
    module = fit_module(
        isc_a=10.07,
        voc_v=49.5,
        imp_a=9.5,
        vmp_v=41.2,
        alpha_isc_pct_k=0.05,
        beta_voc_pct_k=-0.27,
        cells_in_series=72,
    )
    return float(open_circuit_voltage(curve_parameters(module, 1000.0, temp_c)))


def _cell_comparison(
    name: str, mounting: Mounting, wind_m_s: float, expected_c: float
) -> Comparison:
    return Comparison(
        subject="cell temperature",
        what=f"{name}, 1000 W/m2, 25 C air, {wind_m_s:g} m/s",
        source=_KING,
        expected=expected_c,
        tolerance=0.02,
        unit="C",
        got=lambda: cell_c(1000.0, 25.0, wind_m_s, mounting),
    )


def _power_comparison(light_w_m2: float, temp_c: float, expected_w: float) -> Comparison:
    return Comparison(
        subject="panel",
        what=f"maximum power at {light_w_m2:g} W/m2 and {temp_c:g} C",
        source=_DE_SOTO,
        expected=expected_w,
        tolerance=1e-3,
        unit="W",
        got=lambda: float(max_power_point(curve_parameters(_MODULE, light_w_m2, temp_c))[0]),
    )


def _glass_comparison(aoi_deg: float, expected: float) -> Comparison:
    return Comparison(
        subject="incidence angle",
        what=f"share of the beam that passes at {aoi_deg:g} deg",
        source=_GLASS,
        expected=expected,
        tolerance=1e-4,
        unit="",
        got=lambda: incidence_modifier(aoi_deg),
    )


def _curve_comparison(
    what: str, expected: float, unit: str, got: Callable[[], float]
) -> Comparison:
    return Comparison(
        subject="panel",
        what=f"{what} of one curve (7 A, 6e-7 A, 0.1 ohm, 20 ohm, 0.5 V)",
        source="pvlib 0.16, tests of the single-diode equation",
        expected=expected,
        # The published figures end here.
        tolerance=1e-5,
        unit=unit,
        got=got,
    )


def _curve() -> CurveParameters:
    return CurveParameters(
        light_current_a=np.array(7.0),
        saturation_current_a=np.array(6e-7),
        modified_ideality_v=np.array(0.5),
        shunt_per_ohm=np.array(1.0 / 20.0),
        series_ohm=0.1,
    )


COMPARISONS: tuple[Comparison, ...] = (
    Comparison(
        subject="cell temperature",
        what="open rack, glass on both sides, 900 W/m2, 20 C air, 5 m/s",
        source="pvlib 0.16, test of King et al. 2004",
        expected=43.509,
        tolerance=1e-3,
        unit="C",
        got=lambda: cell_c(900.0, 20.0, 5.0, OPEN_RACK_GLASS),
    ),
    _cell_comparison("open rack", OPEN_RACK, 1.0, 54.38),
    _cell_comparison("close mount", MOUNTINGS["close"], 1.0, 74.46),
    _cell_comparison("glued", MOUNTINGS["glued"], 0.0, 85.20),
    _cell_comparison("glued", MOUNTINGS["glued"], 5.0, 72.95),
    _curve_comparison("maximum power", 38.19421, "W", lambda: float(max_power_point(_curve())[0])),
    _curve_comparison("open circuit", 8.106300, "V", lambda: float(open_circuit_voltage(_curve()))),
    _curve_comparison(
        "short circuit", 6.965172, "A", lambda: float(current_at_voltage(_curve(), 0.0))
    ),
    _power_comparison(1000.0, 25.0, 55.437),
    _power_comparison(200.0, 25.0, 10.815),
    _power_comparison(1000.0, 50.0, 48.392),
    Comparison(
        subject="panel",
        what="Voc of a 49.5 V panel (-0.27 %/K) at -10 C, 1000 W/m2",
        source=_NEC,
        expected=54.18,
        # The example takes the slope as constant; De Soto's falls a little towards the cold.
        tolerance=0.3,
        unit="V",
        got=lambda: worked_cold_voc_v(-10.0),
    ),
    _glass_comparison(30.0, 0.9979),
    _glass_comparison(45.0, 0.9880),
    _glass_comparison(60.0, 0.9460),
    _glass_comparison(75.0, 0.7741),
)
