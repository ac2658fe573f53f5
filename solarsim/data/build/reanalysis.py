"""The reanalysis on its quarter degree nodes: temperature, precipitation and ground height."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from solarsim.arrays import BoolArray, FloatArray
from solarsim.weather.pvlib_files import pvlib_file
from solarsim.weather.sky.season import DAYS_IN_MONTH

__all__ = [
    "NODE_SHAPE",
    "clearness_cell_precipitation",
    "nodes_of_cells",
    "read_elevation",
    "read_reanalysis",
    "widen",
]

SOUTH_DEG, NORTH_DEG = -57.0, 72.0
# Every quarter degree from 57 S to 72 N and from 180 W to 179.75 E.
NODE_SHAPE = (517, 1440)
# Nodes in three degrees, the step of the clearness cells.
_CELL_STEP = 12


def read_reanalysis(path: Path) -> tuple[FloatArray, FloatArray]:
    """Monthly temperature (C) and precipitation (mm/day) at the nodes, each ``(12, 517, 1440)``."""
    import h5py

    with h5py.File(path) as file:
        latitude, longitude = file["latitude"][:], file["longitude"][:]
        temperature, precipitation = file["t2m"][:], file["tp"][:]
    if latitude[0] != 90.0 or longitude[0] != 0.0 or temperature.shape != (12, 721, 1440):
        raise ValueError("the reanalysis is not on the expected quarter degree grid")
    # The attributes say kelvin and metres; the values are degrees C and mm per month.
    if not -80.0 < float(np.nanmin(temperature)) < float(np.nanmax(temperature)) < 50.0:
        raise ValueError("t2m is not in degrees C")
    if not 300.0 < float(np.nanmax(precipitation)) < 5000.0:
        raise ValueError("tp is not in mm per month")
    columns = (np.arange(NODE_SHAPE[1]) - 720) % 1440
    rows = np.round((90.0 - _node_latitudes()) * 4.0).astype(int)
    temperature = temperature[:, rows][:, :, columns].astype(np.float64)
    precipitation = precipitation[:, rows][:, :, columns].astype(np.float64)
    return temperature, precipitation / DAYS_IN_MONTH[:, None, None]


def read_elevation() -> FloatArray:
    """Mean height of the ground around each node, m, ``(517, 1440)``.

    From the five-minute altitude grid in pvlib; the sea counts as 0.
    """
    import h5py
    from scipy import ndimage

    with h5py.File(pvlib_file("data/Altitude.h5")) as file:
        code = file["Altitude"][:].astype(np.float64)
    # 28 m steps from -450 m; 255 has no data, which is sea. Along coasts the grid gives the sea's
    # depth; what lies below zero and touches the sea is sea, the rest are depressions on land.
    metres = np.where(code == 255, 0.0, code * 28.0 - 450.0)
    bodies, _ = ndimage.label((code == 255) | (metres < 0.0), structure=np.ones((3, 3)))
    sea = np.isin(bodies, np.unique(bodies[code == 255]))
    metres = np.where(sea, 0.0, metres)[::-1]
    # Twelve pixels a degree; a node takes the four by four around it, a third of a degree.
    sums = np.pad(metres, ((2, 2), (2, 2)), mode="wrap").cumsum(0).cumsum(1)
    sums = np.pad(sums, ((1, 0), (1, 0)))
    row = np.round((_node_latitudes() + 90.0) * 12).astype(int)
    column = np.arange(NODE_SHAPE[1]) * 3
    top, left = row[:, None] + 4, column[None, :] + 4
    block = sums[top, left] - sums[top - 4, left] - sums[top, left - 4] + sums[top - 4, left - 4]
    return np.asarray(block / 16.0)


def nodes_of_cells(cells: BoolArray) -> BoolArray:
    """Nodes at the corners of quarter degree cells ``(516, 1440)``."""
    nodes = np.zeros(NODE_SHAPE, dtype=bool)
    for down in (0, 1):
        for right in (0, 1):
            nodes[down : down + cells.shape[0]] |= np.roll(cells, right, axis=1)
    return nodes


def widen(cells: BoolArray) -> BoolArray:
    """Cells and their eight neighbours."""
    tall = np.pad(cells, ((1, 1), (0, 0)))
    tall = tall[:-2] | tall[1:-1] | tall[2:]
    return np.asarray(tall | np.roll(tall, 1, axis=1) | np.roll(tall, -1, axis=1))


def clearness_cell_precipitation(precipitation: FloatArray) -> FloatArray:
    """Mean precipitation of each clearness cell, sea and land, ``(44, 120, 12)`` mm/day.

    A cell reaches a degree and a half around its centre; the outermost rows are halved.
    """
    reach = _CELL_STEP // 2
    columns = (np.arange(0, NODE_SHAPE[1], _CELL_STEP)[:, None] + np.arange(-reach, reach + 1)) % (
        NODE_SHAPE[1]
    )
    rows = range(0, NODE_SHAPE[0], _CELL_STEP)
    by_row = [precipitation[:, max(row - reach, 0) : row + reach + 1].mean(axis=1) for row in rows]
    return np.stack([of_row[:, columns].mean(axis=-1).T for of_row in by_row])


def _node_latitudes() -> FloatArray:
    return np.linspace(SOUTH_DEG, NORTH_DEG, NODE_SHAPE[0])
