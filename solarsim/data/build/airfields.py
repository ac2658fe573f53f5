"""Heights of airfields, which lie in the valleys where people live."""

from __future__ import annotations

import csv
import io
import zipfile
from pathlib import Path

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.elevation import grid_elevation_m

__all__ = ["airfields"]

_TABLE = "airportsdata/airports.csv"
_METRES_PER_FOOT = 0.3048
# Further from the altitude grid a height is a slip of the pen.
_MOST_OFF_M = 1500.0


def airfields(wheel: Path) -> FloatArray:
    """Latitude, longitude, height (m) and its distance above the altitude grid, ``(n, 4)``.

    Sorted by latitude. A height of exactly 0 is a missing one.
    """
    with zipfile.ZipFile(wheel) as archive:
        text = archive.read(_TABLE).decode("utf-8")
    rows = []
    for row in csv.DictReader(io.StringIO(text)):
        latitude, longitude = float(row["lat"]), float(row["lon"])
        height_m = float(row["elevation"] or 0.0) * _METRES_PER_FOOT
        if height_m == 0.0 or abs(latitude) > 73.0:
            continue
        above_m = height_m - grid_elevation_m(latitude, longitude)
        if abs(above_m) <= _MOST_OFF_M:
            rows.append((latitude, longitude, height_m, above_m))
    return np.array(sorted(set(rows)))
