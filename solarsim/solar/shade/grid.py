"""Look-up in tables over directions of the sun, as seen from the van's front."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray

__all__ = ["at_suns", "azimuth_nodes", "between", "elevation_nodes"]


def at_suns(
    values: FloatArray,
    elevation_deg: FloatArray,
    zenith_deg: FloatArray,
    sun_azimuth_deg: FloatArray,
    heading_deg: float | None,
) -> FloatArray:
    """Bilinear value of ``(azimuths or 1, elevations, ...)`` at suns; the suns' axes come first."""
    low_row, up = elevation_nodes(zenith_deg, elevation_deg)
    trailing = (...,) + (np.newaxis,) * (values.ndim - 2)
    up = up[trailing]
    if len(values) == 1:
        return between(values[0, low_row], values[0, low_row + 1], up)
    left, right, turn = azimuth_nodes(sun_azimuth_deg, heading_deg, len(values))
    return between(
        between(values[left, low_row], values[left, low_row + 1], up),
        between(values[right, low_row], values[right, low_row + 1], up),
        turn[trailing],
    )


def elevation_nodes(
    zenith_deg: FloatArray, elevation_deg: FloatArray
) -> tuple[npt.NDArray[np.intp], FloatArray]:
    """Node below each sun's elevation, and the way from it to the next; held beyond the ends."""
    high = np.interp(90.0 - zenith_deg, elevation_deg, np.arange(elevation_deg.size))
    low = np.minimum(high.astype(np.intp), elevation_deg.size - 2)
    return low, high - low


def azimuth_nodes(
    sun_azimuth_deg: FloatArray, heading_deg: float | None, steps: int
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp], FloatArray]:
    """Nodes on both sides of each sun's azimuth from the van's front, and the way between them."""
    turn = np.mod(sun_azimuth_deg - (heading_deg or 0.0), 360.0) * (steps / 360.0)
    left = np.minimum(turn.astype(np.intp), steps - 1)
    return left, (left + 1) % steps, turn - left


def between(near: FloatArray, far: FloatArray, share: FloatArray) -> FloatArray:
    """Value at a share of the way from one array to another."""
    return near + (far - near) * share
