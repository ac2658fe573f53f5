"""How much air the sun's light passes."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["absolute_air_mass", "pressure_pa"]

_SEA_LEVEL_PA = 101325.0


def pressure_pa(elevation_m: float) -> float:
    """Pressure of the standard atmosphere at an elevation, Pa.

    References
    ----------
    .. [1] International Standard Atmosphere (ISO 2533), troposphere, in the form of "A quick
       derivation relating altitude to air pressure", Portland State Aerospace Society, 2004.
    """
    return float(100 * ((44331.514 - elevation_m) / 11880.516) ** (1 / 0.1902632))


def absolute_air_mass(zenith_deg: FloatArray, elevation_m: float) -> FloatArray:
    """Air mass against that of a sun overhead at sea level.

    Parameters
    ----------
    zenith_deg : ndarray
        Apparent zenith, at most 90 degrees.
    elevation_m : float
        Of the place.

    References
    ----------
    .. [1] F. Kasten and A. T. Young, "Revised optical air mass tables and approximation formula",
       Applied Optics 28, 4735-4738, 1989.
    """
    relative = 1.0 / (
        np.cos(np.radians(zenith_deg)) + 0.50572 * ((6.07995 + (90 - zenith_deg)) ** -1.6364)
    )
    return np.asarray(relative * pressure_pa(elevation_m) / _SEA_LEVEL_PA)
