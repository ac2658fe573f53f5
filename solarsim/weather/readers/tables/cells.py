"""Columns of a weather file's table as numbers, with the file's row for what cannot be read."""

from __future__ import annotations

import csv
import dataclasses
import io
from collections.abc import Callable, Collection

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.errors import WeatherFileError

__all__ = [
    "Cells",
    "Missing",
    "fail_at",
    "integer_column",
    "number_column",
    "optional_column",
    "read_number",
    "read_table",
]

# Tells which numbers are a format's own sign of a missing value.
Missing = Callable[[FloatArray], BoolArray]


@dataclasses.dataclass(frozen=True)
class Cells:
    """A table with named columns, the file it is from, and the line in which it starts."""

    table: pd.DataFrame
    source: str
    first_row: int


def fail_at(cells: Cells, bad: BoolArray, label: str, message: str) -> None:
    """Raise `WeatherFileError` for the first row where `bad` is set, if there is one."""
    if bad.any():
        row = cells.first_row + int(np.argmax(bad))
        raise WeatherFileError(message, source=cells.source, field=f"row {row}, {label}")


def number_column(cells: Cells, label: str, missing: Missing | None = None) -> FloatArray:
    """Return a column in which every cell must be a number, NaN where the format says missing.

    Raises
    ------
    WeatherFileError
        No such column, or a cell that is empty or no number.
    """
    if label not in cells.table.columns:
        raise WeatherFileError(f"has no column for {label}", source=cells.source)
    values = _numbers(cells, label)
    bad = ~np.isfinite(values)
    cell = cells.table[label].iloc[int(np.argmax(bad))]
    given = "is empty" if pd.isna(cell) else f"got {str(cell)[:20]!r}"
    fail_at(cells, bad, label, f"{given}; every hour must hold a number")
    return values if missing is None else np.where(missing(values), np.nan, values)


def integer_column(cells: Cells, label: str) -> IntArray:
    """Return a column of whole numbers; raises as `number_column` does."""
    values = number_column(cells, label)
    bad = (values != np.floor(values)) | (np.abs(values) > 1e6)
    fail_at(cells, bad, label, "must be a whole number")
    return values.astype(np.int64)


def optional_column(cells: Cells, label: str, missing: Missing | None = None) -> FloatArray:
    """Return a column that may be absent or have cells without a number, NaN there."""
    if label not in cells.table.columns:
        return np.full(len(cells.table), np.nan)
    values = _numbers(cells, label)
    known = np.isfinite(values)
    if missing is not None:
        known &= ~missing(values)
    return np.where(known, values, np.nan)


def _numbers(cells: Cells, label: str) -> FloatArray:
    return np.array(pd.to_numeric(cells.table[label], errors="coerce"), dtype=np.float64)


def read_table(
    body: str, names: list[str], used: Collection[str], source: str, first_row: int
) -> pd.DataFrame:
    """Read comma-separated rows without a header; missing fields at a row's end are NaN.

    Parameters
    ----------
    body : str
        The rows.
    names : list of str
        Names of the columns, each once.
    used : collection of str
        The columns to keep, where they exist.
    source : str
        The file's name.
    first_row : int
        Line of the file, from 1, in which the rows start.

    Raises
    ------
    WeatherFileError
        No rows, or a row with more fields than there are names.
    """
    body = body.rstrip("\n")
    if not body.strip():
        raise WeatherFileError("holds a header and no hours", source=source)
    # Counted first, because pandas would drop what is too many and only warn of it.
    for row, line in enumerate(body.split("\n"), start=first_row):
        fields = line.count(",") + 1
        if fields > len(names):
            message = f"holds {fields} fields; must hold {len(names)} at most"
            raise WeatherFileError(message, source=source, field=f"row {row}")
    try:
        table: pd.DataFrame = pd.read_csv(
            io.StringIO(body),
            header=None,
            names=names,
            index_col=False,
            quoting=csv.QUOTE_NONE,
            skip_blank_lines=False,
            low_memory=False,
        )
    except (ValueError, OverflowError) as error:
        message = f"its rows cannot be read as a table: {error}"
        raise WeatherFileError(message, source=source) from None
    return table[[name for name in names if name in used]]


def read_number(field: str, source: str, label: str) -> float:
    """Return one number of a header.

    Raises
    ------
    WeatherFileError
        It is none.
    """
    try:
        return float(field)
    except ValueError:
        message = f"got {field.strip()[:20]!r} among latitude, longitude, time zone and elevation"
        raise WeatherFileError(f"{message}; must be numbers", source=source, field=label) from None
