"""A region's map on the sheet as SVG: squares with their days, coast, borders and towns."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from solarsim.present.sheet.drawings import INK, svg_box, svg_page, svg_text

__all__ = ["map_svg", "map_width"]

# Light to dark with the days, so that the shade tells more and less without its hue.
_CLASSES = ("#F3E9D2", "#C9DDD3", "#8DBFB2", "#3F9182", "#175348")
_DARK = 3
_SEA, _LAND, _BORDER = "#F2F6F8", "#E3E3DE", "#5B6866"
_LEGEND = 16.0
_LETTER_SHARE = 0.56


def map_width(page_map: dict[str, Any], *, width: float, most_height: float) -> float:
    """Return how wide `map_svg` draws the map."""
    wide, tall = page_map["size"]
    return float(wide * min(width / wide, (most_height - _LEGEND) / tall))


def map_svg(page_map: dict[str, Any], *, width: float, most_height: float) -> str:
    """Draw the map.

    Parameters
    ----------
    page_map : dict
        The page's ``map``.
    width, most_height : float
        Room for the drawing, in points.
    """
    wide, tall = page_map["size"]
    scale = map_width(page_map, width=width, most_height=most_height) / wide
    height = tall * scale
    parts = [svg_box(0.0, 0.0, wide * scale, height, _SEA)]
    rings = "".join(f"M{_points(ring, scale)}Z" for ring in page_map["land"])
    parts.append(f'<path d="{rings}" fill="{_LAND}" fill-rule="evenodd"/>')
    parts += _squares(page_map, scale)
    for line in page_map["lines"]:
        points = _points(line["points"], scale)
        border = line["border"]
        dash = ' stroke-dasharray="3 1.6"' if border else ""
        parts.append(
            f'<polyline points="{points}" fill="none" stroke="{_BORDER if border else INK}" '
            f'stroke-width="0.7"{dash}/>'
        )
    parts += _towns(page_map["towns"], scale, wide * scale)
    clip = f'<clipPath id="map"><rect width="{wide * scale:.2f}" height="{height:.2f}"/></clipPath>'
    inside = f'{clip}<g clip-path="url(#map)">{"".join(parts)}</g>'
    return svg_page(wide * scale, height + _LEGEND, inside + _legend(page_map["classes"], height))


def _points(line: list[list[float]], scale: float) -> str:
    return " ".join(f"{x * scale:.2f},{y * scale:.2f}" for x, y in line)


def _squares(page_map: dict[str, Any], scale: float) -> Iterable[str]:
    wide, tall = (side * scale for side in page_map["square"])
    longest = max(len(square["days"]) for square in page_map["squares"])
    size = min(0.5 * tall, wide / (longest * _LETTER_SHARE + 0.4), 9.0)
    for square in page_map["squares"]:
        x, y = square["x"] * scale, square["y"] * scale
        # A hair larger, so that no seams show.
        yield svg_box(
            x - wide / 2.0 - 0.05,
            y - tall / 2.0 - 0.05,
            wide + 0.1,
            tall + 0.1,
            _CLASSES[square["class"]],
        )
        if page_map["numbered"]:
            fill = "#FFFFFF" if square["class"] >= _DARK else INK
            yield svg_text(square["days"], x, y + 0.36 * size, size, fill=fill, anchor="middle")


def _towns(towns: list[dict[str, Any]], scale: float, width: float) -> Iterable[str]:
    for town in towns:
        x, y = town["x"] * scale, town["y"] * scale
        left = x > width / 2.0
        yield f'<circle cx="{x:.2f}" cy="{y:.2f}" r="1.6" fill="#FFFFFF" stroke="{INK}"/>'
        place = (x - 3.5, "end") if left else (x + 3.5, "start")
        # Drawn twice: letters on a white edge stand out from any square.
        name = svg_text(town["name"], place[0], y - 2.0, 7.2, anchor=place[1], weight=600)
        edge = 'stroke="#FFFFFF" stroke-width="2" stroke-linejoin="round" '
        yield name.replace("<text ", f"<text {edge}")
        yield name


def _legend(classes: list[str], top: float) -> str:
    parts, x = [], 0.0
    for shade, text in zip(_CLASSES, classes, strict=True):
        parts.append(svg_box(x, top + 5.0, 9.0, 8.0, shade, line=_BORDER, thick=0.4))
        parts.append(svg_text(text, x + 12.0, top + 11.6, 7.5))
        x += 22.0 + 4.2 * len(text)
    return "".join(parts)
