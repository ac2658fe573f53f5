"""The roof from above, to scale: numbered panels, named obstacles, dimensions.

The front is on the right, so the van's right side is at the bottom. HTML comes from plotly, PNG and
SVG from matplotlib; both draw the same boxes.
"""

from __future__ import annotations

import dataclasses
import html
from typing import Any

from solarsim.answers.roof import RoofAnswer
from solarsim.inputs.percent import percent
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.roof.text import roof_headline
from solarsim.present.stay.charts import chart_page
from solarsim.present.still import still_bytes
from solarsim.present.white import white_template
from solarsim.present.words import CAUTIONS, month_name

__all__ = ["roof_figure", "roof_plan_bytes"]

# Labels longer than this would cover their neighbours.
_LABEL_LETTERS = 24
_AROUND_M = 0.35
# Names and figures need this much; the widest page gives so much; beside it stand the axes.
_LEAST_PX_PER_M, _MOST_PX_PER_M, _WIDE_PX, _AXES_PX = 80.0, 125.0, 900.0, 150.0
# A panel that loses so much is drawn darkest.
_DARKEST = 0.3


@dataclasses.dataclass(frozen=True)
class _Box:
    """A rectangle with its words; `kind` is ``"panel"``, ``"obstacle"`` or ``"walkway"``."""

    kind: str
    label: str
    words: str
    x_m: float
    y_m: float
    length_m: float
    width_m: float
    clearance_m: float = 0.0
    shade_share: float | None = None

    @property
    def text(self) -> str:
        """What is written on it, in one or two lines."""
        if self.shade_share is None:
            return self.label
        return f"{self.label}\n{percent(self.shade_share)}"


def roof_plan_bytes(answer: RoofAnswer, suffix: str) -> bytes:
    """Return the plan as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    if suffix == ".html":
        least_px = round(_LEAST_PX_PER_M * answer.roof.length_m)
        figure = roof_figure(answer)
        return chart_page(roof_headline(answer), figure, least_width_px=least_px).encode()
    return _static(answer, suffix.removeprefix("."))


def roof_figure(answer: RoofAnswer, palette: Palette = LIGHT) -> Any:
    """Return the plan as a plotly figure, one metre as long along as across."""
    import plotly.graph_objects as go

    roof = answer.roof
    corners = [*roof.corners_m, roof.corners_m[0]]
    figure = go.Figure(
        go.Scatter(
            x=[x for x, _ in corners],
            y=[y for _, y in corners],
            mode="lines",
            line={"color": palette.ink, "width": 2.5},
            hoverinfo="skip",
            showlegend=False,
        )
    )
    _draw_boxes(figure, _boxes(answer), palette)
    for text, x, y, angle in (
        (f"{roof.length_m:.2f} m", roof.length_m / 2.0, roof.width_m + _AROUND_M / 2.0, 0),
        (f"{roof.width_m:.2f} m", -_AROUND_M / 2.0, roof.width_m / 2.0, -90),
        ("front", roof.length_m + _AROUND_M / 2.0, roof.width_m / 2.0, 90),
    ):
        figure.add_annotation(text=text, x=x, y=y, showarrow=False, textangle=angle)
    figure.update_xaxes(
        title_text=_below(answer).replace("\n", "<br>"),
        range=[-_AROUND_M, roof.length_m + _AROUND_M],
        constrain="domain",
        showgrid=False,
        zeroline=False,
    )
    figure.update_yaxes(
        title_text="from the left side, m",
        range=[roof.width_m + _AROUND_M, -_AROUND_M],
        scaleanchor="x",
        constrain="domain",
        showgrid=False,
        zeroline=False,
    )
    per_m = min(_WIDE_PX / (roof.length_m + 2 * _AROUND_M), _MOST_PX_PER_M)
    figure.update_layout(
        template=white_template(),
        height=round(per_m * (roof.width_m + 2 * _AROUND_M) + _AXES_PX),
        margin={"l": 56, "r": 20, "t": 20, "b": 48},
    )
    return figure


def _draw_boxes(figure: Any, boxes: list[_Box], palette: Palette) -> None:
    import plotly.graph_objects as go

    for box in boxes:
        if box.clearance_m > 0.0:
            _add_rectangle(figure, box, box.clearance_m, {"color": palette.quiet, "dash": "dot"})
        colour, fill = _style(box, palette)
        _add_rectangle(figure, box, 0.0, {"color": colour, "width": 1.5}, fill)
    figure.add_trace(
        go.Scatter(
            x=[box.x_m + box.length_m / 2.0 for box in boxes],
            y=[box.y_m + box.width_m / 2.0 for box in boxes],
            mode="text",
            text=[html.escape(box.text).replace("\n", "<br>") for box in boxes],
            textfont={"color": palette.ink},
            hovertext=[html.escape(box.words) for box in boxes],
            hoverinfo="text",
            showlegend=False,
        )
    )


def _add_rectangle(
    figure: Any, box: _Box, around_m: float, line: dict[str, Any], fill: str | None = None
) -> None:
    figure.add_shape(
        type="rect",
        name=box.label,
        x0=box.x_m - around_m,
        x1=box.x_m + box.length_m + around_m,
        y0=box.y_m - around_m,
        y1=box.y_m + box.width_m + around_m,
        line=line,
        fillcolor=fill,
        layer="below",
    )


def _static(answer: RoofAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.patches import Polygon, Rectangle

    roof = answer.roof
    width = 10.0
    height = width * (roof.width_m + 2 * _AROUND_M) / (roof.length_m + 2 * _AROUND_M)
    figure = Figure(figsize=(width, max(height, 2.2) + 1.4), layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.subplots()
    axes.add_patch(Polygon(roof.corners_m, fill=False, ec=LIGHT.ink, lw=2))
    for box in _boxes(answer):
        if box.clearance_m > 0.0:
            free = box.clearance_m
            corner = (box.x_m - free, box.y_m - free)
            sides = (box.length_m + 2 * free, box.width_m + 2 * free)
            axes.add_patch(Rectangle(corner, *sides, fill=False, ec=LIGHT.quiet, ls=":"))
        colour, fill = _style(box, LIGHT)
        corner, sides = (box.x_m, box.y_m), (box.length_m, box.width_m)
        # The fill's share of colour is taken from the pale tone itself.
        axes.add_patch(Rectangle(corner, *sides, fc=fill, ec=colour, lw=1.3))
        axes.text(
            box.x_m + box.length_m / 2.0,
            box.y_m + box.width_m / 2.0,
            box.text,
            ha="center",
            va="center",
            fontsize=11 if box.kind == "panel" else 8,
            parse_math=False,
        )
    middle: dict[str, Any] = {"ha": "center", "va": "center", "color": LIGHT.quiet}
    off = _AROUND_M / 2.0
    axes.text(roof.length_m / 2.0, roof.width_m + off, f"{roof.length_m:.2f} m", **middle)
    axes.text(-off, roof.width_m / 2.0, f"{roof.width_m:.2f} m", rotation=90, **middle)
    axes.text(roof.length_m + off, roof.width_m / 2.0, "front", rotation=-90, **middle)
    axes.set(
        xlim=(-_AROUND_M, roof.length_m + _AROUND_M),
        ylim=(roof.width_m + _AROUND_M, -_AROUND_M),
        xlabel=_below(answer),
        ylabel="from the left side, m",
        aspect="equal",
    )
    title = textwrap.fill(roof_headline(answer), 88)
    axes.set_title(title, fontsize=11, parse_math=False)
    figure.text(0.01, -0.02, textwrap.fill(CAUTIONS, 130), fontsize=7, va="top", color=LIGHT.quiet)
    return still_bytes(figure, kind)


def _style(box: _Box, palette: Palette) -> tuple[str, str]:
    """Line and fill; labels tell the kinds apart, and how much of a panel's light is lost."""
    if box.shade_share is not None:
        return palette.blue, _blend(palette.pale_blue, palette.shaded, box.shade_share / _DARKEST)
    return {
        "panel": (palette.blue, palette.pale_blue),
        "obstacle": (palette.vermillion, palette.pale_vermillion),
        "walkway": (palette.quiet, palette.night),
    }[box.kind]


def _blend(near: str, far: str, share: float) -> str:
    """Colour at a share of the way from one ``#RRGGBB`` to another, held at the ends."""
    way = min(max(share, 0.0), 1.0)
    ends = [[int(colour[at : at + 2], 16) for at in (1, 3, 5)] for colour in (near, far)]
    return "#" + "".join(f"{round(a + (b - a) * way):02X}" for a, b in zip(*ends, strict=True))


def _below(answer: RoofAnswer) -> str:
    """What the axis is, what the second line on a panel says, and what is not drawn."""
    lines = ["from the rear, m"]
    if answer.month is not None and answer.layout in answer.panel_shade_share:
        lines.append(f"%: energy lost to shade in {month_name(answer.month)}")
    beside_w = sum(a.count * a.power_w for a in answer.van.arrays if a.kind == "roof")
    if beside_w:
        lines.append(f"not drawn: {beside_w:,.0f} W in further arrays")
    return "\n".join(lines)


def _boxes(answer: RoofAnswer) -> list[_Box]:
    """Everything on the roof, the walkway below all."""
    roof = answer.roof
    boxes = []
    if roof.walkway_y_m is not None:
        start_m, _ = roof.walkway_y_m
        words = f"walkway, {roof.walkway_m:.2f} m wide"
        # The label keeps to the free part of a strip that obstacles may stand in.
        boxes.append(_Box("walkway", "walkway", words, 0.0, start_m, roof.length_m, roof.walkway_m))
    shares = answer.panel_shade_share.get(answer.layout)
    for number, panel in enumerate(answer.layout.panels, start=1):
        lost = None
        if shares is not None and answer.month is not None:
            lost = shares[number - 1][answer.month - 1]
        words = (
            f"{number}: {panel.part}, {panel.length_m:.2f} x {panel.width_m:.2f} m at "
            f"x {panel.x_m:.3f}, y {panel.y_m:.3f} m"
        )
        boxes.append(
            _Box(
                "panel",
                str(number),
                words,
                panel.x_m,
                panel.y_m,
                panel.length_m,
                panel.width_m,
                shade_share=lost,
            )
        )
    for obstacle in roof.obstacles:
        words = (
            f"{obstacle.name}, {obstacle.length_m:.2f} x {obstacle.width_m:.2f} m, "
            f"{obstacle.height_m:.2f} m high, at x {obstacle.x_m:.2f}, y {obstacle.y_m:.2f} m"
        )
        name = obstacle.name
        label = name if len(name) <= _LABEL_LETTERS else f"{name[: _LABEL_LETTERS - 1]}…"
        boxes.append(
            _Box(
                "obstacle",
                label,
                words,
                obstacle.x_m,
                obstacle.y_m,
                obstacle.length_m,
                obstacle.width_m,
                obstacle.clearance_m,
            )
        )
    return boxes
