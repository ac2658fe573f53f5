"""From a panel's datasheet to the five parameters of its equivalent circuit."""

from __future__ import annotations

import dataclasses
import functools

import numpy as np

from solarsim.arrays import BoolArray, FloatArray
from solarsim.errors import InputError
from solarsim.inputs.panels import Panels
from solarsim.solar.single_diode import (
    BOLTZMANN_EV_K,
    REFERENCE_POA_W_M2,
    REFERENCE_TEMP_K,
    SingleDiode,
    curve_parameters,
    log_saturation_slope,
    max_power_point,
)

__all__ = ["fit_module", "fit_panels", "gamma_note", "power_slope_pct_k"]

# Outside these a number is almost certainly mistyped. Common practice, no source: crystalline
# panels come out with idealities between about 0.8 and 1.5 and 0.55 to 0.75 V per cell; the
# thin-film ones reach 0.9 V.
_LOWEST_IDEALITY = 0.6
_HIGHEST_IDEALITY = 1.8
_LOWEST_CELL_V = 0.45
_HIGHEST_CELL_V = 1.0

_GRID = 57
_ZOOMS = 5
_HALVINGS = 54
_SLOPE_TOLERANCE = 1e-7

# A difference between the datasheet's and the model's power slope that is worth a word.
_GAMMA_TOLERANCE_PCT_K = 0.06


def fit_panels(panels: Panels) -> SingleDiode:
    """Fit the equivalent circuit of one panel of an array; see `fit_module`."""
    return fit_module(
        isc_a=panels.isc_a,
        voc_v=panels.voc_v,
        imp_a=panels.imp_a,
        vmp_v=panels.vmp_v,
        alpha_isc_pct_k=panels.alpha_isc_pct_k,
        beta_voc_pct_k=panels.beta_voc_pct_k,
        cells_in_series=panels.cells_in_series,
    )


@functools.lru_cache(maxsize=256)
def fit_module(
    *,
    isc_a: float,
    voc_v: float,
    imp_a: float,
    vmp_v: float,
    alpha_isc_pct_k: float,
    beta_voc_pct_k: float,
    cells_in_series: int,
) -> SingleDiode:
    """Find the five De Soto parameters that reproduce a datasheet.

    Parameters
    ----------
    isc_a, voc_v, imp_a, vmp_v : float
        Short circuit, open circuit and maximum power point at 1000 W/m2 and 25 C.
    alpha_isc_pct_k, beta_voc_pct_k : float
        Slopes of Isc and Voc with cell temperature, % per kelvin.
    cells_in_series : int
        Cells in one series string of the panel (a half-cut panel's count of one half).

    Returns
    -------
    SingleDiode
        Meets Isc, Voc, Imp and Vmp to rounding, and the slope of Voc at 25 C.

    Raises
    ------
    InputError
        No diode with resistances that are not negative passes through these numbers; the message
        says which number and what it may be.

    Notes
    -----
    The five equations are De Soto's [1]_, with the slope of Voc as a derivative instead of a
    second temperature. For a given modified ideality ``a`` and series resistance ``R`` the points
    (0, Isc), (Vmp, Imp) and (Voc, 0) are linear in the light current, the saturation current and
    the shunt conductance. What is left are two unknowns: ``dP/dV = 0`` at Vmp has a single root in
    ``R`` for every ``a``, and the slope of Voc falls steadily with ``a``. So both are found by
    bracketing, from no starting values, and the range of slopes that the other numbers allow is
    known when there is no solution.

    References
    ----------
    .. [1] W. De Soto, S. A. Klein and W. A. Beckman, "Improvement and validation of a model for
       photovoltaic array performance", Solar Energy 80, 78-88, 2006.
    """
    _check_order(isc_a=isc_a, voc_v=voc_v, imp_a=imp_a, vmp_v=vmp_v)
    _check_cells(voc_v, cells_in_series)
    thermal_v = cells_in_series * BOLTZMANN_EV_K * REFERENCE_TEMP_K
    sheet = (isc_a, voc_v, imp_a, vmp_v)
    slopes = (alpha_isc_pct_k, beta_voc_pct_k)
    found = _search(thermal_v, slopes, sheet)
    if found.a_v is not None:
        return _assemble(found.a_v, found.series_ohm, alpha_isc_pct_k / 100.0 * isc_a, *sheet)
    if found.lowest_pct_k is None:
        raise InputError(_fill_factor_message(thermal_v, *sheet), field="panels")
    message = (
        f"got {beta_voc_pct_k}; with the panel's other numbers it must lie between "
        f"{found.lowest_pct_k:.3f} and {found.highest_pct_k:.3f} %/K"
    )
    # The usual cause: Imp is so near Isc that the curve would have to rise towards its knee.
    for percent in range(1, 11):
        higher_a = isc_a * (1.0 + percent / 100.0)
        if _search(thermal_v, slopes, (higher_a, voc_v, imp_a, vmp_v)).a_v is not None:
            message += f"; or isc_a, given as {isc_a}, about {higher_a:.2f} (imp_a: {imp_a})"
            break
    else:
        message += f"; check vmp_v, imp_a and cells_in_series ({cells_in_series}) too"
    raise InputError(message, field="panels.beta_voc_pct_k")


def power_slope_pct_k(module: SingleDiode) -> float:
    """Slope of the maximum power with cell temperature at 1000 W/m2 and 25 C, % per kelvin."""
    power_w, _ = max_power_point(curve_parameters(module, REFERENCE_POA_W_M2, [24.5, 25.0, 25.5]))
    return float((power_w[2] - power_w[0]) / power_w[1] * 100.0)


def gamma_note(panels: Panels, module: SingleDiode) -> str | None:
    """Say so where the datasheet's power slope is far from what its other numbers imply.

    De Soto's model has no room for ``gamma_pmp_pct_k``: it follows from the other numbers.
    """
    model_pct_k = power_slope_pct_k(module)
    if abs(model_pct_k - panels.gamma_pmp_pct_k) <= _GAMMA_TOLERANCE_PCT_K:
        return None
    return (
        f"panels.gamma_pmp_pct_k is {panels.gamma_pmp_pct_k:.2f} %/K, but the panel's other "
        f"numbers give {model_pct_k:.2f} %/K, which is used; 40 K above 25 C this is "
        f"{40.0 * (model_pct_k - panels.gamma_pmp_pct_k):+.1f} % of its power"
    )


def _check_order(*, isc_a: float, voc_v: float, imp_a: float, vmp_v: float) -> None:
    if not 0.0 < imp_a < isc_a:
        message = f"got {imp_a}; must lie between 0 and isc_a ({isc_a})"
        raise InputError(message, field="panels.imp_a")
    if not 0.0 < vmp_v < voc_v:
        message = f"got {vmp_v}; must lie between 0 and voc_v ({voc_v})"
        raise InputError(message, field="panels.vmp_v")
    if vmp_v / voc_v + imp_a / isc_a <= 1.0:
        message = (
            f"vmp_v / voc_v ({vmp_v / voc_v:.3f}) and imp_a / isc_a ({imp_a / isc_a:.3f}) must "
            "add up to more than 1: a panel's curve bulges above the straight line from isc_a to "
            "voc_v"
        )
        raise InputError(message, field="panels")


def _check_cells(voc_v: float, cells_in_series: int) -> None:
    per_cell_v = voc_v / cells_in_series
    if not _LOWEST_CELL_V <= per_cell_v <= _HIGHEST_CELL_V:
        lowest = int(np.ceil(voc_v / _HIGHEST_CELL_V))
        highest = int(np.floor(voc_v / _LOWEST_CELL_V))
        message = (
            f"got {cells_in_series}; a voc_v of {voc_v} V would be {per_cell_v:.2f} V per cell; "
            f"allowed are {lowest} to {highest} cells (of half-cut cells count half)"
        )
        raise InputError(message, field="panels.cells_in_series")


@dataclasses.dataclass(frozen=True)
class _Search:
    """What the search for the ideality found; no ``a_v`` where no curve fits."""

    a_v: float | None
    series_ohm: float
    lowest_pct_k: float | None
    highest_pct_k: float


def _search(
    thermal_v: float, slopes: tuple[float, float], sheet: tuple[float, float, float, float]
) -> _Search:
    """Zoom in on the modified ideality that gives Voc its slope; say which slopes there are."""
    isc_a, voc_v, _, _ = sheet
    alpha_a_k = slopes[0] / 100.0 * isc_a
    target_v_k = slopes[1] / 100.0 * voc_v
    low_v, high_v = _LOWEST_IDEALITY * thermal_v, _HIGHEST_IDEALITY * thermal_v
    a_v = np.linspace(low_v, high_v, _GRID)
    series, possible = _series_resistance(a_v, *sheet)
    if not possible[0]:
        return _Search(None, 0.0, None, 0.0)
    slope_v_k = _voc_slope(a_v, series, alpha_a_k, *sheet)
    highest_pct_k = float(slope_v_k[0]) / voc_v * 100.0
    # The slope falls with the ideality, and so does what curve is possible: beyond the last
    # possible ideality it counts as fallen for ever.
    fallen_v_k = np.where(possible, slope_v_k, -np.inf)
    if fallen_v_k[0] < target_v_k:
        lowest_pct_k = float(fallen_v_k[possible][-1]) / voc_v * 100.0
        return _Search(None, 0.0, lowest_pct_k, highest_pct_k)
    index = int(np.flatnonzero(fallen_v_k >= target_v_k)[-1])
    for _ in range(_ZOOMS):
        if index == _GRID - 1:
            break
        a_v = np.linspace(a_v[index], a_v[index + 1], _GRID)
        series, possible = _series_resistance(a_v, *sheet)
        fallen_v_k = np.where(possible, _voc_slope(a_v, series, alpha_a_k, *sheet), -np.inf)
        index = int(np.flatnonzero(fallen_v_k >= target_v_k)[-1])
    reached_v_k = float(fallen_v_k[index])
    if reached_v_k - target_v_k > _SLOPE_TOLERANCE * abs(target_v_k):
        return _Search(None, 0.0, reached_v_k / voc_v * 100.0, highest_pct_k)
    return _Search(float(a_v[index]), float(series[index]), None, highest_pct_k)


def _linear_solution(
    a_v: FloatArray, series: FloatArray, isc_a: float, voc_v: float, imp_a: float, vmp_v: float
) -> tuple[FloatArray, FloatArray]:
    """Diode current at open circuit and shunt conductance through the three points."""
    short_v = isc_a * series
    knee_v = vmp_v + imp_a * series
    short_exp = -np.expm1((short_v - voc_v) / a_v)
    knee_exp = -np.expm1((knee_v - voc_v) / a_v)
    determinant = short_exp * (voc_v - knee_v) - knee_exp * (voc_v - short_v)
    diode_a = (isc_a * (voc_v - knee_v) - imp_a * (voc_v - short_v)) / determinant
    conductance_per_ohm = (short_exp * imp_a - knee_exp * isc_a) / determinant
    return diode_a, conductance_per_ohm


def _knee_error(
    a_v: FloatArray, series: FloatArray, isc_a: float, voc_v: float, imp_a: float, vmp_v: float
) -> FloatArray:
    """Zero where the power has its maximum at (Vmp, Imp), A; rises with the resistance."""
    diode_a, conductance_per_ohm = _linear_solution(a_v, series, isc_a, voc_v, imp_a, vmp_v)
    knee_v = vmp_v + imp_a * series
    slope = diode_a / a_v * np.exp((knee_v - voc_v) / a_v) + conductance_per_ohm
    error: FloatArray = slope * (vmp_v - imp_a * series) - imp_a
    return error


def _largest_resistance(
    a_v: FloatArray, isc_a: float, voc_v: float, imp_a: float, vmp_v: float
) -> FloatArray:
    """Series resistance with which the knee needs no shunt at all."""
    largest: FloatArray = (voc_v + a_v * np.log1p(-imp_a / isc_a) - vmp_v) / imp_a
    return largest


def _series_resistance(
    a_v: FloatArray, isc_a: float, voc_v: float, imp_a: float, vmp_v: float
) -> tuple[FloatArray, BoolArray]:
    """Resistance that puts the maximum at the datasheet's point, and where there is one."""
    sheet = (isc_a, voc_v, imp_a, vmp_v)
    high = np.maximum(_largest_resistance(a_v, *sheet), 0.0)
    low = np.zeros_like(high)
    possible = (_knee_error(a_v, low, *sheet) <= 0.0) & (_knee_error(a_v, high, *sheet) >= 0.0)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        above = _knee_error(a_v, middle, *sheet) > 0.0
        high = np.where(above, middle, high)
        low = np.where(above, low, middle)
    series = 0.5 * (low + high)
    _, conductance_per_ohm = _linear_solution(a_v, series, *sheet)
    return series, possible & (conductance_per_ohm >= 0.0)


def _voc_slope(
    a_v: FloatArray,
    series: FloatArray,
    alpha_a_k: float,
    isc_a: float,
    voc_v: float,
    imp_a: float,
    vmp_v: float,
) -> FloatArray:
    """Derivative of the open-circuit voltage with temperature at 25 C, V/K (implicit function)."""
    diode_a, conductance_per_ohm = _linear_solution(a_v, series, isc_a, voc_v, imp_a, vmp_v)
    growth = log_saturation_slope() * -np.expm1(-voc_v / a_v) - voc_v / (a_v * REFERENCE_TEMP_K)
    slope: FloatArray = (alpha_a_k - diode_a * growth) / (diode_a / a_v + conductance_per_ohm)
    return slope


def _assemble(
    a_v: float,
    series: float,
    alpha_a_k: float,
    isc_a: float,
    voc_v: float,
    imp_a: float,
    vmp_v: float,
) -> SingleDiode:
    diode_a, conductance_per_ohm = _linear_solution(
        np.asarray(a_v), np.asarray(series), isc_a, voc_v, imp_a, vmp_v
    )
    saturation_a = float(diode_a * np.exp(-voc_v / a_v))
    light_a = float(diode_a - saturation_a + conductance_per_ohm * voc_v)
    # A shunt that carries a billionth of the current is as good as none.
    conductance = max(float(conductance_per_ohm), 1e-9 * isc_a / voc_v)
    return SingleDiode(
        alpha_isc_a_k=alpha_a_k,
        modified_ideality_v=float(a_v),
        light_current_a=light_a,
        saturation_current_a=saturation_a,
        shunt_ohm=1.0 / conductance,
        series_ohm=float(series),
    )


def _fill_factor_message(
    thermal_v: float, isc_a: float, voc_v: float, imp_a: float, vmp_v: float
) -> str:
    fill = imp_a * vmp_v / (isc_a * voc_v)
    text = f"vmp_v x imp_a is {fill:.3f} of voc_v x isc_a (the fill factor); "
    a_v = np.asarray(_LOWEST_IDEALITY * thermal_v)
    largest = _largest_resistance(a_v, isc_a, voc_v, imp_a, vmp_v)
    if largest < 0.0 or _knee_error(a_v, np.asarray(0.0), isc_a, voc_v, imp_a, vmp_v) > 0.0:
        return text + "no panel reaches that: vmp_v or imp_a is too high, or voc_v or isc_a too low"
    return text + (
        f"imp_a ({imp_a}) is too near isc_a ({isc_a}) for a vmp_v ({vmp_v}) so far below voc_v "
        f"({voc_v}): lower imp_a or raise isc_a or vmp_v"
    )
