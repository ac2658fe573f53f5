"""Level bars with their names above them, so that they fit a phone as well as a desk."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import Any

from solarsim.present.palette import LIGHT
from solarsim.present.white import white_template

__all__ = ["bars_figure"]

_ROW_PX = 46


def bars_figure(
    *,
    labels: Sequence[str],
    values: Sequence[float],
    texts: Sequence[str],
    colours: Sequence[str],
    errors: Sequence[float] | None = None,
    ink: str = LIGHT.ink,
) -> Any:
    """Return a plotly figure of one bar a row, the first on top.

    Parameters
    ----------
    labels, texts : sequence of str
        What stands above each bar: its name, and its value in words.
    values : sequence of float
        Lengths; below zero they run to the left.
    colours : sequence of str
        One a bar.
    errors : sequence of float, optional
        Half-lengths of the whiskers.
    ink : str
        Colour of the whiskers.
    """
    import plotly.graph_objects as go

    rows = list(range(len(labels)))
    figure = go.Figure(
        go.Bar(
            x=list(values),
            y=rows,
            orientation="h",
            width=0.3,
            marker_color=list(colours),
            error_x=None
            if errors is None
            else {"type": "data", "array": list(errors), "color": ink},
            hoverinfo="skip",
            showlegend=False,
        )
    )
    figure.update_layout(
        template=white_template(),
        height=_ROW_PX * len(rows) + 24,
        margin={"l": 4, "r": 4, "t": 8, "b": 8},
        annotations=[
            {
                "x": 0,
                "xref": "paper",
                "xanchor": "left",
                "y": row - 0.17,
                "yanchor": "bottom",
                # plotly reads tags in text; a name is to stay text.
                "text": html.escape(label, quote=False)
                + f"  <b>{html.escape(text, quote=False)}</b>",
                "showarrow": False,
                "align": "left",
            }
            for row, label, text in zip(rows, labels, texts, strict=True)
        ],
    )
    figure.update_yaxes(autorange=False, range=[len(rows) - 0.6, -0.75], visible=False)
    figure.update_xaxes(visible=False, zeroline=True)
    return figure
