"""A CSV of places, for asking one question at many of them."""

from __future__ import annotations

import csv
from pathlib import Path

from solarsim.errors import InputError
from solarsim.inputs.files.toml import read_text

__all__ = ["MAX_PLACES", "read_places"]

MAX_PLACES = 10_000


def read_places(path: Path) -> list[str]:
    """Read places as text that a place can be found by.

    Parameters
    ----------
    path : Path
        With a heading ``place`` (a town, or ``"latitude, longitude"`` in quotes), or headings
        ``latitude`` and ``longitude``. Other columns are left alone.

    Raises
    ------
    InputError
        The file cannot be read, has no such heading, no row, or an empty cell; the line is named.
    """
    source = str(path)
    rows = csv.DictReader(read_text(path, "CSV").splitlines(), skipinitialspace=True)
    heading = [name.strip().lower() for name in rows.fieldnames or ()]
    rows.fieldnames = heading
    if "place" in heading:
        wanted = ["place"]
    elif {"latitude", "longitude"} <= set(heading):
        wanted = ["latitude", "longitude"]
    else:
        message = "needs a heading 'place', or 'latitude' and 'longitude'"
        raise InputError(message, source=source, field="line 1")
    places = []
    try:
        for row in rows:
            cells = [(row[name] or "").strip() for name in wanted]
            if not all(cells):
                raise InputError(
                    "holds an empty cell", source=source, field=f"line {rows.line_num}"
                )
            places.append(", ".join(cells))
    except csv.Error as error:
        raise InputError(f"is not CSV: {error}", source=source) from None
    if not 1 <= len(places) <= MAX_PLACES:
        raise InputError(f"holds {len(places)} places; 1 to {MAX_PLACES} allowed", source=source)
    return places
