"""Hourly watts from a CSV file: a metered day, or a year."""

from __future__ import annotations

import csv
from pathlib import Path

from solarsim.errors import InputError
from solarsim.inputs.files.toml import read_text

__all__ = ["MAX_WATTS", "read_watts"]

# Above every circuit that a van carries; a larger number is a slip of units.
MAX_WATTS = 20000.0
_MAX_BYTES = 5_000_000
_COLUMNS = ("dc_w", "ac_w")


def read_watts(path: Path) -> dict[str, tuple[float, ...]]:
    """Read hourly watts.

    Parameters
    ----------
    path : Path
        One number a line, with or without a heading; or columns headed ``dc_w`` and ``ac_w``
        (others are left alone). 24 lines are a day from midnight, 8760 or 8784 a year from
        1 January, by the local clock.

    Returns
    -------
    dict
        ``{"watts": ...}`` for a single column, else ``{"dc_w": ..., "ac_w": ...}`` as far as
        present, in W.

    Raises
    ------
    InputError
        The file cannot be read, has another number of hours, or a value that is no number,
        negative or above 20000 W; the line is named.
    """
    rows = _rows(path)
    source = str(path)
    heading = [cell.strip().lower() for cell in rows[0][1]] if rows else []
    headed = bool(heading) and not _is_number(heading[-1])
    if headed:
        rows = rows[1:]
    if len(rows) not in {24, 8760, 8784}:
        message = f"holds {len(rows)} hours; 24, 8760 or 8784 lines of watts are allowed"
        raise InputError(message, source=source)
    named = {name: heading.index(name) for name in _COLUMNS if name in heading}
    if not named and len(heading) != 1:
        message = "more than one column needs headings; known here: dc_w, ac_w"
        raise InputError(message, source=source)
    columns = named or {"watts": 0}
    return {
        name: tuple(_watts(cells, column, line=line, source=source) for line, cells in rows)
        for name, column in columns.items()
    }


def _rows(path: Path) -> list[tuple[int, list[str]]]:
    source = str(path)
    text = read_text(path, "CSV", max_bytes=_MAX_BYTES)
    if ";" in text:
        message = "columns are separated by commas and decimals take a point; found ';'"
        raise InputError(message, source=source)
    try:
        return [
            (number, cells)
            for number, cells in enumerate(csv.reader(text.splitlines(), strict=True), start=1)
            if any(cell.strip() for cell in cells)
        ]
    except csv.Error as error:
        raise InputError(f"is not CSV: {error}", source=source) from None


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _watts(cells: list[str], column: int, *, line: int, source: str) -> float:
    text = cells[column].strip() if column < len(cells) else ""
    if not _is_number(text):
        raise InputError(f"line {line}: got {text!r}; a number of watts is needed", source=source)
    watts = float(text)
    if not 0.0 <= watts <= MAX_WATTS:
        message = f"line {line}: got {text}; must lie between 0 and {MAX_WATTS:g} W"
        raise InputError(message, source=source)
    return watts
