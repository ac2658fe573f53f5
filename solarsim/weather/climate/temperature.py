"""Monthly air temperature of a site from the reanalysis around it."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.climate.data import Bundle
from solarsim.weather.climate.grid import blend
from solarsim.weather.record import Place

__all__ = ["LAPSE_RATE_K_M", "lapse_rate_k_m", "monthly_temperature_c"]

NEAREST_NODE_KM = 100.0
# Fitted to the half of 1,502 station normals (Japan Meteorological Agency), by the stations' height
# below or above the reanalysis' ground: 5.1 to 5.7 K/km wherever the month is warmer than -8 C;
# 4.7 at -12 C, -0.2 at -20 C and -2.7 below -25 C, where cold air lies in the basins. The Alps'
# yearly mean is 5.4 to 5.8 K/km (C. Rolland, J. Climate 16, 2003, from memory).
LAPSE_RATE_K_M = 0.0055
_INVERSION_BELOW_C = -8.0
_INVERSION_PER_K = 0.0004
_LEAST_LAPSE_K_M = -0.004
# Over water the year's swing is smaller than on the shore beside it: stations whose nodes are all
# sea are 0.5 K colder in winter and 0.5 K warmer in summer.
_SHORE_SWING = 0.04


def lapse_rate_k_m(temperature_c: FloatArray) -> FloatArray:
    """How much colder the air is with height, K/m, in a month of that mean temperature.

    Examples
    --------
    >>> lapse_rate_k_m(np.array([20.0, -18.0, -40.0])).round(4).tolist()
    [0.0055, 0.0015, -0.004]
    """
    inverted = _INVERSION_PER_K * np.maximum(_INVERSION_BELOW_C - temperature_c, 0.0)
    return np.asarray(np.maximum(LAPSE_RATE_K_M - inverted, _LEAST_LAPSE_K_M))


def monthly_temperature_c(
    bundle: Bundle, latitude: float, longitude: float, place: Place
) -> FloatArray:
    """Mean air temperature of each month at the place's elevation, ``(12,)`` degrees C.

    The four quarter-degree nodes around the place are mixed, sea and land alike, and taken from
    their ground's height to the place's.
    """
    nodes, shares = blend(bundle.node_grid, latitude, longitude, NEAREST_NODE_KM, place)
    mean_c = bundle.temperature_c(nodes, shares)
    ground_m = bundle.mean("node_elevation", nodes, shares)
    water = 1.0 - _land_share(bundle, latitude, longitude)
    on_land_c = mean_c + _SHORE_SWING * water * (mean_c - mean_c.mean())
    return np.asarray(on_land_c + lapse_rate_k_m(mean_c) * (ground_m - place.elevation_m))


def _land_share(bundle: Bundle, latitude: float, longitude: float) -> float:
    """Share of land in the half degree around the place, nearer cells counting more."""
    grid = bundle.irradiation_grid
    down = (latitude - bundle.node_grid.first_latitude_deg) / grid.step_deg
    right = (longitude - bundle.node_grid.first_longitude_deg) / grid.step_deg
    row, column = int(np.floor(down)), int(np.floor(right))
    rows = np.clip([row - 1, row, row + 1], 0, grid.index.shape[0] - 1)
    columns = np.array([column - 1, column, column + 1]) % grid.index.shape[1]
    tall = np.array([1.0 - (down - row), 1.0, down - row]) / 2.0
    wide = np.array([1.0 - (right - column), 1.0, right - column]) / 2.0
    return float(tall @ (grid.index[np.ix_(rows, columns)] >= 0) @ wide)
