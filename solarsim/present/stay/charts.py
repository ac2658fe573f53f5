"""Pictures of a stay: state of charge by hour, and where the energy goes.

HTML comes from plotly, PNG and SVG from matplotlib; both draw the same rows in the same order.
Colours are from the Okabe-Ito set and never carry the meaning alone: bands, lines and bars are
labelled where they stand.
"""

from __future__ import annotations

import html
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.answers.simulation.summary import Bands
from solarsim.answers.stay import StayAnswer
from solarsim.errors import InputError
from solarsim.present.bars import bars_figure
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.stay.cut_off import cut_off_level, cut_off_marks, cut_off_text
from solarsim.present.still import still_bytes
from solarsim.present.white import white_template
from solarsim.present.words import CAUTIONS, HOURLY_MEDIAN, headline, ledger_rows

__all__ = [
    "PLOT_SUFFIXES",
    "chart_page",
    "check_plot_path",
    "draw_bands",
    "ledger_figure",
    "plot_bytes",
    "soc_figure",
    "soc_traces",
    "stay_figure",
]

PLOT_SUFFIXES = (".html", ".png", ".svg")

_USUAL, _RARE = "8 in 10 runs", "down to what 99 in 100 runs keep"
_GROUP_NAMES = {"in": "comes in", "out": "goes out", "missed": "missed"}


def check_plot_path(path: Path) -> None:
    """Refuse a picture's file name whose ending says none of the three kinds.

    Raises
    ------
    InputError
        Names the endings that are allowed.
    """
    if path.suffix.lower() not in PLOT_SUFFIXES:
        allowed = ", ".join(PLOT_SUFFIXES)
        raise InputError(f"must end in one of {allowed}", source=str(path), field="--plot")


def plot_bytes(answer: StayAnswer, suffix: str) -> bytes:
    """Return the picture as a file's content; `suffix` is one of `PLOT_SUFFIXES`."""
    if suffix == ".html":
        return chart_page(headline(answer), stay_figure(answer), least_width_px=640).encode()
    return _static(answer, suffix.removeprefix("."))


def stay_figure(answer: StayAnswer) -> Any:
    """Return the plotly figure: bands of the state of charge over the ledger's bars."""
    from plotly.subplots import make_subplots

    figure = make_subplots(
        rows=2,
        cols=1,
        row_heights=[0.55, 0.45],
        vertical_spacing=0.16,
        subplot_titles=("State of charge of the bank", "Energy a day, Wh"),
    )
    _draw_soc(figure, answer, LIGHT, row=1, col=1)
    _draw_ledger(figure, answer, LIGHT, row=2, col=1)
    figure.update_layout(
        template=white_template(),
        height=760,
        margin={"l": 60, "r": 50, "t": 60, "b": 40},
        legend={"orientation": "h", "y": 1.06, "x": 1.0, "xanchor": "right"},
        font={"size": 13},
    )
    return figure


def soc_figure(answer: StayAnswer, palette: Palette = LIGHT) -> Any:
    """Return the bands of the state of charge as a plotly figure of their own."""
    import plotly.graph_objects as go

    figure = go.Figure()
    _draw_soc(figure, answer, palette)
    figure.update_layout(
        template=white_template(),
        height=380,
        margin={"l": 46, "r": 10, "t": 34, "b": 62},
        legend={"orientation": "h", "y": 1.02, "x": 0.0, "yanchor": "bottom"},
    )
    return figure


def ledger_figure(answer: StayAnswer, palette: Palette = LIGHT) -> Any:
    """Return the energy a day as a plotly figure of its own, each bar named above it."""
    rows = _ledger_bars(answer)
    colours = _group_colours(palette)
    return bars_figure(
        labels=[f"{label} ({_GROUP_NAMES[group]})" for group, label, _ in rows],
        values=[wh for _, _, wh in rows],
        texts=[f"{wh:,.0f} Wh" for _, _, wh in rows],
        colours=[colours[group] for group, _, _ in rows],
    )


def _draw_soc(figure: Any, answer: StayAnswer, palette: Palette, **cell: int) -> None:
    times = answer.soc.times.tz_localize(None)
    for trace in soc_traces(answer.soc, times, palette):
        figure.add_trace(trace, **cell)
    # All nights at once: adding them one by one takes seconds for a stay of months.
    figure.update_layout(shapes=_night_shapes(answer, palette))
    level = 100.0 * cut_off_level(answer)
    figure.add_hline(
        y=level,
        line={"color": palette.quiet, "dash": "dot", "width": 1},
        annotation_text=cut_off_text(answer),
        annotation_position="bottom left",
        **cell,
    )
    for when, text in cut_off_marks(answer):
        figure.add_annotation(
            x=when,
            y=level,
            text=text.replace("\n", "<br>"),
            showarrow=True,
            arrowhead=2,
            ax=0,
            ay=-40,
            font={"size": 12, "color": palette.ink},
            arrowcolor=palette.ink,
            bgcolor=palette.page,
            **cell,
        )
    days = _midnights(answer)
    # As the tables name them.
    names = [f"{day:%a}<br>{day:%d %b}" for day in days]
    figure.update_xaxes(
        title_text="local standard time, ticks at midnight",
        tickvals=days,
        ticktext=names,
        tickangle=0,
        **cell,
    )
    figure.update_yaxes(ticksuffix=" %", range=[0, 102], **cell)


def _midnights(answer: StayAnswer) -> list[Any]:
    """Midnights of the stay, at most eight of them."""
    every = -(-answer.dates.days // 8)
    times = answer.soc.times.tz_localize(None)
    return [time for time in times[1:] if time.hour == 0][::every]


def draw_bands(axes: Any, bands: Bands, times: Any) -> None:
    """Draw the bands, the hourly median and the worst run, over `times`, as `soc_traces` does."""
    axes.fill_between(times, bands.p10, bands.p90, color=LIGHT.blue, alpha=0.25, label=_USUAL)
    if bands.p1 is not None:
        axes.fill_between(times, bands.p1, bands.p10, color=LIGHT.blue, alpha=0.12, label=_RARE)
    axes.plot(times, bands.p50, color=LIGHT.blue, lw=2, label=HOURLY_MEDIAN)
    axes.plot(times, bands.worst, color=LIGHT.vermillion, lw=1.3, ls="--", label="worst run")


def soc_traces(bands: Bands, times: Any, palette: Palette) -> list[Any]:
    """Return the bands' edges, the hourly median and the worst run, over `times` as drawn.

    Where health depends on it, a paler band reaches down to what 99 in 100 runs keep.
    """
    import plotly.graph_objects as go

    upper = go.Scatter(
        x=times,
        y=100.0 * bands.p90,
        line={"width": 0},
        showlegend=False,
        hovertemplate="P90 %{y:.0f} %<extra></extra>",
    )
    edges = [("P10", bands.p10, palette.band, _USUAL)]
    if bands.p1 is not None:
        edges.append(("P1", bands.p1, palette.pale_band, _RARE))
    lower = [
        go.Scatter(
            x=times,
            y=100.0 * edge,
            line={"width": 0},
            fill="tonexty",
            fillcolor=colour,
            name=name,
            hovertemplate=f"{short} %{{y:.0f}} %<extra></extra>",
        )
        for short, edge, colour, name in edges
    ]
    median = go.Scatter(
        x=times,
        y=100.0 * bands.p50,
        line={"color": palette.blue, "width": 2.5},
        name=HOURLY_MEDIAN,
        hovertemplate="P50 %{y:.0f} %<extra></extra>",
    )
    worst = go.Scatter(
        x=times,
        y=100.0 * bands.worst,
        line={"color": palette.vermillion, "width": 1.5, "dash": "dash"},
        name="worst run",
        hovertemplate="worst %{y:.0f} %<extra></extra>",
    )
    return [upper, *lower, median, worst]


def _night_shapes(answer: StayAnswer, palette: Palette) -> list[dict[str, Any]]:
    times = answer.soc.times.tz_localize(None)
    return [
        {
            "type": "rect",
            "xref": "x",
            "yref": "y domain",
            "x0": times[begin],
            "x1": times[end],
            "y0": 0,
            "y1": 1,
            "fillcolor": palette.night,
            "line": {"width": 0},
            "layer": "below",
        }
        for begin, end in _nights(answer)
    ]


def _draw_ledger(figure: Any, answer: StayAnswer, palette: Palette, **cell: int) -> None:
    import plotly.graph_objects as go

    rows = _ledger_bars(answer)[::-1]
    colours = _group_colours(palette)
    figure.add_trace(
        go.Bar(
            x=[wh for _, _, wh in rows],
            y=[f"{label} ({_GROUP_NAMES[group]})" for group, label, _ in rows],
            orientation="h",
            marker_color=[colours[group] for group, _, _ in rows],
            text=[f"{wh:,.0f}" for _, _, wh in rows],
            textposition="outside",
            cliponaxis=False,
            showlegend=False,
            hoverinfo="skip",
        ),
        **cell,
    )
    figure.update_yaxes(automargin=True, **cell)


def _ledger_bars(answer: StayAnswer) -> list[tuple[str, str, float]]:
    """Rows of the ledger that round to something."""
    return [row for row in ledger_rows(answer) if row[2] >= 0.5]


def _group_colours(palette: Palette) -> dict[str, str]:
    return {"in": palette.green, "out": palette.blue, "missed": palette.vermillion}


def chart_page(title: str, figure: Any, *, least_width_px: int = 0) -> str:
    """Return a page of its own around a plotly figure: title, chart, cautions; one file alone.

    On a screen narrower than `least_width_px` the chart keeps that width and scrolls sideways.
    """
    chart = figure.to_html(
        full_html=False,
        include_plotlyjs=True,
        config={"showSendToCloud": False, "displaylogo": False, "responsive": True},
    )
    title = html.escape(title)
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title>"
        "<style>body{font-family:sans-serif;margin:1rem auto;max-width:62rem;padding:0 1rem;"
        "line-height:1.45}</style></head><body>"
        f"<h1 style='font-size:1.25rem'>{title}</h1><div style='overflow-x:auto' tabindex='0'>"
        f"<div style='min-width:{least_width_px}px'>{chart}</div></div>"
        f"<p><small>{html.escape(CAUTIONS)}"
        "</small></p></body></html>\n"
    )


def _static(answer: StayAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.ticker import PercentFormatter

    # A figure of its own rather than pyplot, which keeps global state and wants a screen.
    figure = Figure(figsize=(9, 8.2), layout="constrained")
    FigureCanvasAgg(figure)
    # A dollar sign in the van's name starts no formula.
    figure.suptitle(textwrap.fill(headline(answer), 88), fontsize=12, parse_math=False)
    top, bottom = figure.subplots(2, 1, height_ratios=[1.15, 1.0])
    bands = answer.soc
    times = bands.times.tz_localize(None).to_numpy()
    for begin, end in _nights(answer):
        top.axvspan(times[begin], times[end], color=LIGHT.night, lw=0)
    draw_bands(top, bands, times)
    level = cut_off_level(answer)
    top.axhline(level, color=LIGHT.quiet, lw=1, ls=":")
    label = f" {cut_off_text(answer)}"
    top.text(times[0], level, label, va="top", ha="left", color=LIGHT.quiet, fontsize=9)
    for when, text in cut_off_marks(answer):
        top.annotate(
            text,
            (when.to_datetime64(), level),
            (0, 26),
            textcoords="offset points",
            ha="center",
            fontsize=9,
            arrowprops={"arrowstyle": "->", "color": LIGHT.ink},
            bbox={"fc": "white", "ec": "none", "pad": 1.0, "alpha": 0.8},
        )
    top.set(ylim=(0, 1.02), xlim=(times[0], times[-1]), title="State of charge of the bank")
    top.yaxis.set_major_formatter(PercentFormatter(1.0, symbol=" %"))
    days = _midnights(answer)
    top.set_xticks([day.to_datetime64() for day in days], [f"{day:%a %d %b}" for day in days])
    top.legend(loc="upper right", ncols=3, frameon=True)
    top.set_xlabel("local standard time, ticks at midnight; night shaded")

    rows = _ledger_bars(answer)[::-1]
    colours = _group_colours(LIGHT)
    labels = [f"{label} ({_GROUP_NAMES[group]})" for group, label, _ in rows]
    bars = bottom.barh(
        labels, [wh for _, _, wh in rows], color=[colours[group] for group, _, _ in rows]
    )
    bottom.bar_label(bars, [f"{wh:,.0f}" for _, _, wh in rows], padding=4)
    bottom.set_title("Energy a day, Wh")
    bottom.margins(x=0.12)
    for axes in (top, bottom):
        axes.spines[["top", "right"]].set_visible(False)
    figure.text(
        0.01, -0.015, textwrap.fill(CAUTIONS, 130), fontsize=7.5, color=LIGHT.quiet, va="top"
    )
    return still_bytes(figure, kind)


def _nights(answer: StayAnswer) -> list[tuple[int, int]]:
    """First and last stamp of each night within the stay."""
    night = np.concatenate([[False], answer.night, [False]])
    edges = np.flatnonzero(np.diff(night.astype(np.int8)))
    return [(int(begin), int(end)) for begin, end in edges.reshape(-1, 2)]
