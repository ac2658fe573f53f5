"""The stops of a trip as rows that can be typed over, and back to a trip."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from solarsim.app.units.quantities import METRIC, Units, read_value, value_text
from solarsim.errors import InputError
from solarsim.inputs.files.trip import trip_from_data
from solarsim.inputs.trip import Trip

__all__ = ["COLUMNS", "Row", "rows_of", "stop_frame", "trip_of_rows", "typed_rows"]

_FIELDS = {
    "place": "place",
    "arrives": "arrive",
    "nights": "nights",
    "driven, h": "drive_h",
    "nights on shore": "plugged_nights",
    "people": "people",
    "parking": "parking",
}
COLUMNS = tuple(_FIELDS)
_WHOLE = ("nights", "plugged_nights", "people")
_SOURCE = "the table"

Row = dict[str, str]


def stop_frame(rows: Sequence[Mapping[str, str]]) -> pd.DataFrame:
    """Return rows of text as a table; all cells are text, which keeps what was typed."""
    return pd.DataFrame([dict(row) for row in rows], columns=list(COLUMNS), dtype=object)


def rows_of(trip: Trip, units: Units = METRIC) -> tuple[Row, ...]:
    """Return the stops of a trip as rows of text."""
    rows = []
    for stop in trip.stops:
        given = stop.model_dump(exclude_none=True, exclude_defaults=True)
        rows.append({name: _cell(given.get(field), units) for name, field in _FIELDS.items()})
    return tuple(rows)


def typed_rows(rows: Sequence[Row], edits: Mapping[str, Any]) -> tuple[Row, ...]:
    """Return the rows with what was typed into the table: cells, new rows, rows taken out."""
    changed = [dict(row) for row in rows]
    for number, cells in edits["edited_rows"].items():
        changed[int(number)] |= {name: _text(value) for name, value in cells.items()}
    gone = set(edits["deleted_rows"])
    kept = [row for number, row in enumerate(changed) if number not in gone]
    added = [
        {name: _text(cells.get(name)) for name in COLUMNS} for cells in edits["added_rows"] if cells
    ]
    return (*kept, *added)


def trip_of_rows(rows: Sequence[Mapping[str, str]], name: str, units: Units = METRIC) -> Trip:
    """Return the trip of the rows; empty cells are left out, empty rows too.

    Raises
    ------
    InputError
        A cell that cannot be; the stop and the field are named.
    """
    stops = []
    for row in rows:
        cells = {field: _text(row.get(column)) for column, field in _FIELDS.items()}
        if any(cells.values()):
            stops.append(
                {field: _read(field, cell, units) for field, cell in cells.items() if cell}
            )
    return trip_from_data({"trip": {"name": name}, "stops": stops}, source=_SOURCE)


def _read(field: str, cell: str, units: Units) -> Any:
    """A cell as the record takes it; one that cannot be read stays text, which it refuses."""
    if field == "arrive":
        with contextlib.suppress(ValueError):
            return dt.date.fromisoformat(cell)
    if field in (*_WHOLE, "drive_h"):
        with contextlib.suppress(InputError):
            number = read_value(field, cell, units)
            return int(number) if field in _WHOLE and number == int(number) else number
    return cell


def _cell(value: Any, units: Units) -> str:
    return value_text("", value, units) if isinstance(value, int | float) else _text(value)


def _text(value: Any) -> str:
    return "" if value is None else str(value).strip()
