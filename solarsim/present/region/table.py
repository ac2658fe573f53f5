"""A region's figures as a table, and as the files that other programs read."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pandas as pd

from solarsim.answers.region.cells import Cells
from solarsim.answers.region.region import RegionAnswer
from solarsim.arrays import FloatArray
from solarsim.inputs.files.cells import safe_frame
from solarsim.present.stay.documents import rounded

__all__ = ["csv_bytes", "geojson_bytes", "grid_of", "region_frame"]


def region_frame(answer: RegionAnswer) -> pd.DataFrame:
    """Return one row a van, month and cell; cells without a climate are left out.

    `bank_units` is empty where no bank would hold, `worst_month` where only one month was asked or
    none is worse than the others.
    """
    asked, figures = answer.asked, answer.figures
    kept = np.flatnonzero(answer.answered)
    cells = [asked.cells.cells[index] for index in kept]
    worst = answer.worst_month
    parts = []
    for van, name in enumerate(asked.van_names):
        for month, number in enumerate(asked.months):
            of_month = {
                "van": name,
                "month": number,
                "latitude_deg": [cell.latitude_deg for cell in cells],
                "longitude_deg": [cell.longitude_deg for cell in cells],
                "elevation_m": figures.elevation_m[kept],
                "timezone": figures.timezone[kept],
                "town": [cell.town_label for cell in cells],
                "p10_days": figures.p10_days[van, month, kept],
                "p50_days": figures.p50_days[van, month, kept],
                "chance_lasts_share": figures.chance_lasts[van, month, kept],
                "bank_units": _whole(figures.bank_units[van, month, kept]),
                "worst_month": _whole(worst[van, kept]),
            }
            parts.append(pd.DataFrame(of_month))
    return pd.concat(parts, ignore_index=True)


def csv_bytes(answer: RegionAnswer) -> bytes:
    """Return the table as CSV: commas, decimal points, a heading, lines that end in LF."""
    text: str = safe_frame(region_frame(answer)).to_csv(index=False, lineterminator="\n")
    return text.encode()


def geojson_bytes(answer: RegionAnswer) -> bytes:
    """Return the cells as GeoJSON polygons, each with its figures in every van and month.

    References
    ----------
    .. [1] H. Butler et al., "The GeoJSON format", RFC 7946, 2016 (WGS 84; a cell that crosses the
       antimeridian ends at it).
    """
    frame = region_frame(answer)
    asked = answer.asked
    features: dict[tuple[float, float], dict[str, Any]] = {}
    for row in frame.to_dict("records"):
        key = (row["latitude_deg"], row["longitude_deg"])
        if key not in features:
            features[key] = {
                "type": "Feature",
                "geometry": {"type": "Polygon", "coordinates": [_ring(*key, asked.cells)]},
                "properties": {
                    "latitude": key[0],
                    "longitude": key[1],
                    "elevation_m": row["elevation_m"],
                    "timezone": row["timezone"],
                    "town": row["town"] or None,
                    "figures": [],
                },
            }
        features[key]["properties"]["figures"].append(
            {
                "van": row["van"],
                "month": row["month"],
                "p10_days": row["p10_days"],
                "p50_days": row["p50_days"],
                "chance_lasts": row["chance_lasts_share"],
                "bank_units": None if pd.isna(row["bank_units"]) else int(row["bank_units"]),
            }
        )
    collection = {"type": "FeatureCollection", "features": list(features.values())}
    text = json.dumps(rounded(collection), ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()


def _ring(latitude_deg: float, longitude_deg: float, cells: Cells) -> list[list[float]]:
    """Corners of a cell, counter-clockwise and closed."""
    half = cells.step_deg / 2.0
    south, north = max(latitude_deg - half, -90.0), min(latitude_deg + half, 90.0)
    west, east = max(longitude_deg - half, -180.0), min(longitude_deg + half, 180.0)
    corners = ((west, south), (east, south), (east, north), (west, north), (west, south))
    return [[round(x, 6), round(y, 6)] for x, y in corners]


def _whole(values: np.ndarray[Any, Any]) -> Any:
    """Whole numbers of which 0 means that there is none."""
    table = pd.Series(values, dtype="Int64")
    return table.mask(table == 0).array


def grid_of(cells: Cells, values: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Put figures of cells on the grid of their region.

    Parameters
    ----------
    cells : Cells
        Whose figures.
    values : ndarray
        ``(..., cells)``.

    Returns
    -------
    tuple of ndarray
        Latitudes ``(rows,)`` and longitudes ``(columns,)`` of the centres, rising, and the values
        ``(..., rows, columns)``; NaN where there is no cell.
    """
    step = cells.step_deg
    rows = np.rint(cells.latitude_deg / step - 0.5).astype(int)
    columns = np.rint(cells.map_longitude_deg / step - 0.5).astype(int)
    shape = (int(np.ptp(rows)) + 1, int(np.ptp(columns)) + 1)
    grid = np.full((*values.shape[:-1], *shape), np.nan)
    grid[..., rows - rows.min(), columns - columns.min()] = values
    latitudes = (np.arange(rows.min(), rows.max() + 1) + 0.5) * step
    longitudes = (np.arange(columns.min(), columns.max() + 1) + 0.5) * step
    return latitudes, longitudes, grid
