"""Cells of a regular grid around a point, of which only some hold data."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray, IntArray, IntArray32
from solarsim.errors import PlaceError
from solarsim.weather.record import Place

__all__ = ["Grid", "around", "blend"]

_KM_PER_DEG = 111.2


@dataclasses.dataclass(frozen=True)
class Grid:
    """Cells or nodes on a regular grid; `index` is the row in the lists, -1 where there is none."""

    first_latitude_deg: float
    first_longitude_deg: float
    step_deg: float
    index: IntArray32


def blend(
    grid: Grid, latitude: float, longitude: float, limit_km: float, place: Place
) -> tuple[IntArray, FloatArray]:
    """Cells to mix at a point and their shares, which sum to 1.

    Only cells with data are mixed; where there are none around the point, the nearest is taken.

    Raises
    ------
    PlaceError
        The nearest cell with data is further than `limit_km`.
    """
    rows, columns = grid.index.shape
    down = (latitude - grid.first_latitude_deg) / grid.step_deg
    right = (longitude - grid.first_longitude_deg) / grid.step_deg
    row, column = int(np.floor(down)), int(np.floor(right))
    row_share, column_share = down - row, right - column
    around_rows = np.clip([row, row, row + 1, row + 1], 0, rows - 1)
    around_columns = np.array([column, column + 1, column, column + 1]) % columns
    shares = np.outer([1 - row_share, row_share], [1 - column_share, column_share]).ravel()
    cells = grid.index[around_rows, around_columns].astype(np.int64)
    known = (cells >= 0) & (shares > 0.0)
    if known.any():
        return cells[known], shares[known] / shares[known].sum()
    near_rows, near_columns, distance_km = around(grid, latitude, longitude, limit_km)
    cells = grid.index[near_rows, near_columns].astype(np.int64)
    distance_km = np.where(cells >= 0, distance_km, np.inf)
    if not distance_km.size or distance_km.min() > limit_km:
        raise PlaceError(
            f"got {place.name} at {latitude:.2f}, {longitude:.2f}; the embedded climate covers "
            f"land between 57 S and 72 N and has none within {limit_km:.0f} km of it; "
            f"give a weather file for it"
        )
    return cells[[distance_km.argmin()]], np.ones(1)


def around(
    grid: Grid, latitude: float, longitude: float, radius_km: float
) -> tuple[IntArray, IntArray, FloatArray]:
    """Rows, columns and distances of the cells in a box that holds the circle around a point."""
    rows, columns = grid.index.shape
    km_per_deg_east = _KM_PER_DEG * max(float(np.cos(np.radians(latitude))), 0.1)
    middle_row = round((latitude - grid.first_latitude_deg) / grid.step_deg)
    middle_column = round((longitude - grid.first_longitude_deg) / grid.step_deg)
    tall = int(radius_km / (_KM_PER_DEG * grid.step_deg)) + 1
    wide = int(radius_km / (km_per_deg_east * grid.step_deg)) + 1
    row = np.arange(max(middle_row - tall, 0), min(middle_row + tall, rows - 1) + 1)
    column = np.arange(middle_column - wide, middle_column + wide + 1)
    north_km = (grid.first_latitude_deg + row * grid.step_deg - latitude) * _KM_PER_DEG
    east_km = (grid.first_longitude_deg + column * grid.step_deg - longitude) * km_per_deg_east
    distance_km = np.hypot(north_km[:, None], east_km[None, :])
    all_rows, all_columns = np.broadcast_arrays(row[:, None], column[None, :] % columns)
    return all_rows.ravel(), all_columns.ravel(), distance_km.ravel()
