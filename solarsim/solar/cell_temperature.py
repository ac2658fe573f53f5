"""Temperature of a panel's cells from light, air and wind."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["MOUNTINGS", "OPEN_RACK", "Mounting", "cell_temperature"]


@dataclasses.dataclass(frozen=True)
class Mounting:
    """Coefficients of one way of mounting in King et al. (2004), table 1.

    ``rise_c`` is by how much the cell is hotter than the panel's back at 1000 W/m2.
    """

    intercept: float
    wind_slope: float
    rise_c: float


# A panel laid flush on the roof is a close mount; glued to it, its back is insulated. On brackets
# with an air gap of 5 to 7 cm it runs between an open rack and a close mount: Fuentes (SAND85-0330,
# 1987; from memory) adds 2 to 6 K to an open rack's operating temperature there and 11 K at 2.5 cm,
# and the middle of the two mountings' coefficients, taken here, adds 6 K at 800 W/m2 and 1 m/s.
OPEN_RACK = Mounting(intercept=-3.56, wind_slope=-0.0750, rise_c=3.0)
MOUNTINGS: dict[str, Mounting] = {
    "gap": Mounting(intercept=-3.27, wind_slope=-0.06105, rise_c=2.0),
    "close": Mounting(intercept=-2.98, wind_slope=-0.0471, rise_c=1.0),
    "glued": Mounting(intercept=-2.81, wind_slope=-0.0455, rise_c=0.0),
}


def cell_temperature(
    poa_w_m2: FloatArray, temp_air_c: FloatArray, wind_speed_m_s: FloatArray, mounting: Mounting
) -> FloatArray:
    """Cell temperature in degrees C, of the arrays' common shape.

    Parameters
    ----------
    poa_w_m2 : ndarray
        Irradiance on the panel, W/m2.
    temp_air_c : ndarray
        Air temperature, degrees C.
    wind_speed_m_s : ndarray
        Wind at 10 m in the open, m/s. It is not reduced to the roof's height: the coefficients
        were fitted to panels near the ground against wind measured at 10 m, so they hold that
        reduction already.
    mounting : Mounting
        One of `MOUNTINGS`.

    References
    ----------
    .. [1] D. L. King, W. E. Boyson and J. A. Kratochvil, "Photovoltaic array performance model",
       SAND2004-3535, Sandia National Laboratories, 2004, eqs. 11 and 12 and table 1.

    Examples
    --------
    >>> sun, air, calm = np.array([1000.0]), np.array([25.0]), np.array([0.0])
    >>> cell_temperature(sun, air, calm, MOUNTINGS["glued"]).round(2)
    array([85.2])
    """
    back_c_m2_w = np.exp(mounting.intercept + mounting.wind_slope * wind_speed_m_s)
    heating = back_c_m2_w + mounting.rise_c / 1000.0
    result: FloatArray = temp_air_c + poa_w_m2 * heating
    return result
