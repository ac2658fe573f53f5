"""Picture of `climate`: each month's light, its years, its uncertainty, and stations beside it."""

from __future__ import annotations

import math
from typing import Any

from solarsim.answers.climate import ClimateAnswer
from solarsim.present.climate.text import station_label
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.stay.charts import chart_page
from solarsim.present.still import still_bytes
from solarsim.present.white import white_template
from solarsim.present.words import month_name

__all__ = ["climate_bytes", "climate_figure"]

# Of a normal distribution, so that bars and years hold the same share: eight in ten.
_EIGHT_IN_TEN = 1.2816
_YEARS = "a month's mean, eight years in ten"
_MEAN = "mean of the years, and its error (eight in ten)"
_MARKS = (("diamond", "D"), ("square", "s"), ("triangle-up", "^"))
_AXIS = "light on the flat, kWh/m2 a day"


def climate_bytes(answer: ClimateAnswer, suffix: str) -> bytes:
    """Return the picture as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    if suffix == ".html":
        return chart_page(_title(answer), climate_figure(answer)).encode()
    return _static(answer, suffix.removeprefix("."))


def climate_figure(answer: ClimateAnswer, palette: Palette = LIGHT) -> Any:
    """Return the plotly figure: bars of the years, the mean with its error, stations as marks."""
    import plotly.graph_objects as go

    months, names = answer.months, _names(answer)
    figure = go.Figure()
    figure.add_trace(
        go.Bar(
            x=names,
            base=[month.ghi_p10_kwh_m2_day for month in months],
            y=[month.ghi_p90_kwh_m2_day - month.ghi_p10_kwh_m2_day for month in months],
            marker={"color": palette.pale_blue, "line": {"color": palette.blue, "width": 1}},
            name=_YEARS,
            customdata=[[m.ghi_p10_kwh_m2_day, m.ghi_p90_kwh_m2_day] for m in months],
            hovertemplate="%{x}: %{customdata[0]:.2f} to %{customdata[1]:.2f}<extra></extra>",
        )
    )
    figure.add_trace(
        go.Scatter(
            x=names,
            y=[month.ghi_kwh_m2_day for month in months],
            error_y={"type": "data", "array": _errors(answer), "color": palette.ink, "width": 6},
            mode="markers",
            marker={"color": palette.ink, "size": 8},
            name=_MEAN,
            hovertemplate="%{x}: %{y:.2f}<extra></extra>",
        )
    )
    colours = (palette.vermillion, palette.green, palette.quiet)
    for station, (mark, _), colour in zip(answer.stations, _MARKS, colours, strict=False):
        figure.add_trace(
            go.Scatter(
                x=names,
                y=[None if math.isnan(ghi) else ghi for ghi in station.ghi_kwh_m2_day],
                mode="markers",
                marker={
                    "symbol": f"{mark}-open",
                    "size": 11,
                    "color": colour,
                    "line": {"width": 2},
                },
                name=station_label(station),
                hovertemplate="%{x}: %{y:.2f}<extra></extra>",
            )
        )
    figure.update_layout(
        template=white_template(),
        height=460,
        margin={"l": 50, "r": 10, "t": 10, "b": 40},
        legend={"orientation": "h", "y": -0.12, "x": 0.0, "yanchor": "top"},
        font={"size": 12, "color": palette.ink},
        bargap=0.35,
    )
    figure.update_yaxes(title=_AXIS, rangemode="tozero", gridcolor=palette.grid, fixedrange=True)
    figure.update_xaxes(fixedrange=True)
    return figure


def _static(answer: ClimateAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    palette, months, names = LIGHT, answer.months, _names(answer)
    figure = Figure(figsize=(8.2, 5.2), layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    axes.bar(
        names,
        [month.ghi_p90_kwh_m2_day - month.ghi_p10_kwh_m2_day for month in months],
        bottom=[month.ghi_p10_kwh_m2_day for month in months],
        width=0.65,
        color=palette.pale_blue,
        edgecolor=palette.blue,
        label=_YEARS,
    )
    axes.errorbar(
        names,
        [month.ghi_kwh_m2_day for month in months],
        yerr=_errors(answer),
        fmt="o",
        color=palette.ink,
        capsize=4,
        label=_MEAN,
    )
    colours = (palette.vermillion, palette.green, palette.quiet)
    for station, (_, mark), colour in zip(answer.stations, _MARKS, colours, strict=False):
        axes.plot(
            names,
            station.ghi_kwh_m2_day,
            mark,
            markerfacecolor="none",
            markeredgecolor=colour,
            markeredgewidth=1.8,
            markersize=9,
            linestyle="none",
            label=station_label(station),
        )
    axes.set_ylabel(_AXIS)
    axes.set_ylim(bottom=0.0)
    axes.grid(axis="y", color=palette.grid)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    figure.legend(loc="outside lower left", ncols=1, frameon=False, fontsize=9)
    figure.suptitle("\n".join(textwrap.wrap(_title(answer), 80)), fontsize=11, x=0.02, ha="left")
    return still_bytes(figure, kind)


def _names(answer: ClimateAnswer) -> list[str]:
    return [month_name(month.month)[:3] for month in answer.months]


def _errors(answer: ClimateAnswer) -> list[float]:
    return [_EIGHT_IN_TEN * month.ghi_error_share * month.ghi_kwh_m2_day for month in answer.months]


def _title(answer: ClimateAnswer) -> str:
    return f"Light at {answer.place.name} by month, as the embedded climate has it"
