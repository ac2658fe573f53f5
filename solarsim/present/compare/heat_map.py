"""The picture of `tune`: the chance by panels and battery units, the choice outlined."""

from __future__ import annotations

from typing import Any

import numpy as np

from solarsim.answers.bank import units_text
from solarsim.answers.tune.designs import TuneAnswer
from solarsim.answers.tune.rows import kind_of, units_worth_showing
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent
from solarsim.present.stay.charts import chart_page
from solarsim.present.still import still_bytes
from solarsim.present.white import white_template
from solarsim.present.words import CAUTIONS

__all__ = ["cells_to_click", "heat_map_bytes", "heat_map_figure", "mark_cell"]

_OUTLINE = "#D55E00"
# Below this chance the scale is dark enough for white: either way 4.5 : 1 or so (WCAG 2.2, 1.4.3).
_WHITE_BELOW = 0.47


def heat_map_bytes(answer: TuneAnswer, suffix: str) -> bytes:
    """Return the picture as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    if suffix == ".html":
        return chart_page(_title(answer), heat_map_figure(answer)).encode()
    return _static(answer, suffix.removeprefix("."))


def heat_map_figure(answer: TuneAnswer) -> Any:
    """Return the plotly figure for the chemistry, DC-DC size and tilt of the choice."""
    import plotly.graph_objects as go

    panels, units, chance = _grid(answer)
    figure = go.Figure(
        go.Heatmap(
            x=panels,
            y=units,
            z=100.0 * chance,
            zmin=0,
            zmax=100,
            colorscale="Cividis",
            text=[[chance_text(value, short=True) for value in row] for row in chance],
            hovertemplate="%{x} panels, %{y} units: %{text}<extra></extra>",
            colorbar={"title": "chance, %"},
        )
    )
    for row, values in enumerate(chance):
        for column, value in enumerate(values):
            text = chance_text(value, short=True)
            ink = {"color": _ink(value)}
            figure.add_annotation(x=column, y=row, text=text, showarrow=False, font=ink)
    choice = answer.choice
    if choice is not None:
        mark_cell(figure, answer, choice.panels, choice.units, {"color": _OUTLINE, "width": 4})
    figure.update_xaxes(type="category", title_text="panels")
    figure.update_yaxes(type="category", title_text="battery units")
    figure.update_layout(
        template=white_template(),
        height=560,
        margin={"l": 60, "r": 20, "t": 30, "b": 50},
        font={"size": 13},
    )
    return figure


def mark_cell(
    figure: Any,
    answer: TuneAnswer,
    panels: int,
    units: int,
    line: dict[str, Any],
    *,
    inside: float = 0.0,
) -> bool:
    """Outline a design's cell with a plotly line; say whether the figure has that cell.

    The line runs `inside` the edge by that part of a cell.
    """
    all_panels, all_units, _ = _grid(answer)
    if panels not in all_panels or units not in all_units:
        return False
    x, y = all_panels.index(panels), all_units.index(units)
    half = 0.5 - inside
    figure.add_shape(type="rect", x0=x - half, x1=x + half, y0=y - half, y1=y + half, line=line)
    return True


def cells_to_click(figure: Any, answer: TuneAnswer) -> None:
    """Lay unseen points over the cells, for a heat map's own cells cannot be clicked."""
    import plotly.graph_objects as go

    panels, units, _ = _grid(answer)
    unseen = {"marker": {"opacity": 0.0}}
    figure.add_trace(
        go.Scatter(
            x=panels * len(units),
            y=[count for count in units for _ in panels],
            mode="markers",
            marker={"size": 30, "symbol": "square", "opacity": 0.0},
            selected=unseen,
            unselected=unseen,
            hoverinfo="none",
            showlegend=False,
        )
    )
    # Wherever in a cell one clicks, its point is the nearest.
    figure.update_layout(hovermode="closest", hoverdistance=-1, clickmode="event+select")


def _static(answer: TuneAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.patches import Rectangle

    panels, units, chance = _grid(answer)
    figure = Figure(figsize=(1.6 + 0.75 * len(panels), 2.2 + 0.45 * len(units)))
    FigureCanvasAgg(figure)
    axes = figure.subplots()
    axes.imshow(chance, cmap="cividis", vmin=0, vmax=1, origin="lower", aspect="auto")
    for row, values in enumerate(chance):
        for column, value in enumerate(values):
            text, ink = chance_text(value, short=True), _ink(value)
            axes.text(column, row, text, ha="center", va="center", color=ink, fontsize=9)
    choice = answer.choice
    if choice is not None:
        corner = (panels.index(choice.panels) - 0.5, units.index(choice.units) - 0.5)
        axes.add_patch(Rectangle(corner, 1, 1, fill=False, ec=_OUTLINE, lw=3, clip_on=False))
    axes.set_xticks(range(len(panels)), [str(count) for count in panels])
    axes.set_yticks(range(len(units)), [str(count) for count in units])
    axes.set(xlabel="panels", ylabel="battery units")
    axes.set_title(textwrap.fill(_title(answer), 60), fontsize=11, parse_math=False)
    figure.text(0.01, -0.02, textwrap.fill(CAUTIONS, 100), fontsize=7, va="top")
    return still_bytes(figure, kind)


def _ink(chance: float) -> str:
    return "white" if chance < _WHITE_BELOW else "black"


def _title(answer: TuneAnswer) -> str:
    stay = answer.question.van.stay
    lead = f"Chance of {stay.days} days near {answer.question.place.name}"
    choice = answer.choice
    if choice is None:
        return f"{lead}: no design reaches {percent(stay.target_chance)}"
    reached = chance_text(choice.chance_lasts)
    panels = count_text(choice.panels, "panel")
    return f"{lead}: {panels} and {units_text(choice.units)} reach {reached}"


def _grid(answer: TuneAnswer) -> tuple[list[int], list[int], Any]:
    """Panel counts, unit counts and chances ``(units, panels)`` of the kind that is chosen."""
    kind = kind_of(answer.choice or answer.designs[0])
    here = [design for design in answer.designs if kind_of(design) == kind]
    panels = sorted({design.panels for design in here})
    units, _ = units_worth_showing(here, answer.choice)
    chance = np.zeros((len(units), len(panels)))
    for design in (one for one in here if one.units in units):
        chance[units.index(design.units), panels.index(design.panels)] = design.chance_lasts
    return panels, units, chance
