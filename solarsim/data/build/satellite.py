"""Irradiation of central Europe by month, from geostationary satellites."""

from __future__ import annotations

import csv
import gzip
from pathlib import Path

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["SATELLITE_FILE", "satellite_irradiation"]

SATELLITE_FILE = (
    Path(__file__).resolve().parents[1] / "sources/central_europe_ghi_mean_2006_2025_w_m2.csv.gz"
)
SOUTH_DEG, WEST_DEG, STEP_DEG, COUNT = 45.0, 5.0, 0.2, 56
_KWH_PER_W = 0.024


def satellite_irradiation(path: Path = SATELLITE_FILE) -> FloatArray:
    """Mean daily irradiation 2006 to 2025, ``(56, 56, 12)`` kWh/m2/day.

    Every 0.2 degrees from 45 to 56 N and from 5 to 16 E.

    Raises
    ------
    ValueError
        A point of the grid is missing.
    """
    out = np.full((COUNT, COUNT, 12), np.nan)
    with gzip.open(path, "rt", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            down = round((float(row["Latitude"]) - SOUTH_DEG) / STEP_DEG)
            right = round((float(row["Longitude"]) - WEST_DEG) / STEP_DEG)
            out[down, right] = [float(row[f"M_LTA_{month:02d}"]) for month in range(1, 13)]
    if not np.isfinite(out).all():
        raise ValueError(f"{path.name} lacks points of its grid")
    return out * _KWH_PER_W
