"""The picture of `search`: what each of the best builds costs, and how many days it lasts."""

from __future__ import annotations

from typing import Any

from solarsim.answers.search.designs import BestDesign, SearchAnswer
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.search.text import parts_text
from solarsim.present.stay.text import days_cell

__all__ = ["days_of", "front_figure"]


def days_of(answer: SearchAnswer, design: BestDesign) -> float | None:
    """Return the days that are safe where and when it is worst; None where that is not known.

    Nine stays in ten, or 99 in 100 where somebody's health depends on a device.
    """
    return design.p1_days if answer.question.profile.medical else design.p10_days


def front_figure(answer: SearchAnswer, palette: Palette = LIGHT) -> Any:
    """Return the plotly figure: a point a design, darker the heavier, the choice ringed."""
    import plotly.graph_objects as go

    designs = [one for one in answer.designs if days_of(answer, one) is not None]
    priced = all(one.price is not None for one in designs)
    costs = [one.cost_in_panel_w if one.price is None else one.price for one in designs]
    follow_days = answer.question.follow_days
    figure = go.Figure(
        go.Scatter(
            x=costs,
            y=[days_of(answer, one) for one in designs],
            mode="markers",
            marker={
                "size": 11,
                "color": [one.parts_kg for one in designs],
                "colorscale": "Cividis_r",
                "colorbar": {"title": "kg"},
                "line": {
                    "width": [4 if one == answer.choice else 1 for one in designs],
                    "color": [
                        palette.vermillion if one == answer.choice else palette.ink
                        for one in designs
                    ],
                },
            },
            text=[
                f"{parts_text(one)}: {days_cell(days_of(answer, one) or 0.0, follow_days)} days, "
                f"{one.parts_kg:.0f} kg"
                for one in designs
            ],
            hovertemplate="%{text}<extra></extra>",
        )
    )
    often = "99 stays in 100" if answer.question.profile.medical else "9 stays in 10"
    figure.update_xaxes(title_text="price" if priced else "cost, watts of panel")
    figure.update_yaxes(title_text=f"days in {often}", rangemode="tozero")
    figure.update_layout(showlegend=False, height=420, margin={"l": 50, "r": 4, "t": 10, "b": 44})
    return figure
