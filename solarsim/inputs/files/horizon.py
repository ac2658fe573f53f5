"""The horizon around a parking place, from a CSV of compass directions and heights."""

from __future__ import annotations

import csv
import dataclasses
import math
from pathlib import Path

from solarsim.errors import InputError
from solarsim.inputs.files.toml import read_text

__all__ = ["Horizon", "horizon_text", "read_horizon"]

_COLUMNS = ("azimuth", "elevation")
_MAX_ROWS = 3600


@dataclasses.dataclass(frozen=True)
class Horizon:
    """Height of what stands around, straight between the directions that are given.

    Attributes
    ----------
    azimuth_deg : tuple of float
        Rising, clockwise from north, 0 to below 360.
    elevation_deg : tuple of float
        0 to 90.
    source : str
        The file's name.
    """

    azimuth_deg: tuple[float, ...]
    elevation_deg: tuple[float, ...]
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse directions that are out of order and heights that are none."""
        pairs = list(zip(self.azimuth_deg, self.elevation_deg, strict=True))
        if not pairs:
            raise InputError("holds no direction; at least one is needed", source=self.source)
        for azimuth_deg, elevation_deg in pairs:
            _check(
                "azimuth", azimuth_deg, 0.0 <= azimuth_deg < 360.0, "0 to below 360", self.source
            )
            _check("elevation", elevation_deg, 0.0 <= elevation_deg <= 90.0, "0 to 90", self.source)
        if any(b <= a for a, b in zip(self.azimuth_deg, self.azimuth_deg[1:], strict=False)):
            raise InputError("azimuths must rise, each given once", source=self.source)


def horizon_text(horizon: Horizon) -> str:
    """Return a profile as the CSV that `read_horizon` reads."""
    pairs = zip(horizon.azimuth_deg, horizon.elevation_deg, strict=True)
    rows = [f"{azimuth_deg:.15g},{elevation_deg:.15g}" for azimuth_deg, elevation_deg in pairs]
    return "\n".join(["azimuth_deg,elevation_deg", *rows, ""])


def read_horizon(path: Path) -> Horizon:
    """Read a horizon profile.

    Parameters
    ----------
    path : Path
        Two columns in degrees: azimuth clockwise from north (0 to 360) and the elevation of what
        stands there (0 to 90), in any order of directions. A heading ``azimuth,elevation`` (also
        ``azimuth_deg``, ``elevation_deg``, in either order) may come first; ``#`` starts a comment.
        Between the directions the horizon is straight, around the whole compass.

    Raises
    ------
    InputError
        The file cannot be read, holds no direction, one twice, or a value that is no number or out
        of range; the line is named.
    """
    source = str(path)
    rows = _rows(read_text(path, "CSV"), source)
    columns = (0, 1)
    if rows and not _is_number(rows[0][1][0]):
        columns = _heading(rows[0][1], source=source, line=rows[0][0])
        rows = rows[1:]
    if not 1 <= len(rows) <= _MAX_ROWS:
        message = f"holds {len(rows)} directions; 1 to {_MAX_ROWS} allowed"
        raise InputError(message, source=source)
    heights: dict[float, float] = {}
    lines: dict[float, int] = {}
    for line, cells in rows:
        azimuth_deg, elevation_deg = (
            _number(cells, column, name, source=source, line=line)
            for column, name in zip(columns, _COLUMNS, strict=True)
        )
        where = f"{source}: line {line}"
        _check("azimuth", azimuth_deg, 0.0 <= azimuth_deg <= 360.0, "0 to 360", where)
        _check("elevation", elevation_deg, 0.0 <= elevation_deg <= 90.0, "0 to 90", where)
        turned_deg = azimuth_deg % 360.0
        # A profile may close its circle by giving north again at 360.
        if heights.setdefault(turned_deg, elevation_deg) != elevation_deg or (
            turned_deg in lines and azimuth_deg != 360.0
        ):
            message = f"azimuth {azimuth_deg:g} is given already in line {lines[turned_deg]}"
            raise InputError(message, source=where)
        lines.setdefault(turned_deg, line)
    azimuths = tuple(sorted(heights))
    return Horizon(azimuths, tuple(heights[azimuth] for azimuth in azimuths), source)


def _rows(text: str, source: str) -> list[tuple[int, list[str]]]:
    if ";" in text:
        message = "columns are separated by commas and decimals take a point; found ';'"
        raise InputError(message, source=source)
    lines = [line.split("#", 1)[0] for line in text.splitlines()]
    try:
        return [
            (number, [cell.strip() for cell in cells])
            for number, cells in enumerate(csv.reader(lines, strict=True), start=1)
            if any(cell.strip() for cell in cells)
        ]
    except csv.Error as error:
        raise InputError(f"is not CSV: {error}", source=source) from None


def _heading(cells: list[str], *, source: str, line: int) -> tuple[int, int]:
    names = [cell.lower().removesuffix("_deg") for cell in cells]
    if not set(_COLUMNS) <= set(names):
        message = f"line {line}: got {', '.join(cells)!r}; needs the columns azimuth and elevation"
        raise InputError(message, source=source)
    return names.index("azimuth"), names.index("elevation")


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _number(cells: list[str], column: int, name: str, *, source: str, line: int) -> float:
    text = cells[column] if column < len(cells) else ""
    if not _is_number(text):
        message = f"line {line}: got {text!r} as {name}; a number of degrees is needed"
        raise InputError(message, source=source)
    return float(text)


def _check(name: str, value: float, allowed: bool, text: str, source: str) -> None:
    if not allowed:
        message = f"got {value:g} as {name}; must lie from {text} degrees"
        raise InputError(message, source=source)
