"""Irradiation, temperature, wind and precipitation over land, on quarter and half degree grids."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from solarsim.arrays import BoolArray, FloatArray
from solarsim.data.build.reanalysis import (
    clearness_cell_precipitation,
    nodes_of_cells,
    read_elevation,
    read_reanalysis,
    widen,
)

__all__ = ["halve", "land_climate", "quarter_grid"]

SOUTH_DEG = -57.0
QUARTER_SHAPE = (516, 1440)
# A Rayleigh distribution (Weibull shape 2, the usual first guess for wind) has mean/rms
# = sqrt(pi)/2.
MEAN_OVER_RMS_WIND = np.sqrt(np.pi) / 2.0
ISLAND_DISTANCE_KM = 100.0
# Medians over 799 coastal towns below 45 degrees: the record's extremes lie 12.4 K below the
# coldest and 12.9 K above the warmest month's mean, and the mean wind is 2.7 m/s.
ISLAND_EXTREME_K = 12.7
ISLAND_WIND_M_S = 2.7
# Five cells, on lakes that fell dry between the two records, have extremes inside the months'
# means, and some forty are closer than this; half of all lie 15 K apart.
MIN_EXTREME_K = 4.0


def quarter_grid(
    latitude_deg: FloatArray, longitude_deg: FloatArray, value: FloatArray
) -> FloatArray:
    """Put a list of land cells on the quarter degree grid; the sea is NaN.

    Returns
    -------
    ndarray
        ``(516, 1440)`` from 57 S to 72 N and from 180 W.
    """
    row = np.floor((latitude_deg - SOUTH_DEG) * 4.0).astype(int)
    column = np.floor((longitude_deg + 180.0) * 4.0).astype(int)
    inside = (row >= 0) & (row < QUARTER_SHAPE[0])
    grid = np.full(QUARTER_SHAPE, np.nan)
    grid[row[inside], column[inside]] = value[inside]
    return grid


def halve(grid: FloatArray) -> FloatArray:
    """Mean of each two by two cells, over those that are land; all sea gives NaN."""
    blocks = grid.reshape(grid.shape[0] // 2, 2, grid.shape[1] // 2, 2)
    land = np.isfinite(blocks)
    count = land.sum(axis=(1, 3))
    total = np.where(land, blocks, 0.0).sum(axis=(1, 3))
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _nodes_to_half(nodes: FloatArray, weights: FloatArray) -> FloatArray:
    """Weighted mean of 3 by 3 quarter degree nodes, the outer ones shared with the next cell."""
    nodes = np.concatenate([nodes, nodes[..., :1]], axis=-1)
    total: FloatArray = np.zeros(1)
    norm: FloatArray = np.zeros(1)
    for down, down_weight in enumerate((1.0, 2.0, 1.0)):
        for right, right_weight in enumerate((1.0, 2.0, 1.0)):
            rows = slice(down, down + QUARTER_SHAPE[0] - 1, 2)
            columns = slice(right, right + QUARTER_SHAPE[1] - 1, 2)
            weight = down_weight * right_weight * weights[rows, columns]
            total = total + weight * nodes[..., rows, columns]
            norm = norm + weight
    return np.asarray(total / norm)


def _land_share_at_nodes(land: BoolArray) -> FloatArray:
    """Share of land among the four cells that meet at each node, ``(517, 1441)``."""
    padded = np.pad(land.astype(np.float64), ((1, 1), (0, 0)))
    padded = np.concatenate([padded[:, -1:], padded, padded[:, :1]], axis=1)
    return (padded[:-1, :-1] + padded[:-1, 1:] + padded[1:, :-1] + padded[1:, 1:]) / 4.0


def _cells_of(towns: FloatArray) -> BoolArray:
    """Quarter degree cells in which towns lie."""
    row = np.floor((towns[:, 0] - SOUTH_DEG) * 4.0).astype(int)
    column = np.floor((towns[:, 1] + 180.0) * 4.0).astype(int) % QUARTER_SHAPE[1]
    inside = (row >= 0) & (row < QUARTER_SHAPE[0])
    cells = np.zeros(QUARTER_SHAPE, dtype=bool)
    cells[row[inside], column[inside]] = True
    return cells


def _island_cells(land: BoolArray, inhabited: BoolArray) -> BoolArray:
    """Inhabited cells that are more than 100 km from the table's land."""
    land_rows, land_columns = np.nonzero(land)
    islands = np.zeros_like(land)
    for down, right in zip(*np.nonzero(inhabited), strict=True):
        if land[max(down - 2, 0) : down + 3, max(right - 2, 0) : right + 3].any():
            continue
        shrink = np.cos(np.radians(SOUTH_DEG + (down + 0.5) / 4.0))
        east = np.abs(land_columns - right)
        east = np.minimum(east, QUARTER_SHAPE[1] - east) * shrink
        islands[down, right] = np.hypot(land_rows - down, east).min() * 27.8 > ISLAND_DISTANCE_KM
    return islands


def land_climate(
    table: dict[str, FloatArray], reanalysis: Path, towns: FloatArray
) -> dict[str, FloatArray]:
    """Combine the stressor table and the reanalysis.

    Parameters
    ----------
    table : dict
        Columns ``lat``, ``lon``, ``GHI_mean``, ``T_ambient_min``, ``T_ambient_max`` and
        ``wind_speed_rms`` of the land cells.
    reanalysis : Path
        Monthly climatology of temperature and precipitation.
    towns : ndarray
        ``(n, 2)`` latitude and longitude. Cells of towns on islands that the table lacks are
        added with the reanalysis and what coasts have in common.

    Returns
    -------
    dict
        ``ghi`` ``(516, 1440)`` kWh/m2/day; on ``(258, 720)`` cells ``low`` and ``high``, how
        far the record lies below the coldest and above the warmest month (K), ``wind`` (m/s) and
        ``precipitation`` ``(12, 258, 720)`` (mm/day); on
        ``(517, 1440)`` nodes ``node_temperature`` with a leading axis of 12 months (C) and
        ``node_elevation`` (m); ``cell_precipitation`` ``(44, 120, 12)`` (mm/day). The sea is NaN,
        but for the nodes around land and towns, and ``ghi`` is 0 on added islands.
    """
    latitude, longitude = table["lat"], table["lon"]

    def on_quarter(name: str) -> FloatArray:
        return quarter_grid(latitude, longitude, table[name])

    ghi = on_quarter("GHI_mean")
    inhabited = _cells_of(towns)
    islands = _island_cells(np.isfinite(ghi), inhabited)
    weights = _land_share_at_nodes(np.isfinite(ghi) | islands) + 1e-9
    low, high = halve(on_quarter("T_ambient_min")), halve(on_quarter("T_ambient_max"))
    wind = halve(on_quarter("wind_speed_rms")) * MEAN_OVER_RMS_WIND
    added = islands.reshape(258, 2, 720, 2).any(axis=(1, 3)) & ~np.isfinite(low)
    sea = np.where(np.isfinite(low) | added, 0.0, np.nan)
    temperature, precipitation = read_reanalysis(reanalysis)
    elevation = read_elevation()
    by_half = _nodes_to_half(temperature, weights) + sea
    coldest, warmest = by_half.min(axis=0), by_half.max(axis=0)
    wanted = nodes_of_cells(widen(np.isfinite(ghi) | inhabited))
    return {
        "ghi": np.where(islands, 0.0, ghi),
        "low": np.where(added, ISLAND_EXTREME_K, np.maximum(coldest - low, MIN_EXTREME_K)),
        "high": np.where(added, ISLAND_EXTREME_K, np.maximum(high - warmest, MIN_EXTREME_K)),
        "wind": np.where(added, ISLAND_WIND_M_S, wind),
        "precipitation": _nodes_to_half(precipitation, weights) + sea,
        "node_temperature": np.where(wanted, temperature, np.nan),
        "node_elevation": np.where(wanted, elevation, np.nan),
        "cell_precipitation": clearness_cell_precipitation(precipitation),
    }
