"""A known horizon around the van: it hides the sun that is below it and its part of the sky."""

from __future__ import annotations

import functools

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.percent import percent

__all__ = ["horizon_beam", "horizon_elevation", "horizon_note", "horizon_sky_view_share"]

_SKY_STEP_DEG = 0.1


def horizon_elevation(horizon: Horizon, azimuth_deg: FloatArray) -> FloatArray:
    """Height of the horizon in any directions, degrees; straight between those given.

    Examples
    --------
    >>> hill = Horizon((90.0, 180.0, 270.0), (0.0, 30.0, 0.0))
    >>> horizon_elevation(hill, np.array([0.0, 135.0, 180.0]))
    array([ 0., 15., 30.])
    """
    found: FloatArray = np.interp(
        azimuth_deg, horizon.azimuth_deg, horizon.elevation_deg, period=360.0
    )
    return found


def horizon_beam(
    horizon: Horizon, zenith_deg: FloatArray, sun_azimuth_deg: FloatArray
) -> FloatArray:
    """One where the middle of the sun stands above the horizon, else zero; the sun's shape."""
    height_deg = horizon_elevation(horizon, sun_azimuth_deg)
    return (90.0 - zenith_deg > height_deg).astype(np.float64)


@functools.lru_cache(maxsize=64)
def horizon_sky_view_share(horizon: Horizon) -> float:
    """Share of an even sky's light that reaches a flat roof, 0 to 1.

    The mean over the compass of ``cos(h)**2``, see `solarsim.solar.parking.sky_view_share`. A
    tilted panel is taken to lose the same share of what it sees of the sky.

    Examples
    --------
    >>> round(horizon_sky_view_share(Horizon((0.0,), (30.0,))), 6)
    0.75
    """
    azimuth = np.arange(_SKY_STEP_DEG / 2.0, 360.0, _SKY_STEP_DEG)
    height = np.radians(horizon_elevation(horizon, azimuth))
    return float(np.mean(np.cos(height) ** 2))


def horizon_note(horizon: Horizon) -> str:
    """One line on a horizon for the reader."""
    return (
        f"The horizon {horizon.source or 'given'} ({len(horizon.azimuth_deg)} directions, up to "
        f"{max(horizon.elevation_deg):g} deg) hides the sun below it and leaves "
        f"{percent(horizon_sky_view_share(horizon))} of the sky's light; what it reflects is left "
        "out."
    )
