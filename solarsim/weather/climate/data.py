"""The climate bundle that ships with the package, read once."""

from __future__ import annotations

import dataclasses
import functools
from pathlib import Path

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray, IntArray
from solarsim.weather.climate.codec import CODES, GRIDS, month_steps, temperature_codes
from solarsim.weather.climate.grid import Grid

__all__ = ["CLIMATE_FILE", "Bundle", "read_bundle"]

CLIMATE_FILE = Path(__file__).resolve().parents[2] / "data" / "climate.npz"


@dataclasses.dataclass(frozen=True)
class Bundle:
    """Grids and, in `lists`, their cells' values (`solarsim.weather.climate.codec` says how)."""

    clearness_grid: Grid
    irradiation_grid: Grid
    half_grid: Grid
    node_grid: Grid
    lists: dict[str, npt.NDArray[np.integer]]

    def precipitation_mm_day(self, name: str, cells: IntArray, shares: FloatArray) -> FloatArray:
        """Monthly means ``(12,)`` mixed from the cells of one list."""
        return np.asarray(shares @ (self.lists[name][cells] * CODES[name].step) ** 2)

    def mean(self, name: str, cells: IntArray, shares: FloatArray) -> float:
        """A list's value mixed from its cells."""
        return float(shares @ self.lists[name][cells]) * CODES[name].step

    def temperature_c(self, nodes: IntArray, shares: FloatArray) -> FloatArray:
        """Monthly means ``(12,)`` mixed from the nodes."""
        codes = temperature_codes(self.lists["node_temperature"][:, nodes])
        return np.asarray(codes @ shares * CODES["node_temperature"].step)


@functools.cache
def read_bundle() -> Bundle:
    """Unpack the bundle; later calls give the same arrays."""
    with np.load(CLIMATE_FILE, allow_pickle=False) as file:
        arrays = {name: file[name] for name in file.files if not name.startswith("airfield")}

    def grid(mask: str) -> Grid:
        rows, columns, latitude_deg, longitude_deg = GRIDS[mask]
        known = np.unpackbits(arrays.pop(mask), count=rows * columns).astype(bool)
        index = np.where(known, np.cumsum(known, dtype=np.int32) - 1, -1).astype(np.int32)
        return Grid(latitude_deg, longitude_deg, 360.0 / columns, index.reshape(rows, columns))

    arrays["node_temperature"] = month_steps(arrays["node_temperature"])
    return Bundle(
        clearness_grid=grid("kt_mask"),
        irradiation_grid=grid("ghi_mask"),
        half_grid=grid("half_mask"),
        node_grid=grid("node_mask"),
        lists=arrays,
    )
