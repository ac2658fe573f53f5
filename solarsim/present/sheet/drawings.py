"""The sheet's drawings as SVG: days by season, the roof from above, and a trip.

Both are drawn from the page's strings, so that PDF, PNG and HTML show the same.
"""

from __future__ import annotations

import html
from typing import Any

__all__ = ["INK", "chart_svg", "roof_svg", "svg_box", "svg_page", "svg_text", "trip_svg"]

INK = "#1D2B2A"
QUIET = "#5B6866"
_GRID = "#D5DCDA"
_SHADES = ("#9CC7BE", "#2F8577", "#123F3A")
_PANEL, _PANEL_LINE = "#DCEBE8", "#2F8577"
# How wide a letter is, of its height.
_LETTER_SHARE = 0.56
_FONT = "Inter, 'DejaVu Sans', system-ui, sans-serif"


def chart_svg(days: dict[str, Any], *, width: float, height: float, columns: int = 4) -> str:
    """Small multiples, a region each: bars to the expected days, a line at "nine in ten".

    Parameters
    ----------
    days : dict
        The page's ``days``.
    width, height : float
        Size of the drawing, in points.
    columns : int
        Regions side by side.
    """
    regions, follow_days = days["regions"], days["follow_days"]
    rows = -(-len(regions) // columns)
    columns = min(columns, len(regions))
    gap, left = 14.0, 14.0
    each_w = (width - gap * (columns - 1)) / columns
    each_h = height / rows
    parts = []
    for index, region in enumerate(regions):
        x0 = (index % columns) * (each_w + gap)
        y0 = (index // columns) * each_h
        parts.append(_region(region, days, x0, y0, each_w, each_h, left, follow_days))
    return svg_page(width, height, "".join(parts))


def _region(
    region: dict[str, Any],
    days: dict[str, Any],
    x0: float,
    y0: float,
    width: float,
    height: float,
    left: float,
    follow_days: float,
) -> str:
    top, bottom = 15.0, 14.0
    plot_w, plot_h = width - left, height - top - bottom
    base = y0 + top + plot_h
    parts = [svg_text(region["place"], x0, y0 + 8.5, 8.0, weight=600, most=int(width / 4.6))]
    for mark in (0, 10, 20, 30):
        if mark > follow_days:
            continue
        y = base - plot_h * mark / follow_days
        parts.append(_line(x0 + left, y, x0 + width, y, _GRID, 0.5))
        parts.append(svg_text(str(mark), x0 + left - 3.0, y + 2.2, 6.2, fill=QUIET, anchor="end"))
    group = plot_w / 4.0
    bar = min(group * 0.22, 13.0)
    # Long names of seasons would run into each other.
    letters = max(len(name) for name in days["seasons"])
    size = min(6.6, (group - 2.0) / (_LETTER_SHARE * letters))
    for season in range(4):
        middle = x0 + left + group * (season + 0.5)
        for way, row in enumerate(region["rows"]):
            cell = row["cells"][season]
            x = middle + (way - 1) * (bar + 1.2) - bar / 2.0
            high = plot_h * min(cell["p50"], follow_days) / follow_days
            parts.append(svg_box(x, base - high, bar, high, _SHADES[way]))
            low = base - plot_h * min(cell["safe"], follow_days) / follow_days
            # A light edge keeps the line apart from the darkest bar.
            parts.append(_line(x - 0.7, low, x + bar + 0.7, low, "#FFFFFF", 2.6))
            parts.append(_line(x - 0.7, low, x + bar + 0.7, low, INK, 1.0))
        label = days["seasons"][season]
        parts.append(svg_text(label, middle, base + 8.5, size, fill=QUIET, anchor="middle"))
    parts.append(_line(x0 + left, base, x0 + width, base, QUIET, 0.6))
    return "".join(parts)


def roof_svg(roof: dict[str, Any], *, width: float, most_height: float, scale: float = 1.0) -> str:
    """The roof to scale, front on the right: numbered panels and lettered obstacles.

    Parameters
    ----------
    roof : dict
        The page's ``roof``.
    width, most_height : float
        Room for the drawing, in points; a long roof takes the width, a square one the height.
    scale : float
        Of letters and lines.
    """
    edge = 4.0 * scale
    front = 9.0 * scale
    per_m = min(
        (width - 2 * edge - front) / roof["length_m"], (most_height - 2 * edge) / roof["width_m"]
    )

    def at(x_m: float, y_m: float) -> tuple[float, float]:
        return edge + x_m * per_m, edge + y_m * per_m

    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in (at(*corner) for corner in roof["outline"]))
    parts = [
        f'<polygon points="{points}" fill="#FFFFFF" stroke="{INK}" stroke-width="{1.2 * scale:g}"'
        ' stroke-linejoin="round"/>'
    ]
    for number, panel in enumerate(roof["panels"], start=1):
        x, y = at(panel["x_m"], panel["y_m"])
        w, h = panel["length_m"] * per_m, panel["width_m"] * per_m
        parts.append(svg_box(x, y, w, h, _PANEL, line=_PANEL_LINE, thick=scale))
        size = min(11.0 * scale, 0.5 * min(w, h))
        parts.append(
            svg_text(
                str(number), x + w / 2, y + h / 2 + 0.36 * size, size, weight=600, anchor="middle"
            )
        )
    for one in roof["obstacles"]:
        x, y = at(one["x_m"], one["y_m"])
        w, h = one["length_m"] * per_m, one["width_m"] * per_m
        parts.append(svg_box(x, y, w, h, "#F2EEE6", line="#8A7B5C", thick=0.8 * scale))
        size = min(8.0 * scale, 0.8 * h, 0.8 * w)
        parts.append(
            svg_text(one["letter"], x + w / 2, y + h / 2 + 0.36 * size, size, anchor="middle")
        )
    x, y = at(roof["length_m"], roof["width_m"] / 2.0)
    x += 9.0 * scale
    size = 7.0 * scale
    parts.append(
        f'<g transform="translate({x:.2f} {y:.2f}) rotate(-90)">'
        f"{svg_text(roof['front'], 0.0, 0.0, size, fill=QUIET, anchor='middle')}</g>"
    )
    height = 2 * edge + roof["width_m"] * per_m
    return svg_page(2 * edge + front + roof["length_m"] * per_m, height, "".join(parts))


def trip_svg(trip: dict[str, Any], *, width: float, height: float) -> str:
    """State of charge along a trip: the median's line, shade up to what is safe, the stops.

    Parameters
    ----------
    trip : dict
        The page's ``trip``.
    width, height : float
        Size of the drawing, in points.
    """
    left, top, bottom = 22.0, 10.0, 3.0
    plot_w, plot_h = width - left, height - top - bottom

    def at(hour: float, soc: float) -> tuple[float, float]:
        return left + plot_w * min(hour / trip["hours"], 1.0), top + plot_h * (1.0 - soc)

    def course(values: list[float]) -> str:
        points = (at(index * trip["step_h"], soc) for index, soc in enumerate(values))
        return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)

    parts = []
    for mark in (0.0, 0.5, 1.0):
        y = at(0.0, mark)[1]
        parts.append(_line(left, y, width, y, _GRID, 0.5))
        parts.append(
            svg_text(f"{100.0 * mark:.0f} %", left - 3.0, y + 2.2, 6.2, fill=QUIET, anchor="end")
        )
    end, floor = at((len(trip["shade"]) - 1) * trip["step_h"], 0.0)
    area = f"{left:.1f},{floor:.1f} {course(trip['shade'])} {end:.1f},{floor:.1f}"
    parts.append(f'<polygon points="{area}" fill="{_SHADES[0]}"/>')
    parts.append(
        f'<polyline points="{course(trip["p50"])}" fill="none" stroke="{_SHADES[2]}" '
        'stroke-width="1.3" stroke-linejoin="round"/>'
    )
    for stop in trip["marks"]:
        x = at(stop["begin"], 1.0)[0]
        parts.append(_line(x, top - 7.0, x, top + plot_h, QUIET, 0.5))
        parts.append(svg_text(stop["number"], x + 2.0, top - 2.5, 7.0, weight=600))
    return svg_page(width, height, "".join(parts))


def svg_page(width: float, height: float, content: str) -> str:
    """Return a drawing of so many points."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.2f} {height:.2f}" '
        f'width="{width:.2f}" height="{height:.2f}" font-family="{_FONT}">{content}</svg>'
    )


def svg_box(
    x: float, y: float, width: float, height: float, fill: str, *, line: str = "", thick: float = 0
) -> str:
    """Return a rectangle by its upper left corner."""
    stroke = f' stroke="{line}" stroke-width="{thick:g}"' if line else ""
    return (
        f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" '
        f'fill="{fill}"{stroke}/>'
    )


def _line(x0: float, y0: float, x1: float, y1: float, colour: str, thick: float) -> str:
    return (
        f'<line x1="{x0:.2f}" y1="{y0:.2f}" x2="{x1:.2f}" y2="{y1:.2f}" '
        f'stroke="{colour}" stroke-width="{thick:g}"/>'
    )


def svg_text(
    text: str,
    x: float,
    y: float,
    size: float,
    *,
    fill: str = INK,
    anchor: str = "start",
    weight: int = 400,
    most: int | None = None,
) -> str:
    """Return text on a line, of at most so many letters."""
    if most is not None and len(text) > most:
        text = f"{text[: max(most - 1, 1)].rstrip()}…"
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" font-weight="{weight}" '
        f'fill="{fill}" text-anchor="{anchor}">{html.escape(text)}</text>'
    )
