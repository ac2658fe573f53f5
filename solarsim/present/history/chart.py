"""Picture of `history`: the days of every real year as bars over the embedded climate's band."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from solarsim.answers.history import HistoryAnswer, Side, YearAnswer
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.inputs.percent import chance_text
from solarsim.present.history.text import history_headline, history_label, year_marks
from solarsim.present.palette import LIGHT, Palette
from solarsim.present.stay.charts import chart_page
from solarsim.present.stay.text import days_cell
from solarsim.present.still import still_bytes
from solarsim.present.white import white_template
from solarsim.present.words import CAUTIONS, safe_name, whisker_begins

__all__ = ["history_bytes", "history_figure"]

_ROW_PX = 30
_BAR_NAME = "P50 of the year's stays"
_SHORTEST_NAME = "its shortest stay"
_MIDDLE_NAME = "embedded climate, P50"
# Room beside nought and beside the longest bar, as a share of its length, for half a marker.
_ROOM_SHARE = 0.04
# Where the columns of figures beside the picture begin, to the right of it.
_DAYS_PX = 8
_CHANCE_PX = 48


@dataclasses.dataclass(frozen=True)
class _Row:
    """One line of the picture, of a year or of one kind of weather."""

    label: str
    chance: str
    text: str
    spread: DaysUnplugged
    begins: float
    year: YearAnswer | None = None
    mark: str = ""


def history_bytes(answer: HistoryAnswer, suffix: str) -> bytes:
    """Return the picture as a file's content; `suffix` is ``.html``, ``.png`` or ``.svg``."""
    if suffix == ".html":
        return chart_page(_title(answer), history_figure(answer)).encode()
    return _static(answer, suffix.removeprefix("."))


def history_figure(answer: HistoryAnswer, palette: Palette = LIGHT) -> Any:
    """Return the plotly figure: both kinds of weather on top, then a bar for every year."""
    import plotly.graph_objects as go

    rows = _rows(answer)
    figure = go.Figure()
    if answer.climate is not None:
        _draw_band(figure, answer, answer.climate.days, len(rows), palette)
    if answer.years:
        _draw_years(figure, rows, palette)
    _draw_spreads(figure, rows, _spread_name(answer), palette)
    cells = [(at, shift, text) for at, row in enumerate(rows) for shift, text in _cells(row)]
    cells += [(-1, _DAYS_PX, "P50<br>days"), (-1, _CHANCE_PX, _chance_head(answer))]
    figure.update_layout(
        template=white_template(),
        height=_ROW_PX * (len(rows) + 1) + 190,
        margin={"l": 8, "r": 92, "t": 10, "b": 10},
        legend={"orientation": "h", "y": 1.0, "x": 0.0, "yanchor": "bottom"},
        font={"size": 12, "color": palette.ink},
        annotations=[
            {
                "xref": "paper",
                "x": 1.0,
                "xshift": shift,
                "y": at,
                "text": text,
                "showarrow": False,
                "xanchor": "left",
                "align": "left",
            }
            for at, shift, text in cells
        ],
    )
    _set_axes(figure, answer, rows, palette)
    return figure


def _set_axes(figure: Any, answer: HistoryAnswer, rows: Sequence[_Row], palette: Palette) -> None:
    longest = _longest(answer)
    values, texts = _ticks(answer)
    figure.update_yaxes(
        range=[len(rows) - 0.4, -1.5],
        tickvals=list(range(len(rows))),
        ticktext=[_label(row, bold=True) for row in rows],
        showgrid=False,
        zeroline=False,
        automargin=True,
        fixedrange=True,
    )
    figure.update_xaxes(
        range=[-_ROOM_SHARE * longest, (1.0 + _ROOM_SHARE) * longest],
        title={"text": _axis_title(answer, "<br>"), "font": {"size": 12}},
        tickvals=values,
        ticktext=texts,
        gridcolor=palette.grid,
        zerolinecolor=palette.quiet,
        automargin=True,
        fixedrange=True,
    )


def _draw_years(figure: Any, rows: Sequence[_Row], palette: Palette) -> None:
    import plotly.graph_objects as go

    years = _years_of(rows)
    figure.add_trace(
        go.Bar(
            x=[year.days.p50 for _, _, year in years],
            y=[at for at, _, _ in years],
            orientation="h",
            width=0.56,
            marker_color=[_colour(row, palette) for _, row, _ in years],
            name=_BAR_NAME,
            hoverinfo="skip",
            zorder=1,
            showlegend=False,
        )
    )
    # The legend's own, as the worst and the best year have colours that are not the bars'.
    figure.add_trace(
        go.Bar(x=[None], y=[None], name=_BAR_NAME, marker_color=palette.blue, orientation="h")
    )
    figure.add_trace(
        go.Scatter(
            x=[year.shortest_days for _, _, year in years],
            y=[at for at, _, _ in years],
            mode="markers",
            marker={
                "symbol": "diamond",
                "size": 9,
                "color": palette.page,
                "line": {"color": palette.ink, "width": 1.5},
            },
            cliponaxis=False,
            name=_SHORTEST_NAME,
            hovertemplate="shortest stay %{x:.1f} days<extra></extra>",
            zorder=3,
        )
    )


def _draw_spreads(figure: Any, rows: Sequence[_Row], name: str, palette: Palette) -> None:
    """What one may count on to P90 of every row, with a dot at P50."""
    import plotly.graph_objects as go

    figure.add_trace(
        go.Scatter(
            x=[row.spread.p50 for row in rows],
            y=list(range(len(rows))),
            mode="markers",
            marker={"size": [7 if row.year else 10 for row in rows], "color": palette.ink},
            error_x={
                "type": "data",
                "symmetric": False,
                "array": [row.spread.p90 - row.spread.p50 for row in rows],
                "arrayminus": [row.spread.p50 - row.begins for row in rows],
                "color": palette.ink,
            },
            cliponaxis=False,
            name=name,
            hovertemplate="P50 %{x:.1f} days<extra></extra>",
            zorder=2,
        )
    )


def _draw_band(
    figure: Any, answer: HistoryAnswer, days: DaysUnplugged, rows: int, palette: Palette
) -> None:
    import plotly.graph_objects as go

    top, bottom = -0.5, rows - 0.4
    # A band of no width is left out here and in the still: the line of P50 stands for it.
    begins = _begins(answer, days)
    if days.p90 > begins:
        figure.add_trace(
            go.Scatter(
                x=[begins, days.p90, days.p90, begins],
                y=[top, top, bottom, bottom],
                mode="lines",
                line={"width": 0},
                fill="toself",
                fillcolor=palette.band,
                name=_band_name(answer),
                hoverinfo="skip",
                zorder=0,
            )
        )
    figure.add_trace(
        go.Scatter(
            x=[days.p50, days.p50],
            y=[top, bottom],
            mode="lines",
            line={"color": palette.quiet, "width": 1.5, "dash": "dash"},
            name=_MIDDLE_NAME,
            hoverinfo="skip",
            zorder=0,
        )
    )


def _static(answer: HistoryAnswer, kind: str) -> bytes:
    import textwrap

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    rows = _rows(answer)
    figure = Figure(figsize=(9, 2.6 + 0.3 * len(rows)), layout="constrained")
    FigureCanvasAgg(figure)
    title = textwrap.fill(_title(answer), 88)
    figure.suptitle(title, fontsize=12, parse_math=False)
    axes = figure.subplots()
    if answer.climate is not None:
        days = answer.climate.days
        begins = _begins(answer, days)
        if days.p90 > begins:
            axes.axvspan(begins, days.p90, color=LIGHT.pale_blue, lw=0, label=_band_name(answer))
        axes.axvline(days.p50, color=LIGHT.quiet, lw=1.3, ls="--", label=_MIDDLE_NAME)
    _still_rows(axes, answer, rows)
    axes.set_yticks(range(len(rows)), [_label(row) for row in rows])
    for tick, row in zip(axes.get_yticklabels(), rows, strict=True):
        if row.mark:
            tick.set_fontweight("bold")
    values, texts = _ticks(answer)
    axes.set_xticks(values, texts)
    axes.set(
        xlim=(0.0, _longest(answer) * (1.0 + _ROOM_SHARE)), ylim=(len(rows) - 0.4, -0.7),
        xlabel=_axis_title(answer, " "),
    )  # fmt: skip
    axes.grid(axis="x", color=LIGHT.grid)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)
    axes.legend(loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=3, frameon=False, fontsize=9)
    figure.text(
        0.01, -0.015, textwrap.fill(CAUTIONS, 130), fontsize=7.5, color=LIGHT.quiet, va="top"
    )
    return still_bytes(figure, kind)


def _still_rows(axes: Any, answer: HistoryAnswer, rows: Sequence[_Row]) -> None:
    """Spreads, bars and figures of the rows, by matplotlib."""
    beside = axes.get_yaxis_transform()
    for at, row in enumerate(rows):
        low, middle, high = row.begins, row.spread.p50, row.spread.p90
        axes.errorbar(
            middle, at, xerr=[[middle - low], [high - middle]], fmt="o", color=LIGHT.ink,
            capsize=3, clip_on=False, label=None if at else _spread_name(answer), zorder=2.5,
            markersize=4 if row.year else 6,
        )  # fmt: skip
        for shift, text in _cells(row):
            axes.annotate(
                text, (1.0, at), xycoords=beside, xytext=(0.75 * shift, 0),
                textcoords="offset points", va="center", fontsize=9,
            )  # fmt: skip
    years = _years_of(rows)
    if years:
        places = [at for at, _, _ in years]
        axes.barh(
            places, [year.days.p50 for _, _, year in years], height=0.56, zorder=2,
            color=[_colour(row, LIGHT) for _, row, _ in years],
        )  # fmt: skip
        # The legend's own, as the worst and the best year have colours that are not the bars'.
        axes.barh(places[:1], [0.0], color=LIGHT.blue, label=_BAR_NAME)
        axes.plot(
            [year.shortest_days for _, _, year in years], places, ls="", marker="D", ms=5.5,
            mfc=LIGHT.page, mec=LIGHT.ink, zorder=3, clip_on=False, label=_SHORTEST_NAME,
        )  # fmt: skip
    for shift, text in ((_DAYS_PX, "P50<br>days"), (_CHANCE_PX, _chance_head(answer))):
        axes.annotate(
            text.replace("<br>", "\n"), (1.0, -0.7), xycoords=beside, xytext=(0.75 * shift, 0),
            textcoords="offset points", va="bottom", fontsize=9,
        )  # fmt: skip


def _years_of(rows: Sequence[_Row]) -> list[tuple[int, _Row, YearAnswer]]:
    """The rows of real years, with their places from the top."""
    return [(at, row, row.year) for at, row in enumerate(rows) if row.year is not None]


def _title(answer: HistoryAnswer) -> str:
    """The headline, no line of which begins with a sign of percent."""
    return history_headline(answer).replace(" %", "\u00a0%")


def _rows(answer: HistoryAnswer) -> list[_Row]:
    marks = year_marks(answer)
    rows = [
        _side_row(answer, name, side)
        for name, side in (("climate", answer.climate), (history_label(answer), answer.history))
        if side is not None
    ]
    rows += [
        _Row(
            label=str(year.year),
            chance=chance_text(year.chance_lasts, short=True),
            text=days_cell(year.days.p50, year.days.follow_days),
            spread=year.days,
            begins=_begins(answer, year.days, year.shortest_days),
            year=year,
            mark=marks.get(year.year, ""),
        )
        for year in answer.years
    ]
    return rows


def _side_row(answer: HistoryAnswer, name: str, side: Side) -> _Row:
    days = side.days
    return _Row(
        label=name,
        chance=chance_text(side.chance_lasts, short=True),
        text=days_cell(days.p50, days.follow_days),
        spread=days,
        begins=_begins(answer, days, _shortest(answer) if side is answer.history else None),
    )


def _begins(answer: HistoryAnswer, days: DaysUnplugged, least: float | None = None) -> float:
    return whisker_begins(days, medical=bool(answer.question.profile.medical), least=least)


def _shortest(answer: HistoryAnswer) -> float | None:
    """The shortest of all real stays."""
    return min((year.shortest_days for year in answer.years), default=None)


def _spread_name(answer: HistoryAnswer) -> str:
    if not answer.question.profile.medical:
        return "P10 to P90, dot at P50"
    # So few real stays do not tell one in a hundred.
    return "P1, of real years the shortest, to P90, dot at P50"


def _band_name(answer: HistoryAnswer) -> str:
    begins = safe_name(medical=bool(answer.question.profile.medical))
    return f"embedded climate, {begins} to P90"


def _cells(row: _Row) -> tuple[tuple[int, str], tuple[int, str]]:
    """Its figures beside the picture, and by how many pixels they are shifted."""
    return (_DAYS_PX, row.text), (_CHANCE_PX, row.chance)


def _label(row: _Row, *, bold: bool = False) -> str:
    if not row.mark:
        return row.label
    label = f"{row.mark} {row.label}"
    return f"<b>{label}</b>" if bold else label


def _colour(row: _Row, palette: Palette) -> str:
    return {"worst": palette.vermillion, "best": palette.green}.get(row.mark, palette.blue)


def _chance_head(answer: HistoryAnswer) -> str:
    days = answer.dates.days
    return f"lasts<br>{days} day{'' if days == 1 else 's'}"


def _sides(answer: HistoryAnswer) -> Sequence[DaysUnplugged]:
    return [side.days for side in (answer.climate, answer.history) if side is not None]


def _longest(answer: HistoryAnswer) -> float:
    """The most days that are drawn, and one at least, so that nought has an axis too."""
    years = [year.days.p90 for year in answer.years]
    return max([1.0, *years, *(days.p90 for days in _sides(answer))])


def _ticks(answer: HistoryAnswer) -> tuple[list[float], list[str]]:
    """Round numbers of days from nought to the longest; all that are followed read "30+"."""
    longest = _longest(answer)
    follow_days = max((days.follow_days for days in _sides(answer)), default=0)
    step = next(one for one in (0.5, 1, 2, 5, 10, 20, 50, 100) if longest / one <= 6.0)
    values = [step * count for count in range(int(longest / step) + 1)]
    if longest >= follow_days:
        values = [value for value in values if value <= follow_days - 0.6 * step] + [
            float(follow_days)
        ]
    return values, [f"{follow_days}+" if value >= follow_days else f"{value:g}" for value in values]


def _axis_title(answer: HistoryAnswer, between: str) -> str:
    most = max((days.follow_days for days in _sides(answer)), default=0)
    return f"days unplugged;{between}{most}+ means {most} or more, and counts as {most}"
