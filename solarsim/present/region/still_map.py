"""A region's map as PNG or SVG."""

from __future__ import annotations

import math
import textwrap
from typing import Any

import numpy as np

from solarsim.present.palette import LIGHT
from solarsim.present.region.picture import MapPicture, Scale
from solarsim.present.still import still_bytes
from solarsim.weather.outlines import LineKind

__all__ = ["still_map_bytes"]

_SEA, _LAND = "#F2F6F8", "#E3E3DE"
_WIDE_IN = 9.0
_LINES = (
    (LineKind.AREA, 0.5, (0, (1, 2))),
    (LineKind.BORDER, 0.9, (0, (5, 2))),
    (LineKind.COAST, 0.8, "solid"),
)


def still_map_bytes(picture: MapPicture, kind: str) -> bytes:
    """Return the map as ``"png"`` or ``"svg"``; equal maps give equal bytes."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    count = len(picture.panels)
    columns = 1 if count == 1 else 2 if count in {2, 4} else min(count, 3 if count < 9 else 4)
    rows = -(-count // columns)
    wide = (_WIDE_IN - 1.3) / columns
    tall = min(max(wide * picture.height_over_width, 0.3 * wide), 1.6 * wide)
    figure = Figure(figsize=(_WIDE_IN, rows * (tall + 0.35) + 1.3), layout="constrained")
    FigureCanvasAgg(figure)
    figure.suptitle(textwrap.fill(picture.title, 80), fontsize=13, parse_math=False)
    grid = figure.subplots(rows, columns, squeeze=False)
    image: Any = None
    for axes, panel in zip(grid.flat, picture.panels, strict=False):
        image = _draw(axes, picture, panel.values, alone=count == 1)
        if count > 1:
            axes.set_title(panel.title, fontsize=10, parse_math=False)
    for axes in grid.flat[count:]:
        axes.set_visible(False)
    bar = figure.colorbar(image, ax=list(grid.flat), shrink=0.8, pad=0.015, aspect=35)
    if picture.scale.whole:
        bar.set_ticks(range(math.ceil(picture.scale.low), math.floor(picture.scale.high) + 1))
    bar.set_label(picture.scale.label, parse_math=False)
    figure.supxlabel(textwrap.fill(picture.below, 125), fontsize=7.5, x=0.01, ha="left")
    return still_bytes(figure, kind)


def _draw(axes: Any, picture: MapPicture, values: Any, *, alone: bool) -> Any:
    scale, box = picture.scale, picture.box
    axes.set_facecolor(_SEA)
    for ring in picture.land:
        axes.fill(ring[:, 0], ring[:, 1], color=_LAND, lw=0, zorder=1)
    half = picture.step_deg / 2.0
    image = axes.pcolormesh(
        np.append(picture.longitude_deg - half, picture.longitude_deg[-1] + half),
        np.append(picture.latitude_deg - half, picture.latitude_deg[-1] + half),
        np.ma.masked_invalid(values),
        cmap=_colours(scale),
        vmin=scale.low,
        vmax=scale.high,
        zorder=2,
    )
    for kind, width, dash in _LINES:
        for line in picture.lines(kind):
            axes.plot(line[:, 0], line[:, 1], color=LIGHT.ink, lw=width, ls=dash, zorder=3)
    _contours(axes, picture, values, alone=alone)
    if alone:
        _name_towns(axes, picture)
    axes.set(xlim=(box.west_deg, box.east_deg), ylim=(box.south_deg, box.north_deg))
    axes.set_aspect(picture.aspect)
    axes.xaxis.set_major_formatter(lambda value, _: _degrees(value, "EW"))
    axes.yaxis.set_major_formatter(lambda value, _: _degrees(value, "NS"))
    axes.tick_params(labelsize=8 if alone else 6)
    axes.locator_params(nbins=6 if alone else 3)
    return image


def _colours(scale: Scale) -> Any:
    import matplotlib as mpl

    colours = mpl.colormaps[scale.colours]
    # A colour for each whole number.
    return colours.resampled(round(scale.high - scale.low)) if scale.whole else colours


def _contours(axes: Any, picture: MapPicture, values: Any, *, alone: bool) -> None:
    from matplotlib import patheffects

    known = values[np.isfinite(values)]
    strong = picture.strong_level
    wanted = picture.scale.levels if alone else [] if strong is None else [strong]
    levels = [level for level in wanted if known.min() < level < known.max()] if known.size else []
    if not levels or min(values.shape) < 2:
        return
    lines = axes.contour(
        picture.longitude_deg,
        picture.latitude_deg,
        np.ma.masked_invalid(values),
        levels=levels,
        colors="black",
        linewidths=[2.0 if level == strong else 1.0 for level in levels],
        linestyles="solid",
        zorder=4,
    )
    halo = [patheffects.withStroke(linewidth=2.5, foreground="white")]
    lines.set(path_effects=halo)
    texts = axes.clabel(
        lines, fmt=lambda level: f"{level:g}{picture.scale.unit}", fontsize=8 if alone else 6
    )
    for text in texts:
        text.set_path_effects(halo)


def _name_towns(axes: Any, picture: MapPicture) -> None:
    from matplotlib import patheffects

    halo = [patheffects.withStroke(linewidth=2.5, foreground="white")]
    middle = 0.5 * (picture.box.west_deg + picture.box.east_deg)
    for town in picture.towns:
        x, y = picture.town_at(town)
        axes.plot(x, y, "o", ms=3.5, mfc="white", mec="black", zorder=5)
        left = x > middle
        axes.annotate(
            town.name,
            (x, y),
            xytext=(-5 if left else 5, 3),
            ha="right" if left else "left",
            textcoords="offset points",
            fontsize=8.5,
            path_effects=halo,
            parse_math=False,
            zorder=6,
        )


def _degrees(value: float, letters: str) -> str:
    turned = float((value + 180.0) % 360.0 - 180.0 if letters == "EW" else value)
    return f"{abs(turned):g}°{letters[turned < 0.0] if turned else ''}"
