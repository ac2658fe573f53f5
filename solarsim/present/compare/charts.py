"""Pictures that compare changes, months or designs."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from typing import Any, Literal

from solarsim.answers.levers import Lever
from solarsim.answers.seasons import SeasonsAnswer
from solarsim.answers.stay import StayAnswer
from solarsim.inputs.percent import chance_text
from solarsim.power.design import design_of
from solarsim.present.bars import bars_figure
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.white import white_template
from solarsim.present.words import safe_name, whisker_begins

__all__ = ["levers_figure", "seasons_figure", "side_by_side_figure"]

_DASHES = ("solid", "dash", "dot", "dashdot")


def levers_figure(
    levers: Sequence[Lever],
    palette: Palette = LIGHT,
    *,
    by: Literal["days", "reserve"] = "days",
) -> Any:
    """Return what each change gains or costs, with one standard error as whiskers.

    In days, or in Wh left in the bank at the stay's lowest hour; see `LeversAnswer.ranked_by`.
    """
    if by == "days":
        values = [lever.days_gained for lever in levers]
        errors = [lever.standard_error for lever in levers]
        texts = [f"{value:+z.1f} days" for value in values]
    else:
        values = [lever.reserve_gained_wh for lever in levers]
        errors = [lever.reserve_standard_error_wh for lever in levers]
        texts = [f"{value:+z,.0f} Wh" for value in values]
    return bars_figure(
        labels=[lever.name for lever in levers],
        values=values,
        texts=texts,
        colours=[palette.green if value >= 0.0 else palette.vermillion for value in values],
        errors=errors,
        ink=palette.ink,
    )


def seasons_figure(answer: SeasonsAnswer, palette: Palette = LIGHT) -> Any:
    """Return the chance and the days of each month, one under the other."""
    import plotly.graph_objects as go
    from plotly.subplots import make_subplots

    months = [row.month for row in answer.months]
    # Where someone's health depends on a device, no other days are safe.
    medical = bool(answer.question.profile.medical)
    figure = make_subplots(
        rows=2,
        cols=1,
        shared_xaxes=True,
        vertical_spacing=0.1,
        subplot_titles=(
            f"Chance of {answer.question.van.stay.days} days, %",
            f"Days unplugged: {safe_name(medical=medical)} to P90, dot at P50",
        ),
    )
    figure.add_trace(
        go.Bar(
            x=months,
            y=[100.0 * row.chance_lasts for row in answer.months],
            # The title says that these are percents.
            text=[
                chance_text(row.chance_lasts, short=True).removesuffix(" %")
                for row in answer.months
            ],
            textposition="outside",
            cliponaxis=False,
            marker_color=palette.blue,
            showlegend=False,
            hoverinfo="skip",
        ),
        row=1,
        col=1,
    )
    figure.add_trace(_days_trace(answer, palette, medical=medical), row=2, col=1)
    figure.update_xaxes(
        tickvals=months, ticktext=[calendar.month_abbr[month][0] for month in months]
    )
    figure.update_yaxes(range=[0, 112], tickvals=[0, 50, 100], row=1, col=1)
    figure.update_yaxes(rangemode="tozero", row=2, col=1)
    figure.update_layout(
        template=white_template(), height=460, margin={"l": 36, "r": 8, "t": 34, "b": 30}
    )
    return figure


def _days_trace(answer: SeasonsAnswer, palette: Palette, *, medical: bool) -> Any:
    """The middle of each month's days, with a whisker from those to count on."""
    import plotly.graph_objects as go

    days = [row.days for row in answer.months]
    return go.Scatter(
        x=[row.month for row in answer.months],
        y=[one.p50 for one in days],
        mode="markers",
        marker={"size": 9, "color": palette.blue},
        error_y={
            "type": "data",
            "symmetric": False,
            "array": [one.p90 - one.p50 for one in days],
            "arrayminus": [one.p50 - whisker_begins(one, medical=medical) for one in days],
        },
        showlegend=False,
        hovertemplate="P50 %{y:.1f} days<extra></extra>",
    )


def side_by_side_figure(answers: Sequence[tuple[str, StayAnswer]], palette: Palette = LIGHT) -> Any:
    """Return the usable energy left in several designs' banks by hour, each with its own dash.

    The median over the runs, Wh above the floor at which each bank is cut off, of a rested bank at
    25 C: so banks of unlike chemistries stand on one scale, and 0 is the cut-off of all.
    """
    import plotly.graph_objects as go

    figure = go.Figure()
    colours = (palette.blue, palette.vermillion, palette.green, palette.quiet)
    for (name, answer), colour, dash in zip(answers, colours, _DASHES, strict=False):
        floor = design_of(answer.question.van).floor_soc
        figure.add_trace(
            go.Scatter(
                x=answer.soc.times.tz_localize(None),
                y=answer.usable_wh * (answer.soc.p50 - floor) / (1.0 - floor),
                name=f"{name}, cut off at {100.0 * floor:.0f} %",
                line={"color": colour, "dash": dash, "width": 2.5},
                hovertemplate="%{y:,.0f} Wh<extra></extra>",
            )
        )
    figure.add_hline(
        y=0.0,
        line={"color": palette.ink, "width": 1.5},
        annotation={"text": "cut off", "font": {"color": palette.ink, "size": 12}},
        annotation_position="bottom right",
    )
    most_wh = max((answer.usable_wh for _, answer in answers), default=1.0)
    figure.update_yaxes(
        ticksuffix=" Wh", tickformat=",.0f", range=[-0.08 * most_wh, 1.03 * most_wh]
    )
    figure.update_layout(
        template=white_template(),
        height=340,
        margin={"l": 64, "r": 10, "t": 34, "b": 30},
        legend={"orientation": "h", "y": 1.02, "x": 0.0, "yanchor": "bottom"},
        showlegend=True,
    )
    return figure
