"""How the climate bundle holds its numbers: grids, steps and integer types, for writer and reader.

Cells with data are listed row by row from 57 S and 180 W; the packed mask of a grid says which
cells these are.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray

__all__ = [
    "CODES",
    "CODES_PER_CLEARNESS",
    "GRIDS",
    "Code",
    "GridShape",
    "clearness_codes",
    "coded",
    "coded_clearness",
    "coded_temperature",
    "month_steps",
    "temperature_codes",
]


class Code(NamedTuple):
    """A list's integers: ``step`` is the value of one, ``kind`` their type."""

    step: float
    kind: type[np.integer]


class GridShape(NamedTuple):
    """A regular grid: rows and columns of cells, and the middle of its first cell, degrees."""

    rows: int
    columns: int
    first_latitude_deg: float
    first_longitude_deg: float


# By the list's name in the bundle.
CODES = {
    "kt_precipitation": Code(0.04, np.uint8),  # square root of mm/day, mean of a clearness cell
    "ghi": Code(0.002, np.uint16),  # kWh/m2/day; 0 where the mean is unknown
    "low": Code(0.1, np.int16),  # K, from the record up to the coldest month's mean
    "high": Code(0.1, np.int16),  # K, from the warmest month's mean up to the record
    "wind": Code(0.1, np.uint8),  # m/s
    "precipitation": Code(0.04, np.uint8),  # square root of mm/day
    "node_elevation": Code(4.0, np.int16),  # m
    "node_temperature": Code(0.1, np.int16),  # C; see `coded_temperature`
    "satellite": Code(0.002, np.uint16),  # kWh/m2/day
    "airfield_latitude": Code(0.001, np.int32),  # degrees
    "airfield_longitude": Code(0.001, np.int32),  # degrees
    "airfield_height": Code(1.0, np.int16),  # m
    "airfield_above_grid": Code(1.0, np.int16),  # m
}
# From a clearness of 0 to 1; the lowest quantile is held, then steps from one to the next.
CODES_PER_CLEARNESS = 800.0
# By the name of the grid's mask in the bundle.
GRIDS = {
    "kt_mask": GridShape(44, 120, -57.0, -180.0),
    "ghi_mask": GridShape(516, 1440, -56.875, -179.875),
    "half_mask": GridShape(258, 720, -56.75, -179.75),
    "node_mask": GridShape(517, 1440, -57.0, -180.0),
}


def coded(name: str, values: FloatArray) -> npt.NDArray[np.integer]:
    """Return a list's values as its integers.

    Raises
    ------
    ValueError
        A value outside what the type can hold.
    """
    code = CODES[name]
    codes = np.round(values / code.step)
    info = np.iinfo(code.kind)
    if codes.min() < info.min or codes.max() > info.max:
        raise ValueError(f"{name} runs from {codes.min()} to {codes.max()}; outside {code.kind}")
    return codes.astype(code.kind)


def coded_clearness(
    kt_quantiles: FloatArray,
) -> tuple[npt.NDArray[np.uint16], npt.NDArray[np.uint8]]:
    """Return the lowest quantile's code and the steps between quantiles along the last axis.

    Raises
    ------
    ValueError
        Quantiles that fall, or rise by more than a byte holds.
    """
    codes = np.round(kt_quantiles * CODES_PER_CLEARNESS).astype(np.int64)
    steps = np.diff(codes, axis=-1)
    if steps.min() < 0 or steps.max() > 255:
        raise ValueError(f"clearness steps from {steps.min()} to {steps.max()} do not fit a byte")
    return codes[..., 0].astype(np.uint16), steps.astype(np.uint8)


def clearness_codes(first: npt.NDArray[np.integer], steps: npt.NDArray[np.integer]) -> FloatArray:
    """Return the codes of all quantiles, still to be divided by `CODES_PER_CLEARNESS`."""
    low = first.astype(np.float64)[..., None]
    return np.concatenate([low, low + np.cumsum(steps.astype(np.float64), axis=-1)], axis=-1)


def coded_temperature(temperature_c: FloatArray) -> npt.NDArray[np.int16]:
    """Return the codes of monthly temperatures ``(12, nodes)`` as differences.

    From month to month, and of these from node to node: that takes a third less room.
    """
    codes = coded("node_temperature", temperature_c)
    months = np.diff(codes, axis=0, prepend=np.int16(0))
    return np.diff(months, axis=1, prepend=np.int16(0)).astype(np.int16)


def month_steps(differences: npt.NDArray[np.integer]) -> npt.NDArray[np.int16]:
    """Undo half of `coded_temperature`: codes as steps from month to month, January from 0."""
    return np.cumsum(differences, axis=1, dtype=np.int16)


def temperature_codes(steps: npt.NDArray[np.integer]) -> npt.NDArray[np.int16]:
    """Codes of some nodes from their steps; those of all take as long as reading the bundle."""
    return np.cumsum(steps, axis=0, dtype=np.int16)
