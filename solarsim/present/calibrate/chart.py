"""Picture of a calibration: the state of charge measured and modelled, and the load by hour."""

from __future__ import annotations

from typing import Any

import numpy as np

from solarsim.answers.calibrate.calibrate import CalibrateAnswer
from solarsim.arrays import FloatArray
from solarsim.present.calibrate.text import calibrate_headline, local_times
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.stay.charts import chart_page
from solarsim.present.still import still_bytes
from solarsim.present.white import white_template
from solarsim.present.words import CAUTIONS

__all__ = ["calibrate_bytes", "calibrate_figure"]


def calibrate_bytes(answer: CalibrateAnswer, suffix: str) -> bytes:
    """Return the picture as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    if suffix == ".html":
        return chart_page(calibrate_headline(answer), calibrate_figure(answer)).encode()
    return _static(answer, suffix.removeprefix("."))


def _lines(answer: CalibrateAnswer, palette: Palette) -> list[tuple[str, FloatArray, str, str]]:
    """Name, values, colour and dash of the three states of charge."""
    return [
        ("measured", answer.log.soc, palette.ink, "solid"),
        ("model before", answer.before_soc, palette.vermillion, "dot"),
        ("model after", answer.after_soc, palette.blue, "dash"),
    ]


def calibrate_figure(answer: CalibrateAnswer, palette: Palette = LIGHT) -> Any:
    """Return the plotly figure: states of charge over time, then the load by hour."""
    from plotly.subplots import make_subplots

    figure = make_subplots(
        rows=2,
        cols=1,
        row_heights=[0.6, 0.4],
        vertical_spacing=0.17,
        subplot_titles=(
            "State of charge; the model starts each day from the log",
            "Base load by the local clock, W",
        ),
    )
    _draw_charge(figure, answer, palette)
    _draw_loads(figure, answer, palette)
    figure.update_yaxes(tickformat=".0%", range=[0, 1.02], row=1, col=1)
    figure.update_yaxes(rangemode="tozero", row=2, col=1)
    figure.update_xaxes(title_text="bars: by the log; dots: by the profile", row=2, col=1)
    figure.update_layout(
        template=white_template(),
        height=720,
        margin={"l": 46, "r": 10, "t": 110, "b": 40},
        legend={"orientation": "h", "y": 1.06, "x": 0.0, "yanchor": "bottom"},
        font={"size": 13},
    )
    return figure


def _draw_charge(figure: Any, answer: CalibrateAnswer, palette: Palette) -> None:
    import plotly.graph_objects as go

    times = local_times(answer).tz_localize(None)
    for name, values, colour, dash in _lines(answer, palette):
        figure.add_trace(
            go.Scatter(
                x=times,
                y=values,
                name=name,
                line={"color": colour, "width": 1.6, "dash": dash},
                hovertemplate=f"{name} %{{y:.0%}}<extra></extra>",
            ),
            row=1,
            col=1,
        )


def _draw_loads(figure: Any, answer: CalibrateAnswer, palette: Palette) -> None:
    import plotly.graph_objects as go

    hours = np.arange(24)
    figure.add_trace(
        go.Bar(
            x=hours,
            y=answer.load_w,
            error_y={"type": "data", "array": answer.load_error_w, "color": palette.ink},
            # Pale, so that whiskers and dots stand out from it.
            marker={"color": palette.pale_blue, "line": {"color": palette.blue, "width": 1.5}},
            name="by the log",
            showlegend=False,
            hovertemplate="%{y:.0f} W<extra>by the log</extra>",
        ),
        row=2,
        col=1,
    )
    figure.add_trace(
        go.Scatter(
            x=hours,
            y=answer.load_before_w,
            mode="lines+markers",
            line={"color": palette.vermillion, "dash": "dot", "shape": "hvh"},
            name="by the profile",
            showlegend=False,
            hovertemplate="%{y:.0f} W<extra>by the profile</extra>",
        ),
        row=2,
        col=1,
    )


def _static(answer: CalibrateAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.dates import AutoDateLocator, ConciseDateFormatter
    from matplotlib.figure import Figure
    from matplotlib.ticker import PercentFormatter

    figure = Figure(figsize=(9, 7.6), layout="constrained")
    FigureCanvasAgg(figure)
    title = textwrap.fill(calibrate_headline(answer), 88)
    figure.suptitle(title, fontsize=12, parse_math=False)
    top, bottom = figure.subplots(2, 1, height_ratios=[1.3, 1.0])
    times = local_times(answer).tz_localize(None).to_numpy()
    styles = {"solid": "-", "dot": ":", "dash": "--"}
    for name, values, colour, dash in _lines(answer, LIGHT):
        top.plot(times, values, color=colour, ls=styles[dash], lw=1.4, label=name)
    top.set(ylim=(0, 1.02), xlim=(times[0], times[-1]))
    top.set_title("State of charge; the model starts each day from the log")
    top.yaxis.set_major_formatter(PercentFormatter(1.0, symbol=" %"))
    locator = AutoDateLocator()  # type: ignore[no-untyped-call]
    top.xaxis.set_major_locator(locator)
    top.xaxis.set_major_formatter(ConciseDateFormatter(locator))  # type: ignore[no-untyped-call]
    top.legend(loc="lower right", ncols=3, frameon=True)
    hours = np.arange(24)
    bottom.bar(
        hours, answer.load_w, yerr=answer.load_error_w, color=LIGHT.pale_blue,
        edgecolor=LIGHT.blue, ecolor=LIGHT.ink, label="by the log",
    )  # fmt: skip
    bottom.step(
        hours, answer.load_before_w, where="mid", color=LIGHT.vermillion, ls=":", lw=2,
        label="by the profile",
    )  # fmt: skip
    bottom.set(title="Base load by the local clock, W", xlim=(-0.7, 23.7))
    bottom.legend(loc="upper left", frameon=True)
    for axes in (top, bottom):
        axes.spines[["top", "right"]].set_visible(False)
    figure.text(
        0.01, -0.015, textwrap.fill(CAUTIONS, 130), fontsize=7.5, color=LIGHT.quiet, va="top"
    )
    return still_bytes(figure, kind)
