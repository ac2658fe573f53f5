"""What stands on the roof as rows that can be typed over, and back to tables."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from solarsim.errors import InputError
from solarsim.inputs.roof import Obstacle, Roof

__all__ = ["COLUMNS", "KINDS", "obstacle_frame", "with_edits", "with_obstacle", "without_obstacle"]

COLUMNS = ("what", "x", "y", "l", "w", "h")
_FIELDS = {
    "what": "name",
    "x": "x_m",
    "y": "y_m",
    "l": "length_m",
    "w": "width_m",
    "h": "height_m",
}
# Length, width and height in m: sizes of the trade, common practice, no source.
KINDS = {
    "roof fan": (0.4, 0.4, 0.12),
    "vent": (0.2, 0.2, 0.1),
    "skylight": (0.7, 0.5, 0.12),
    "air cooler": (0.8, 0.8, 0.3),
    "antenna": (0.1, 0.1, 0.4),
    "roof box": (1.2, 0.6, 0.4),
}


def obstacle_frame(roof: Roof) -> pd.DataFrame:
    """Return one row for each thing on the roof; lengths in m."""
    return pd.DataFrame(
        [
            {column: getattr(obstacle, field) for column, field in _FIELDS.items()}
            for obstacle in roof.obstacles
        ],
        columns=list(COLUMNS),
    )


def with_edits(roof: Roof, edits: Mapping[int, Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the obstacles' tables with cells typed over; row number to column name to value.

    Raises
    ------
    InputError
        A cell was emptied.
    """
    rows = _rows(roof)
    for number, cells in edits.items():
        row = rows[int(number)]
        for column, value in cells.items():
            if value is None:
                message = f"{column} is empty; give a value"
                raise InputError(message, field=str(roof.obstacles[int(number)].name))
            row[_FIELDS[column]] = value
    return rows


def with_obstacle(roof: Roof, kind: str) -> list[dict[str, Any]]:
    """Return the obstacles' tables with one more, in the middle of the roof."""
    length_m, width_m, height_m = KINDS[kind]
    names = {obstacle.name for obstacle in roof.obstacles}
    name, count = kind, 2
    while name in names:
        name, count = f"{kind} {count}", count + 1
    new = Obstacle(
        name=name,
        x_m=round(max(roof.length_m - length_m, 0.0) / 2.0, 2),
        y_m=round(max(roof.width_m - width_m, 0.0) / 2.0, 2),
        length_m=length_m,
        width_m=width_m,
        height_m=height_m,
    )
    return [*_rows(roof), new.model_dump(exclude_unset=True)]


def without_obstacle(roof: Roof, position: int) -> list[dict[str, Any]]:
    """Return the obstacles' tables without one of them."""
    return [row for number, row in enumerate(_rows(roof)) if number != position]


def _rows(roof: Roof) -> list[dict[str, Any]]:
    return [obstacle.model_dump(exclude_unset=True) for obstacle in roof.obstacles]
