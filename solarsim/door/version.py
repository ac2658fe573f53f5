"""The package's version."""

from __future__ import annotations

import importlib.metadata
import tomllib
from pathlib import Path

__all__ = ["__version__"]


def _version() -> str:
    try:
        return importlib.metadata.version("solarsim")
    except importlib.metadata.PackageNotFoundError:
        # Run from its sources without being installed.
        pyproject = Path(__file__).resolve().parents[2] / "pyproject.toml"
        found: str = tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]["version"]
        return found


__version__ = _version()
