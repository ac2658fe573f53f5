"""Files that come with pvlib, read without the package, which takes long to import."""

from __future__ import annotations

import functools
import importlib.util
from pathlib import Path

__all__ = ["pvlib_file"]


def pvlib_file(name: str) -> Path:
    """Return the path of a file of pvlib's, such as ``"data/Altitude.h5"``.

    Raises
    ------
    FileNotFoundError
        pvlib is not installed, or holds no such file.
    """
    path = _folder() / name
    if not path.is_file():
        raise FileNotFoundError(f"pvlib in {path.parent} lacks {path.name}")
    return path


@functools.cache
def _folder() -> Path:
    spec = importlib.util.find_spec("pvlib")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("pvlib, whose grids of altitude and turbidity are read, is missing")
    return Path(spec.origin).parent
