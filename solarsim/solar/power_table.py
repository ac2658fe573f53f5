"""A panel's power tabulated over light and cell temperature, for quick look-up."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["PowerTable", "look_up", "tabulate"]

_LOWEST_W_M2, _HIGHEST_W_M2, _LIGHT_NODES = 1.0, 2000.0, 129
_LOWEST_C, _HIGHEST_C, _TEMP_NODES = -60.0, 120.0, 361


@dataclasses.dataclass(frozen=True)
class PowerTable:
    """Power per light, W/(W/m2), on evenly spaced ln(light) and temperature.

    Power per light is close to linear in the logarithm of the light (the voltage is) and in
    temperature, which is why it is what is interpolated.
    """

    power_per_light: FloatArray
    """``(light, temperature)``."""


def tabulate(power_w: Callable[[FloatArray, FloatArray], FloatArray]) -> PowerTable:
    """Build the table of a function of absorbed light (W/m2) and cell temperature (degrees C)."""
    light = np.geomspace(_LOWEST_W_M2, _HIGHEST_W_M2, _LIGHT_NODES)[:, None]
    temp = np.linspace(_LOWEST_C, _HIGHEST_C, _TEMP_NODES)[None, :]
    return PowerTable(power_per_light=power_w(light, temp) / light)


def look_up(table: PowerTable, absorbed_w_m2: FloatArray, temp_cell_c: FloatArray) -> FloatArray:
    """Power at any light and temperature, W, bilinear between the nodes and never negative.

    Parameters
    ----------
    table : PowerTable
        The panel's table.
    absorbed_w_m2, temp_cell_c : ndarray
        Arrays of one shape. Below 1 W/m2 power goes to zero with the light; a temperature beyond
        -60 to 120 C is taken as that limit.
    """
    light_step = np.log(_HIGHEST_W_M2 / _LOWEST_W_M2) / (_LIGHT_NODES - 1)
    temp_step = (_HIGHEST_C - _LOWEST_C) / (_TEMP_NODES - 1)
    row = np.log(np.clip(absorbed_w_m2, _LOWEST_W_M2, _HIGHEST_W_M2) / _LOWEST_W_M2) / light_step
    column = (np.clip(temp_cell_c, _LOWEST_C, _HIGHEST_C) - _LOWEST_C) / temp_step
    row_index = np.minimum(row.astype(np.intp), _LIGHT_NODES - 2)
    column_index = np.minimum(column.astype(np.intp), _TEMP_NODES - 2)
    row -= row_index
    column -= column_index
    corner = row_index * _TEMP_NODES + column_index
    flat = table.power_per_light.ravel()
    near = flat[corner] * (1.0 - column) + flat[corner + 1] * column
    corner += _TEMP_NODES
    far = flat[corner] * (1.0 - column) + flat[corner + 1] * column
    result: FloatArray = np.maximum((near + (far - near) * row) * absorbed_w_m2, 0.0)
    return result
