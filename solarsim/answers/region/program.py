"""What tells whether two machines, or two days, compute the same bytes."""

from __future__ import annotations

import functools
import hashlib
import importlib.metadata
import platform
from pathlib import Path

__all__ = ["program_checksum"]

_PACKAGE = Path(__file__).resolve().parents[2]
# Rooms that a cell's figures come from, and the data they stand on.
_ROOMS = ("inputs", "weather", "solar", "packing", "power", "electrical", "answers")
_DATA = ("climate.npz", "outlines.npz", "places.csv.gz")
_LIBRARIES = ("numpy", "numba", "pandas", "pvlib", "scipy", "shapely")


@functools.cache
def program_checksum() -> str:
    """Return a checksum of the files and the libraries' versions that figures depend on."""
    found = hashlib.sha256()
    files = [
        path
        for room in _ROOMS
        for path in sorted((_PACKAGE / room).rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    ]
    for path in [*files, *(_PACKAGE / "data" / name for name in _DATA)]:
        found.update(path.relative_to(_PACKAGE).as_posix().encode())
        found.update(path.read_bytes())
    versions = [f"{name} {importlib.metadata.version(name)}" for name in _LIBRARIES]
    found.update("; ".join([platform.python_version(), *versions]).encode())
    return found.hexdigest()
