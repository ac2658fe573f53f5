"""A region's winter on the sheet: the map's words, and its squares and lines as numbers."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.present.region.picture import box_around, lines_in
from solarsim.present.sheet.forms import Texts, count_days, month_name, number, territory
from solarsim.present.sheet.texts import days_number, days_phrase, percent_text
from solarsim.weather.outlines import Box, LineKind, land_in

__all__ = ["MAP_EDGES", "map_part"]

# Where a square's shade changes, days.
MAP_EDGES = (2.0, 4.0, 7.0, 14.0)
# Squares beside and below each other that are large enough on paper for a number.
_MOST_ACROSS, _MOST_DOWN = 45.0, 60.0

Clean = Callable[[str, str], str]


def map_part(document: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any] | None:
    """Return the map's strings and numbers; None where none was asked for.

    Parameters
    ----------
    document : dict
        From `sheet_document`.
    texts : dict
        The catalogue.
    clean : callable
        As for `sheet_page`.
    """
    asked = document["map"]
    if asked is None:
        return None
    words, (land,) = texts["map"], asked["land"]
    name = territory(texts, asked["region"]["code"], asked["region"]["name"])
    region, follow_days = clean(name, "map"), asked["weather"]["follow_days"]
    month = month_name(texts, land["month"], in_text=True)
    cells, days = asked["cells"], [cell["vans"][0]["months"][0]["p50"] for cell in asked["cells"]]
    box, shrink, longitudes = _frame(asked)
    step_deg = asked["region"]["step_deg"]
    across, down = (
        (box.east_deg - box.west_deg) / step_deg,
        (box.north_deg - box.south_deg) / step_deg,
    )
    numbered = across <= _MOST_ACROSS and down <= _MOST_DOWN
    return {
        "title": words["title"].format(region=region),
        "text": words["text"].format(
            month=month,
            way=texts["with_ways"]["typical"],
            shown=words["number" if numbered else "shade"],
            stay=count_days(texts, asked["stay"]["days"]),
            target=percent_text(texts, asked["stay"]["target_chance"]),
            share=percent_text(texts, land["target_met_share"]),
        ),
        "legend": words["legend"].format(
            step=number(texts, step_deg, None),
        )
        + _taken(asked, words, clean),
        "alt": words["alt"].format(
            region=region,
            month=month,
            least=days_phrase(texts, min(days), follow_days),
            most=days_phrase(texts, max(days), follow_days),
        ),
        "classes": _classes(texts, follow_days),
        "squares": [
            _square(
                texts,
                follow_days,
                (east - box.west_deg) * shrink,
                box.north_deg - cell["latitude"],
                lasts,
            )
            for cell, east, lasts in zip(cells, longitudes, days, strict=True)
        ],
        "square": [step_deg * shrink, step_deg],
        "numbered": numbered,
        "size": [(box.east_deg - box.west_deg) * shrink, box.north_deg - box.south_deg],
        "land": [_on_map(ring, box, shrink) for ring in _land_rings(box)],
        "lines": [
            {"border": kind is not LineKind.COAST, "points": _on_map(line, box, shrink)}
            for kind in (LineKind.AREA, LineKind.BORDER, LineKind.COAST)
            for line in lines_in(kind, box)
        ],
        "towns": [_town(town, clean(town["name"], "map"), box, shrink) for town in asked["towns"]],
    }


def _square(texts: Texts, follow_days: int, x: float, y: float, days: float) -> dict[str, Any]:
    level = int(np.searchsorted(MAP_EDGES, days, side="right"))
    return {"x": x, "y": y, "class": level, "days": _short(texts, days, follow_days)}


def _town(town: dict[str, Any], name: str, box: Box, shrink: float) -> dict[str, Any]:
    right = (town["longitude"] - box.west_deg) % 360.0 * shrink
    return {"name": name, "x": right, "y": box.north_deg - town["latitude"]}


def _frame(asked: dict[str, Any]) -> tuple[Box, float, list[float]]:
    """What the map shows, how much a degree of longitude shrinks, and the squares' longitudes."""
    step_deg, west = asked["region"]["step_deg"], asked["region"]["west"] - 1.0
    # Past 180 where the land runs on.
    east = [(cell["longitude"] - west) % 360.0 + west for cell in asked["cells"]]
    north = [cell["latitude"] for cell in asked["cells"]]
    box = box_around(np.array([min(north), max(north)]), np.array([min(east), max(east)]), step_deg)
    middle_deg = 0.5 * (box.south_deg + box.north_deg)
    return box, max(float(np.cos(np.radians(middle_deg))), 0.1), east


def _on_map(points: FloatArray, box: Box, shrink: float) -> list[list[float]]:
    """Longitude and latitude as right and down from the map's upper left corner."""
    right, down = (points[:, 0] - box.west_deg) * shrink, box.north_deg - points[:, 1]
    found: list[list[float]] = np.column_stack([right, down]).round(4).tolist()
    return found


def _land_rings(box: Box) -> list[FloatArray]:
    """Edges of all land on the map, with those of its holes."""
    import shapely

    parts = [part for part in shapely.get_parts(land_in(box)) if part.geom_type == "Polygon"]
    return [np.asarray(ring.coords) for part in parts for ring in (part.exterior, *part.interiors)]


def _classes(texts: Texts, follow_days: int) -> list[str]:
    words = texts["map"]
    edges = [number(texts, edge, None) for edge in MAP_EDGES if edge <= follow_days]
    between = itertools.pairwise(edges)
    return [
        words["below"].format(number=edges[0]),
        *(words["between"].format(low=low, high=high) for low, high in between),
        words["above"].format(number=edges[-1]),
    ]


def _short(texts: Texts, days: float, follow_days: int) -> str:
    """Whole days above two, for a small square."""
    if 2.0 <= days < follow_days:
        return f"{int(days)}"
    return days_number(texts, days, follow_days)


def _taken(asked: dict[str, Any], words: Texts, clean: Clean) -> str:
    """Say what the region was taken without; the last of its warnings is the map's caution."""
    notes = [clean(note, "map") for note in asked["warnings"][:-1]]
    return f" {words['taken'].format(notes='; '.join(notes))}" if notes else ""
