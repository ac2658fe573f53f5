"""Where on its curve a solar charge controller works a panel."""

from __future__ import annotations

import functools

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.panels import Controller
from solarsim.solar.power_table import PowerTable, tabulate
from solarsim.solar.single_diode import (
    SingleDiode,
    current_at_voltage,
    curve_parameters,
    max_power_point,
)

__all__ = ["controller_table", "panel_voltage_v", "worked_power"]


def panel_voltage_v(controller: Controller, *, bus_voltage_v: float, series: int) -> float:
    """Voltage of one panel that the bank fixes: PWM works at it, MPPT not below it.

    A PWM controller joins the string to the bank, so that each of its panels stands at its share
    of the bank's voltage. MPPT steps down: it needs the string ``start_margin_v`` above the bank.
    """
    margin_v = controller.start_margin_v if controller.kind == "mppt" else 0.0
    return (bus_voltage_v + margin_v) / series


def worked_power(
    module: SingleDiode,
    kind: str,
    voltage_v: float,
    absorbed_w_m2: FloatArray,
    temp_cell_c: FloatArray,
) -> FloatArray:
    """Power of one panel at the controller's input, W; negative where it would draw current.

    Parameters
    ----------
    module : SingleDiode
        The panel.
    kind : str
        ``"pwm"`` works the panel at `voltage_v`. ``"mppt"`` works it at its maximum power point;
        where that lies below `voltage_v`, as on a hot panel of few cells, at `voltage_v`, the
        best point that it can reach.
    voltage_v : float
        See `panel_voltage_v`.
    absorbed_w_m2, temp_cell_c : ndarray
        Light on the cells and their temperature; broadcast.
    """
    curve = curve_parameters(module, absorbed_w_m2, temp_cell_c)
    at_voltage_w = current_at_voltage(curve, voltage_v) * voltage_v
    if kind == "pwm":
        return at_voltage_w
    best_w, best_v = max_power_point(curve)
    return np.where(best_v >= voltage_v, best_w, at_voltage_w)


@functools.lru_cache(maxsize=128)
def controller_table(module: SingleDiode, kind: str, voltage_v: float) -> PowerTable:
    """Tabulate `worked_power` of one panel, once for each panel, controller and bank."""
    return tabulate(lambda light, temp: worked_power(module, kind, voltage_v, light, temp))
