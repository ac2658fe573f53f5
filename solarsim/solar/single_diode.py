"""A panel's current-voltage curve at any light and cell temperature (De Soto's five parameters)."""

from __future__ import annotations

import dataclasses

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray

__all__ = [
    "BOLTZMANN_EV_K",
    "REFERENCE_POA_W_M2",
    "REFERENCE_TEMP_K",
    "CurveParameters",
    "SingleDiode",
    "current_at_voltage",
    "curve_parameters",
    "log_saturation_slope",
    "max_power_point",
    "open_circuit_voltage",
]

ArrayLike = npt.ArrayLike

# Standard test conditions, IEC 60904-3.
REFERENCE_POA_W_M2 = 1000.0
REFERENCE_TEMP_K = 298.15
BOLTZMANN_EV_K = 8.617333262e-5
# Silicon's band gap at 25 C and its relative change per kelvin, De Soto et al. (2006), eq. 10.
_BAND_GAP_EV = 1.121
_BAND_GAP_SLOPE_K = -0.0002677

_MAX_STEPS = 100
_STEP_TOLERANCE = 1e-13


@dataclasses.dataclass(frozen=True)
class SingleDiode:
    """De Soto's five parameters at 1000 W/m2 and 25 C, and the slope of Isc.

    Attributes
    ----------
    alpha_isc_a_k : float
        Change of the short-circuit current with temperature, A/K.
    modified_ideality_v : float
        Ideality factor x cells in series x thermal voltage, V.
    light_current_a, saturation_current_a : float
        Current source and diode of the equivalent circuit, A.
    shunt_ohm, series_ohm : float
        Resistances across and in line, ohm.
    """

    alpha_isc_a_k: float
    modified_ideality_v: float
    light_current_a: float
    saturation_current_a: float
    shunt_ohm: float
    series_ohm: float


@dataclasses.dataclass(frozen=True)
class CurveParameters:
    """The five parameters at given light and temperature, arrays of one shape.

    The shunt is held as a conductance, so that darkness is an ordinary number.
    """

    light_current_a: FloatArray
    saturation_current_a: FloatArray
    modified_ideality_v: FloatArray
    shunt_per_ohm: FloatArray
    series_ohm: float


def curve_parameters(
    module: SingleDiode, absorbed_w_m2: ArrayLike, temp_cell_c: ArrayLike
) -> CurveParameters:
    """Carry the five parameters to other light and cell temperature.

    Parameters
    ----------
    module : SingleDiode
        Parameters at standard test conditions.
    absorbed_w_m2 : array_like
        Light that reaches the cells, as perpendicular light on a clean panel, W/m2.
    temp_cell_c : array_like
        Cell temperature, degrees C; broadcast against the light.

    References
    ----------
    .. [1] W. De Soto, S. A. Klein and W. A. Beckman, "Improvement and validation of a model for
       photovoltaic array performance", Solar Energy 80, 78-88, 2006.
    """
    light, temp_c = np.broadcast_arrays(
        np.asarray(absorbed_w_m2, dtype=np.float64), np.asarray(temp_cell_c, dtype=np.float64)
    )
    temp_k = temp_c + 273.15
    warmer_k = temp_k - REFERENCE_TEMP_K
    light_share = light / REFERENCE_POA_W_M2
    gap_ev = _BAND_GAP_EV * (1.0 + _BAND_GAP_SLOPE_K * warmer_k)
    growth = _BAND_GAP_EV / (BOLTZMANN_EV_K * REFERENCE_TEMP_K) - gap_ev / (BOLTZMANN_EV_K * temp_k)
    warmth = temp_k / REFERENCE_TEMP_K
    return CurveParameters(
        light_current_a=light_share * (module.light_current_a + module.alpha_isc_a_k * warmer_k),
        saturation_current_a=module.saturation_current_a * warmth**3 * np.exp(growth),
        modified_ideality_v=module.modified_ideality_v * warmth,
        shunt_per_ohm=light_share / module.shunt_ohm,
        series_ohm=module.series_ohm,
    )


def log_saturation_slope() -> float:
    """Slope of the logarithm of the saturation current with temperature at 25 C, 1/K."""
    gap_slope_ev_k = _BAND_GAP_EV * _BAND_GAP_SLOPE_K
    temp_k = REFERENCE_TEMP_K
    return (
        3.0 / temp_k
        + _BAND_GAP_EV / (BOLTZMANN_EV_K * temp_k**2)
        - gap_slope_ev_k / (BOLTZMANN_EV_K * temp_k)
    )


def max_power_point(curve: CurveParameters) -> tuple[FloatArray, FloatArray]:
    """Power and voltage at the maximum power point.

    Returns
    -------
    power_w, voltage_v : ndarray
        Of the curve's shape; both zero in darkness.

    Notes
    -----
    With the diode's own voltage ``u`` as the unknown, current ``I(u)`` and voltage ``V(u)`` are
    explicit, and ``dP/du = I - g (u - 2 I R)`` has one root, where ``g = -dI/du``. It is concave,
    so that Newton's method from the open-circuit side falls onto the root without overshoot.

    References
    ----------
    .. [1] J. W. Bishop, "Computer simulation of the effects of electrical mismatches in
       photovoltaic cell interconnection circuits", Solar Cells 25, 73-89, 1988.
    """
    a_v, series = curve.modified_ideality_v, curve.series_ohm
    inner_v = _open_circuit_bound(curve)
    # The ideal diode's optimum lies below open circuit by about a ln(1 + Voc / a); stay above it.
    inner_v = inner_v - 0.5 * a_v * np.log1p(inner_v / a_v)
    for _ in range(_MAX_STEPS):
        diode = curve.saturation_current_a * np.exp(inner_v / a_v)
        current = _current(curve, diode, inner_v)
        slope = diode / a_v + curve.shunt_per_ohm
        arm = inner_v - 2.0 * current * series
        value = current - slope * arm
        gradient = -slope * (2.0 + 2.0 * slope * series) - diode / a_v**2 * arm
        step = value / gradient
        inner_v = inner_v - step
        if np.all(np.abs(step) <= _STEP_TOLERANCE * (a_v + np.abs(inner_v))):
            break
    diode = curve.saturation_current_a * np.exp(inner_v / a_v)
    current = _current(curve, diode, inner_v)
    voltage = inner_v - current * series
    return current * voltage, voltage


def current_at_voltage(curve: CurveParameters, voltage_v: ArrayLike) -> FloatArray:
    """Current at a terminal voltage; negative above open circuit.

    More than one thermal step above open circuit the current is that of one step above: enough to
    know that nothing flows, and finite.

    Parameters
    ----------
    curve : CurveParameters
        The curves.
    voltage_v : array_like
        Terminal voltage, V, not negative; broadcast against the curves.
    """
    a_v, series = curve.modified_ideality_v, curve.series_ohm
    voltage = np.minimum(voltage_v, _open_circuit_bound(curve) + a_v)
    # The true inner voltage is lower, as I < light current: Newton falls onto it from above.
    inner_v = np.minimum(voltage + series * curve.light_current_a, _open_circuit_bound(curve) + a_v)
    inner_v = np.maximum(inner_v, voltage)
    for _ in range(_MAX_STEPS):
        diode = curve.saturation_current_a * np.exp(inner_v / a_v)
        current = _current(curve, diode, inner_v)
        slope = diode / a_v + curve.shunt_per_ohm
        step = (inner_v - series * current - voltage) / (1.0 + series * slope)
        inner_v = inner_v - step
        if np.all(np.abs(step) <= _STEP_TOLERANCE * (a_v + np.abs(inner_v))):
            break
    return _current(curve, curve.saturation_current_a * np.exp(inner_v / a_v), inner_v)


def open_circuit_voltage(curve: CurveParameters) -> FloatArray:
    """Open-circuit voltage, V; zero in darkness."""
    a_v = curve.modified_ideality_v
    voltage = _open_circuit_bound(curve)
    for _ in range(_MAX_STEPS):
        diode = curve.saturation_current_a * np.exp(voltage / a_v)
        slope = diode / a_v + curve.shunt_per_ohm
        step = -_current(curve, diode, voltage) / slope
        voltage = voltage - step
        if np.all(np.abs(step) <= _STEP_TOLERANCE * (a_v + np.abs(voltage))):
            break
    return voltage


def _open_circuit_bound(curve: CurveParameters) -> FloatArray:
    """Open-circuit voltage without the shunt: never below the true one."""
    bound: FloatArray = curve.modified_ideality_v * np.log1p(
        curve.light_current_a / curve.saturation_current_a
    )
    return bound


def _current(curve: CurveParameters, diode_a: FloatArray, inner_v: FloatArray) -> FloatArray:
    result: FloatArray = (
        curve.light_current_a
        - (diode_a - curve.saturation_current_a)
        - inner_v * curve.shunt_per_ohm
    )
    return result
