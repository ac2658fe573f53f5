"""Maps of errors: marks over coasts, in rows for seasons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.present.palette import LIGHT
from solarsim.present.still import still_bytes
from solarsim.weather.outlines import Box, LineKind, map_lines

__all__ = ["Point", "error_maps"]

# Longitude and latitude, degrees, and the error there.
Point = tuple[float, float, float]
_INCHES = 7.4


def error_maps(
    seasons: Sequence[Sequence[Point]],
    titles: Sequence[str],
    near: float,
    names: tuple[str, str, str],
    boxes: Sequence[Box],
    title: str,
) -> bytes:
    """Draw points on maps as a PNG: below, within and above a limit, by mark and colour.

    Parameters
    ----------
    seasons : sequence of sequence of Point
        A row of maps each, one below the other, so that they can be read on a phone.
    titles : sequence of str
        What each row is called.
    near : float
        The limit, in the unit of the errors.
    names : tuple of str
        What is said of points below, within and above it.
    boxes : sequence of Box
        Maps side by side in each row.
    title : str
        Of the whole picture.
    """
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    # Longitudes as wide as they are in the middle of each box.
    shrink = [np.cos(np.radians((box.south_deg + box.north_deg) / 2.0)) for box in boxes]
    widths = [
        (box.east_deg - box.west_deg) * narrow / (box.north_deg - box.south_deg)
        for box, narrow in zip(boxes, shrink, strict=True)
    ]
    figure = Figure(figsize=(_INCHES, 1.3 + len(seasons) * (0.35 + _INCHES / sum(widths))))
    figure.set_layout_engine("constrained")
    FigureCanvasAgg(figure)
    rows = figure.subplots(len(seasons), len(boxes), width_ratios=widths, squeeze=False)
    for row, points, name in zip(rows, seasons, titles, strict=True):
        row[0].set_title(name, fontsize=12, loc="left")
        for axes, box, narrow in zip(row, boxes, shrink, strict=True):
            for line in map_lines(LineKind.COAST, box):
                axes.plot(line[:, 0], line[:, 1], color=LIGHT.shaded, linewidth=0.6, zorder=1)
            _marks(axes, np.array(points), near, names)
            axes.set_xlim(box.west_deg, box.east_deg)
            axes.set_ylim(box.south_deg, box.north_deg)
            axes.set_xticks([])
            axes.set_yticks([])
            axes.set_aspect(1.0 / narrow)
    handles, labels = rows[0][0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside lower left", ncols=1, frameon=False, fontsize=12)
    figure.suptitle(title, fontsize=12, x=0.02, ha="left")
    return still_bytes(figure, "png")


def _marks(axes: Any, points: FloatArray, near: float, names: tuple[str, str, str]) -> None:
    """Triangles down and up beyond `near`, circles within: shape tells what colour tells."""
    longitude, latitude, error = points.T
    kinds = (
        (error <= -near, "v", LIGHT.blue, names[0]),
        (np.abs(error) < near, "o", LIGHT.green, names[1]),
        (error >= near, "^", LIGHT.vermillion, names[2]),
    )
    for chosen, mark, colour, name in kinds:
        axes.scatter(
            longitude[chosen],
            latitude[chosen],
            s=54,
            marker=mark,
            color=colour,
            edgecolors=LIGHT.page,
            linewidths=0.6,
            label=name,
            zorder=3 if mark != "o" else 2,
        )
