"""Read a trip: a TOML file, a CSV of stops, or a shipped example by its name."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from solarsim.errors import InputError
from solarsim.inputs.base import parse_record, record_data
from solarsim.inputs.files.toml import read_text, read_toml, resolve_file
from solarsim.inputs.trip import Stop, Trip

__all__ = [
    "DEFAULT_TRIP",
    "checked_trip",
    "read_trip",
    "trip_from_csv",
    "trip_from_data",
    "trip_of_file",
]

DEFAULT_TRIP = "northern-spring"
# How a cell of a CSV is read; where that fails, the record says what is allowed.
_CELLS: dict[str, Callable[[str], Any]] = {
    "arrive": dt.date.fromisoformat,
    "nights": int,
    "drive_h": float,
    "plugged_nights": int,
    "people": int,
}


def read_trip(name_or_path: str = DEFAULT_TRIP) -> Trip:
    """Read a trip: a TOML file, a CSV of stops, or a shipped example by its name.

    Parameters
    ----------
    name_or_path : str
        A path, or the name of a shipped example. A CSV has a row for each stop, under headings
        that are the keys of ``[[stops]]``; an empty cell is a key left out.

    Raises
    ------
    InputError
        No such file, no TOML or CSV, an unknown key, a value out of range, dates that do not
        follow each other; the file, the stop's number and the field are named.

    Examples
    --------
    >>> len(read_trip("northern-spring").stops)
    9
    """
    path = resolve_file(name_or_path, "trips")
    return trip_of_file(path, name=path.name)


def trip_of_file(path: Path, *, name: str) -> Trip:
    """Read a trip from a file whose name says whether it is a CSV; otherwise as `read_trip`."""
    if name.lower().endswith(".csv"):
        stem = name[: -len(".csv")] or "trip"
        return trip_from_csv(read_text(path, "CSV"), source=str(path), name=stem)
    return trip_from_data(read_toml(path), source=str(path))


def checked_trip(trip: Trip) -> Trip:
    """Check a trip like a file, however it was made.

    Raises
    ------
    InputError
        As for `read_trip`.
    """
    return trip_from_data(record_data(trip), source="trip")


def trip_from_csv(text: str, *, source: str, name: str) -> Trip:
    """Build a trip from the text of a CSV; otherwise as `read_trip`."""
    rows = csv.DictReader(text.splitlines(), skipinitialspace=True)
    heading = [heading.strip().lower() for heading in rows.fieldnames or ()]
    if "place" not in heading:
        known = ", ".join(Stop.model_fields)
        message = f"needs a heading 'place'; others: {known}"
        raise InputError(message, source=source, field="line 1")
    rows.fieldnames = heading
    stops = []
    try:
        for row in rows:
            if None in row:
                message = f"holds more cells than the {len(heading)} headings"
                raise InputError(message, source=source, field=f"line {rows.line_num}")
            cells = {key: cell.strip() for key, cell in row.items() if cell and cell.strip()}
            if cells:
                stops.append({key: _read(key, cell) for key, cell in cells.items()})
    except csv.Error as error:
        raise InputError(f"is not CSV: {error}", source=source) from None
    return trip_from_data({"trip": {"name": name}, "stops": stops}, source=source)


def trip_from_data(data: Mapping[str, Any], *, source: str) -> Trip:
    """Build a trip from plain tables; otherwise as `read_trip`."""
    given = data.get("stops")
    if not isinstance(given, list | tuple):
        # Nothing to number: the record says what is wrong.
        return parse_record(Trip, data, source=source)
    stops = []
    for number, stop in enumerate(given, 1):
        if not isinstance(stop, Mapping):
            message = f"got {stop!r}; must be a table of a stop's keys"
            raise InputError(message, source=source, field=f"stop {number}")
        stops.append(parse_record(Stop, stop, source=f"{source}: stop {number}"))
    return parse_record(Trip, {**data, "stops": stops}, source=source)


def _read(key: str, cell: str) -> Any:
    if key not in _CELLS:
        return cell
    try:
        return _CELLS[key](cell)
    except ValueError:
        return cell
