"""A region's map as a plotly figure, and the page around it."""

from __future__ import annotations

import html
import textwrap
from typing import Any

import numpy as np

from solarsim.answers.region.region import RegionAnswer
from solarsim.arrays import FloatArray
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.region.picture import MapPicture, Shown, map_picture
from solarsim.present.region.still_map import still_map_bytes
from solarsim.present.region.text import cell_label, region_headline
from solarsim.present.stay.charts import chart_page
from solarsim.present.white import white_template
from solarsim.weather.outlines import LineKind

__all__ = ["map_bytes", "region_figure"]

_MAP_PX, _AROUND_PX = 700.0, 190.0
_LINES = (
    (LineKind.AREA, 0.6, "dot"),
    (LineKind.BORDER, 1.0, "dash"),
    (LineKind.COAST, 1.0, "solid"),
)


def map_bytes(answer: RegionAnswer, suffix: str, shown: Shown = "p50") -> bytes:
    """Return the map as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    picture = map_picture(answer, shown)
    if suffix == ".html":
        figure = _figure(answer, picture, LIGHT)
        return chart_page(region_headline(answer), figure, least_width_px=520).encode()
    return still_map_bytes(picture, suffix.removeprefix("."))


def region_figure(answer: RegionAnswer, palette: Palette = LIGHT, *, shown: Shown = "p50") -> Any:
    """Return the map as a plotly figure; see `solarsim.present.region.picture.map_picture`."""
    return _figure(answer, map_picture(answer, shown), palette)


def _figure(answer: RegionAnswer, picture: MapPicture, palette: Palette) -> Any:
    from plotly.subplots import make_subplots

    count = len(picture.panels)
    columns = 1 if count == 1 else 2 if count in {2, 4} else 3
    rows = -(-count // columns)
    figure = make_subplots(
        rows=rows,
        cols=columns,
        subplot_titles=[html.escape(panel.title) for panel in picture.panels]
        if count > 1
        else None,
        horizontal_spacing=0.03,
        vertical_spacing=0.06 if rows > 1 else 0.0,
    )
    named = _names(answer, picture)
    land = _land_path(picture.land)
    for index, panel in enumerate(picture.panels):
        where = {"row": index // columns + 1, "col": index % columns + 1}
        for trace in _traces(picture, panel.values, named, palette, alone=count == 1):
            figure.add_trace(trace, **where)
        # A filled line would lie on the cells; a shape can lie below them.
        figure.add_shape(
            type="path", path=land, fillcolor=palette.grid, line_width=0, layer="below", **where
        )
        figure.update_xaxes(
            range=[picture.box.west_deg, picture.box.east_deg],
            ticksuffix="°",
            constrain="domain",
            **where,
        )
        figure.update_yaxes(
            range=[picture.box.south_deg, picture.box.north_deg],
            ticksuffix="°",
            scaleanchor=f"x{index + 1 if index else ''}",
            scaleratio=picture.aspect,
            constrain="domain",
            **where,
        )
    _lay_out(figure, picture, palette, rows=rows, columns=columns)
    return figure


def _lay_out(
    figure: Any, picture: MapPicture, palette: Palette, *, rows: int, columns: int
) -> None:
    tall = min(max(_MAP_PX / columns * picture.height_over_width, 150.0), 900.0)
    scale = picture.scale
    figure.update_layout(
        template=white_template(),
        height=rows * (tall + 40.0) + _AROUND_PX,
        margin={"l": 40, "r": 10, "t": 60, "b": 110},
        title={"text": html.escape(picture.title), "x": 0.0, "xanchor": "left"},
        showlegend=False,
        font={"color": palette.ink},
        coloraxis={
            "cmin": scale.low,
            "cmax": scale.high,
            "colorscale": scale.colours,
            "colorbar": {
                "title": {"text": html.escape(scale.label), "side": "right"},
                **({"dtick": 1} if scale.whole else {}),
            },
        },
    )
    figure.update_xaxes(showgrid=False, zeroline=False, nticks=6)
    figure.update_yaxes(showgrid=False, zeroline=False, nticks=6)
    lines = textwrap.wrap(picture.below, 110)
    figure.add_annotation(
        text="<br>".join(map(html.escape, lines)),
        x=0.0,
        y=0.0,
        xref="paper",
        yref="paper",
        xanchor="left",
        yanchor="top",
        yshift=-28,
        align="left",
        showarrow=False,
        font={"size": 11},
    )


def _traces(
    picture: MapPicture, values: FloatArray, named: Any, palette: Palette, *, alone: bool
) -> list[Any]:
    import plotly.graph_objects as go

    cells = go.Heatmap(
        x=picture.longitude_deg,
        y=picture.latitude_deg,
        z=values,
        coloraxis="coloraxis",
        customdata=named,
        hovertemplate="%{customdata}<br>%{z:.1f}" + picture.scale.unit + "<extra></extra>",
        hoverongaps=False,
    )
    found = [cells]
    for kind, width, dash in _LINES:
        x, y = _joined(picture.lines(kind))
        if x:
            line = {"color": palette.ink, "width": width, "dash": dash}
            found.append(go.Scatter(x=x, y=y, mode="lines", line=line, hoverinfo="skip"))
    strong = picture.strong_level
    for level in picture.scale.levels if alone else [] if strong is None else [strong]:
        contours = {
            "start": level,
            "end": level,
            "size": 1.0,
            "coloring": "none",
            "showlabels": True,
            "labelfont": {"size": 12, "color": "black"},
        }
        found.append(
            go.Contour(
                x=picture.longitude_deg,
                y=picture.latitude_deg,
                z=values,
                contours=contours,
                line={"color": "black", "width": 2.5 if level == strong else 1.2},
                hoverinfo="skip",
                showscale=False,
            )
        )
    if alone:
        found.append(_towns(picture))
    return found


def _towns(picture: MapPicture) -> Any:
    import plotly.graph_objects as go

    places = [picture.town_at(town) for town in picture.towns]
    return go.Scatter(
        x=[x for x, _ in places],
        y=[y for _, y in places],
        text=[html.escape(town.name) for town in picture.towns],
        mode="markers+text",
        textposition="top right",
        textfont={"color": "black", "size": 12, "shadow": "0 0 3px white, 0 0 3px white"},
        marker={"size": 6, "color": "white", "line": {"color": "black", "width": 1}},
        hoverinfo="skip",
    )


def _names(answer: RegionAnswer, picture: MapPicture) -> Any:
    """Name of each cell on the grid; nothing where there is none."""
    step = picture.step_deg
    names = np.full((len(picture.latitude_deg), len(picture.longitude_deg)), "", dtype=object)
    cells = answer.asked.cells
    places = zip(cells.latitude_deg, cells.map_longitude_deg, strict=True)
    for index, (latitude, longitude) in enumerate(places):
        row = round((latitude - picture.latitude_deg[0]) / step)
        column = round((longitude - picture.longitude_deg[0]) / step)
        names[row, column] = html.escape(cell_label(answer, index))
    return names


def _land_path(rings: list[FloatArray]) -> str:
    """Rings as one path of SVG."""
    points = (" ".join(f"L{x:.3f},{y:.3f}" for x, y in ring) for ring in rings)
    return " ".join(f"M{line.removeprefix('L')} Z" for line in points)


def _joined(lines: list[FloatArray]) -> tuple[list[float | None], list[float | None]]:
    """Lines as one, with gaps."""
    x: list[float | None] = []
    y: list[float | None] = []
    for line in lines:
        x += [*line[:, 0].round(3).tolist(), None]
        y += [*line[:, 1].round(3).tolist(), None]
    return x, y
