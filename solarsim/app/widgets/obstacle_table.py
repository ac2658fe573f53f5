"""What stands on the roof as rows that can be typed over, and back to tables."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pandas as pd

from solarsim.app.translate import tr
from solarsim.app.units.quantities import METRIC, Units, inches_text, read_inches_m
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


_STEP_M = 0.05


def obstacle_frame(roof: Roof, units: Units = METRIC) -> pd.DataFrame:
    """Return one row for each thing on the roof; lengths as text, in m or inches."""
    return pd.DataFrame(
        [
            {column: _cell(getattr(obstacle, field), units) for column, field in _FIELDS.items()}
            for obstacle in roof.obstacles
        ],
        columns=list(COLUMNS),
    )


def with_edits(
    roof: Roof, edits: Mapping[int, Mapping[str, Any]], units: Units = METRIC
) -> list[dict[str, Any]]:
    """Return the obstacles' tables with cells typed over; row number to column name to value.

    A cell that is typed as it stood keeps its length to the last digit.

    Raises
    ------
    InputError
        A cell was emptied, or holds no number where one is needed.
    """
    rows = _rows(roof)
    for number, cells in edits.items():
        row = rows[int(number)]
        name = str(roof.obstacles[int(number)].name)
        for column, value in cells.items():
            if value is None or not str(value).strip():
                message = tr("{column} is empty; give a value", column=tr(column))
                raise InputError(message, field=name)
            if column == "what":
                row[_FIELDS[column]] = value
                continue
            if str(value) == _cell(getattr(roof.obstacles[int(number)], _FIELDS[column]), units):
                continue
            try:
                row[_FIELDS[column]] = read_inches_m(str(value), units)
            except InputError as error:
                raise InputError(f"{tr(column)}: {error.message}", field=name) from None
    return rows


def with_obstacle(roof: Roof, kind: str) -> list[dict[str, Any]]:
    """Return the obstacles' tables with one more, where nothing stands and nearest the middle.

    Raises
    ------
    InputError
        There is no such spot.
    """
    length_m, width_m, height_m = KINDS[kind]
    names = {obstacle.name for obstacle in roof.obstacles}
    name, count = kind, 2
    while name in names:
        name, count = f"{kind} {count}", count + 1
    x_m, y_m = _free_spot(roof, kind, length_m, width_m)
    new = Obstacle(
        name=name, x_m=x_m, y_m=y_m, length_m=length_m, width_m=width_m, height_m=height_m
    )
    return [*_rows(roof), new.model_dump(exclude_unset=True)]


def _free_spot(roof: Roof, kind: str, length_m: float, width_m: float) -> tuple[float, float]:
    """Return the near corner of the free spot that is nearest the roof's middle, in steps."""
    middle_x, middle_y = (roof.length_m - length_m) / 2.0, (roof.width_m - width_m) / 2.0
    steps = [
        (round(column * _STEP_M, 2), round(row * _STEP_M, 2))
        for column in range(int(max(roof.length_m - length_m, 0.0) / _STEP_M) + 1)
        for row in range(int(max(roof.width_m - width_m, 0.0) / _STEP_M) + 1)
    ]
    middle = (round(max(middle_x, 0.0), 2), round(max(middle_y, 0.0), 2))
    steps.sort(key=lambda spot: math.hypot(spot[0] - middle_x, spot[1] - middle_y))
    for x_m, y_m in (middle, *steps):
        if not any(
            x_m < other.x_m + other.length_m
            and other.x_m < x_m + length_m
            and y_m < other.y_m + other.width_m
            and other.y_m < y_m + width_m
            for other in roof.obstacles
        ):
            return x_m, y_m
    message = tr("no free spot is left for this: {kind}; move what stands there", kind=tr(kind))
    raise InputError(message, field="roof")


def without_obstacle(roof: Roof, position: int) -> list[dict[str, Any]]:
    """Return the obstacles' tables without one of them."""
    return [row for number, row in enumerate(_rows(roof)) if number != position]


def _cell(value: Any, units: Units) -> str:
    return value if isinstance(value, str) else inches_text(value, units)


def _rows(roof: Roof) -> list[dict[str, Any]]:
    return [obstacle.model_dump(exclude_unset=True) for obstacle in roof.obstacles]
