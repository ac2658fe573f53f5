"""The trip in one picture: state of charge by hour with the stops, and where the bank runs out.

HTML comes from plotly, PNG and SVG from matplotlib; both draw the same. Stops are told by their
numbers and names, drives and nights plugged in by their place at the foot of the picture.
"""

from __future__ import annotations

import html
from typing import Any

import numpy as np

from solarsim.answers.trip.trip import StopAnswer, TripAnswer
from solarsim.arrays import BoolArray
from solarsim.inputs.percent import chance_text, percent
from solarsim.power.design import design_of
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.stay.charts import draw_bands, soc_traces
from solarsim.present.still import still_bytes
from solarsim.present.trip.words import short_name, trip_headline
from solarsim.present.white import white_template
from solarsim.present.words import CAUTIONS

__all__ = ["trip_bytes", "trip_figure"]

# Of the whole picture's width.
_LEAST_SHARE = 0.035
_CLOCK = "date by the standard time of the first stop"


def trip_bytes(answer: TripAnswer, suffix: str) -> bytes:
    """Return the picture as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    if suffix == ".html":
        from solarsim.present.stay.charts import chart_page

        page = chart_page(trip_headline(answer), trip_figure(answer), least_width_px=640)
        return page.encode()
    return _static(answer, suffix.removeprefix("."))


def trip_figure(answer: TripAnswer, palette: Palette = LIGHT, *, towns: bool = True) -> Any:
    """Return the plotly figure: state of charge with the stops over the chance to fail at each.

    Without `towns` the stops are told by their numbers alone, which a phone has room for.
    """
    from plotly.subplots import make_subplots

    figure = make_subplots(
        rows=2,
        cols=1,
        shared_xaxes=True,
        row_heights=[0.72, 0.28],
        vertical_spacing=0.1,
    )
    for trace in (*soc_traces(answer.soc, _times(answer), palette), *_foot_keys(palette)):
        figure.add_trace(trace, row=1, col=1)
    figure.add_trace(_fails_trace(answer, palette), row=2, col=1)
    figure.update_layout(
        template=white_template(),
        height=620,
        margin={"l": 64, "r": 40, "t": 84, "b": 90},
        legend={"orientation": "h", "y": -0.18, "x": 0.0, "traceorder": "normal"},
        font={"size": 13},
        shapes=_shapes(answer, palette),
        annotations=_names(answer, palette, towns=towns and _room_for_towns(answer)),
    )
    floor = design_of(answer.question.van).floor_soc
    figure.add_hline(
        y=100.0 * floor,
        line={"color": palette.quiet, "dash": "dot", "width": 1},
        annotation_text=f"cut-off at {percent(floor)}, sooner in the cold",
        annotation_position="top left",
        row=1,
        col=1,
    )
    figure.update_yaxes(ticksuffix=" %", range=[0, 102], title_text="state of charge", row=1)
    figure.update_yaxes(range=[0, _most_percent(answer)], title_text="fails first here, %", row=2)
    figure.update_xaxes(title_text=_CLOCK, row=2)
    return figure


def _fails_trace(answer: TripAnswer, palette: Palette) -> Any:
    import plotly.graph_objects as go

    times, spans = _times(answer), _spans(answer)
    return go.Bar(
        x=[times[begin] + (times[end] - times[begin]) / 2 for begin, end in spans],
        y=[100.0 * stop.fail_chance for stop in answer.stops],
        width=[0.8 * (times[end] - times[begin]) / np.timedelta64(1, "ms") for begin, end in spans],
        text=[_fail_label(stop) for stop in answer.stops],
        textposition="outside",
        # A short bar's label is as large as the others.
        constraintext="none",
        cliponaxis=False,
        marker_color=palette.vermillion,
        showlegend=False,
        hovertext=[f"{stop.number} {stop.place.name}" for stop in answer.stops],
        hovertemplate="%{hovertext}: %{y:.1f} %<extra></extra>",
    )


def _shapes(answer: TripAnswer, palette: Palette) -> list[dict[str, Any]]:
    """Every second stop shaded, drives and nights plugged in at the foot of the charge."""
    times = _times(answer)

    def rect(span: tuple[int, int], colour: str, **height: Any) -> dict[str, Any]:
        where = {"type": "rect", "xref": "x", "x0": times[span[0]], "x1": times[span[1]]}
        return {**where, **height, "fillcolor": colour, "line": {"width": 0}, "layer": "below"}

    whole, foot = {"yref": "paper", "y0": 0, "y1": 1}, {"yref": "y", "y0": 0, "y1": 4}
    return [
        *(rect(span, palette.night, **whole) for span in _spans(answer)[1::2]),
        *(rect(span, palette.ink, **foot) for span in _drives(answer)),
        *(rect(span, palette.green, **foot) for span in _plugged(answer)),
    ]


def _foot_keys(palette: Palette) -> list[Any]:
    """What the marks at the foot mean, for the legend."""
    import plotly.graph_objects as go

    return [
        go.Scatter(
            x=[None],
            y=[None],
            mode="markers",
            marker={"symbol": "square", "size": 10, "color": colour},
            name=name,
        )
        for name, colour in (("driving", palette.ink), ("plugged in", palette.green))
    ]


def _names(answer: TripAnswer, palette: Palette, *, towns: bool) -> list[dict[str, Any]]:
    times = _times(answer)
    return [
        {
            "x": times[begin],
            "xref": "x",
            "y": 1.0,
            "yref": "y domain",
            # plotly reads tags in text; a name is to stay text.
            "text": html.escape(short_name(stop) if towns else f"{stop.number}", quote=False),
            "textangle": -28 if towns else 0,
            "xanchor": "left",
            "yanchor": "bottom",
            "showarrow": False,
            "font": {"color": palette.ink, "size": 11},
        }
        for stop, (begin, _) in zip(answer.stops, _spans(answer), strict=True)
    ]


def _room_for_towns(answer: TripAnswer) -> bool:
    """Whether the shortest stop leaves room for its town's name; else numbers must do."""
    shortest = min(end - begin for begin, end in _spans(answer))
    return shortest >= _LEAST_SHARE * answer.stops[-1].ends_h


def _static(answer: TripAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.dates import AutoDateLocator, ConciseDateFormatter
    from matplotlib.figure import Figure

    figure = Figure(figsize=(10, 7.2), layout="constrained")
    FigureCanvasAgg(figure)
    # A dollar sign in a name starts no formula.
    headline = textwrap.fill(trip_headline(answer).replace(" %", "\N{NO-BREAK SPACE}%"), 96)
    figure.suptitle(headline, fontsize=12, parse_math=False)
    top, bottom = figure.subplots(2, 1, sharex=True, height_ratios=[2.6, 1.0])
    _draw_soc(top, answer)
    _draw_fails(bottom, answer)
    locator = AutoDateLocator()  # type: ignore[no-untyped-call]
    bottom.xaxis.set_major_locator(locator)
    bottom.xaxis.set_major_formatter(ConciseDateFormatter(locator))  # type: ignore[no-untyped-call]
    bottom.set_xlabel(f"{_CLOCK}; every second stop shaded")
    bottom.legend(
        *top.get_legend_handles_labels(), loc="upper center", bbox_to_anchor=(0.5, -0.32), ncols=5
    )
    for axes in (top, bottom):
        axes.spines[["top", "right"]].set_visible(False)
    figure.text(
        0.01, -0.015, textwrap.fill(CAUTIONS, 140), fontsize=7.5, color=LIGHT.quiet, va="top"
    )
    return still_bytes(figure, kind)


def _draw_soc(axes: Any, answer: TripAnswer) -> None:
    from matplotlib.ticker import PercentFormatter

    times, spans = _times(answer), _spans(answer)
    draw_bands(axes, answer.soc, times)
    for begin, end in spans[1::2]:
        axes.axvspan(times[begin], times[end], color=LIGHT.night, lw=0, zorder=0)
    for number, (begin, end) in enumerate(_drives(answer)):
        axes.axvspan(
            times[begin],
            times[end],
            0.0,
            0.04,
            color=LIGHT.ink,
            lw=0,
            label="" if number else "driving",
        )
    for number, (begin, end) in enumerate(_plugged(answer)):
        axes.axvspan(
            times[begin],
            times[end],
            0.0,
            0.04,
            color=LIGHT.green,
            lw=0,
            label="" if number else "plugged in",
        )
    floor = design_of(answer.question.van).floor_soc
    axes.axhline(floor, color=LIGHT.quiet, lw=1, ls=":")
    label = f" cut-off at {percent(floor)}, sooner in the cold"
    axes.text(times[0], floor, label, va="bottom", ha="left", color=LIGHT.quiet, fontsize=9)
    towns = _room_for_towns(answer)
    for stop, (begin, _) in zip(answer.stops, spans, strict=True):
        name = f" {short_name(stop)}" if towns else f" {stop.number}"
        turned = 28 if towns else 0
        axes.text(times[begin], 1.03, name, rotation=turned, fontsize=9, parse_math=False)
    axes.set(ylim=(0, 1.02), xlim=(times[0], times[-1]))
    axes.set_ylabel("State of charge of the bank")
    axes.yaxis.set_major_formatter(PercentFormatter(1.0, symbol=" %"))


def _draw_fails(axes: Any, answer: TripAnswer) -> None:
    times, spans = _times(answer), _spans(answer)
    for stop, (begin, end) in zip(answer.stops, spans, strict=True):
        middle = times[begin] + (times[end] - times[begin]) / 2
        height = 100.0 * stop.fail_chance
        axes.bar(middle, height, 0.8 * (times[end] - times[begin]), color=LIGHT.vermillion)
        axes.text(middle, height, _fail_label(stop), ha="center", va="bottom", fontsize=9)
    for begin, end in spans[1::2]:
        axes.axvspan(times[begin], times[end], color=LIGHT.night, lw=0, zorder=0)
    axes.set_ylim(0, _most_percent(answer))
    axes.set_ylabel("Runs that fail\nfirst here, %")


def _times(answer: TripAnswer) -> Any:
    return answer.soc.times.tz_localize(None).to_numpy()


def _spans(answer: TripAnswer) -> list[tuple[int, int]]:
    """First and last stamp of each stop's hours."""
    return [(stop.begins_h, stop.ends_h) for stop in answer.stops]


def _drives(answer: TripAnswer) -> list[tuple[int, int]]:
    """First and last stamp of each drive between stops."""
    return _stretches(answer.on_the_road)


def _plugged(answer: TripAnswer) -> list[tuple[int, int]]:
    """First and last stamp of each stretch on shore power."""
    return _stretches(answer.plugged_in)


def _stretches(hours: BoolArray) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], hours, [False]]).astype(np.int8)))
    return [(int(begin), int(end)) for begin, end in edges.reshape(-1, 2)]


def _fail_label(stop: StopAnswer) -> str:
    return chance_text(stop.fail_chance).removesuffix(" %") if stop.fail_chance else "0"


def _most_percent(answer: TripAnswer) -> float:
    """Top of the lower picture: room for the tallest bar and its label."""
    return max(10.0, 125.0 * max(stop.fail_chance for stop in answer.stops))
