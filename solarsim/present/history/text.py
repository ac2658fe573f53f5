"""Real years on a terminal and as documents: the stay by year, the weather, a file's report."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.history import HistoryAnswer, Side, YearAnswer
from solarsim.inputs.percent import chance_text, percent
from solarsim.present.stay.documents import place_document
from solarsim.present.stay.text import days_cell, plain, print_list
from solarsim.present.words import CAUTIONS, RESERVE, days_text, month_name
from solarsim.weather.climate.monthly import MonthRow
from solarsim.weather.record import Place
from solarsim.weather.years.quality import Quality
from solarsim.weather.years.series import YearSeries

__all__ = [
    "history_document",
    "history_headline",
    "print_history",
    "print_months",
    "print_quality",
    "quality_document",
    "year_marks",
]

_DAYS = ("P10 days", "P50 days", "P90 days")


def history_headline(answer: HistoryAnswer) -> str:
    """Return the answer in one sentence."""
    name, place = answer.question.van.van.name, answer.question.place.name
    month, days = month_name(answer.dates.month), answer.dates.days
    lasts = f"{days} day" + ("" if days == 1 else "s")
    if answer.worst is None or answer.best is None or answer.history is None:
        chance = (
            "nor does the embedded climate know this place"
            if answer.climate is None
            else f"by the embedded climate alone the van '{name}' lasts {lasts} in {month} near "
            f"{place} with a chance of {chance_text(answer.climate.chance_lasts)}"
        )
        return f"No real years at hand; {chance}."
    lasted = (
        f"near {place} the van '{name}' lasted {lasts} in "
        f"{chance_text(answer.history.chance_lasts)} of its stays"
    )
    if len(answer.years) == 1:
        return f"In {month} {answer.worst.year} {lasted}."
    what, rest = _told(answer, answer.worst)
    if year_marks(answer):
        told = (
            f"The worst year was {answer.worst.year} ({what} {rest}), the best "
            f"{answer.best.year} ({_told(answer, answer.best)[0]})"
        )
    else:
        told = f"No year was worse than another ({what} {rest} in each)"
    return f"In {month} of {len(answer.years)} real years {lasted}. {told}."


def year_marks(answer: HistoryAnswer) -> dict[int, str]:
    """Return "worst" and "best" by their year; empty for one year, or where none stands out."""
    worst, best = answer.worst, answer.best
    if worst is None or best is None or _told(answer, worst) == _told(answer, best):
        return {}
    return {worst.year: "worst", best.year: "best"}


def _told(answer: HistoryAnswer, year: YearAnswer) -> tuple[str, str]:
    """The figure that tells this year from others, and what it is a figure of."""
    if answer.told_by == "chance":
        return chance_text(year.chance_lasts), "of its stays lasted"
    if answer.told_by == "days":
        horizon = answer.history.days.horizon if answer.history else 0
        return days_text(year.mean_days, horizon), "on average"
    return f"{year.reserve_wh:,.0f} Wh", "left at the lowest hour"


def print_history(answer: HistoryAnswer, console: Console) -> None:
    """Print the two kinds of weather side by side, then every year."""
    console.print(plain(history_headline(answer), "bold"))
    sides = [
        (label, side)
        for label, side in (("embedded climate", answer.climate), ("real years", answer.history))
        if side is not None
    ]
    table = Table(title="Side by side", title_justify="left")
    table.add_column("")
    for label, _ in sides:
        table.add_column(label, justify="right")
    for row in zip(
        ("runs", f"lasts {answer.dates.days} days", *_DAYS, "light, kWh/m2 a day", "air, C"),
        *(_side_cells(side) for _, side in sides),
        strict=True,
    ):
        table.add_row(*row)
    console.print(table)
    if answer.history is not None:
        console.print(_years_table(answer, answer.history))
        console.print(plain(_years_key(answer, answer.history)))
    console.print(plain(f"Sources: {'; '.join(side.source for _, side in sides)}."))
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def _side_cells(side: Side) -> tuple[str, ...]:
    days = side.days
    return (
        str(side.runs),
        chance_text(side.chance_lasts),
        *(days_cell(value, days.horizon) for value in (days.p10, days.p50, days.p90)),
        f"{side.ghi_kwh_m2_day:.2f}",
        f"{side.temp_air_c:z.1f}",
    )


def _years_table(answer: HistoryAnswer, side: Side) -> Table:
    title = f"Stays that start in {month_name(answer.dates.month)}, by the year"
    table = Table(title=title, title_justify="left")
    table.add_column("year")
    for name in ("stays", "last", "mean", "shortest", RESERVE, "light", "air C"):
        table.add_column(name, justify="right")
    marks = year_marks(answer)
    if marks:
        table.add_column("")
    horizon = side.days.horizon
    for year in answer.years:
        mark = marks.get(year.year)
        table.add_row(
            str(year.year),
            str(year.windows),
            chance_text(year.chance_lasts),
            days_cell(year.mean_days, horizon),
            days_cell(year.shortest_days, horizon),
            f"{year.reserve_wh:,.0f}",
            f"{year.ghi_kwh_m2_day:.2f}",
            f"{year.temp_air_c:z.1f}",
            *([mark or ""] if marks else []),
            style="bold" if mark else None,
        )
    return table


def _years_key(answer: HistoryAnswer, side: Side) -> str:
    """What the columns of the years' table hold."""
    days = answer.dates.days
    return (
        f"A stay starts on each day of {month_name(answer.dates.month)}; last is the share that "
        f"came through {days} day{'' if days == 1 else 's'} without a cut-off. Mean and shortest "
        f"are days to the first cut-off, {side.days.horizon} at most; reserve is what stood in the "
        "bank above its floor at the stay's lowest hour, on average; light is GHI, kWh/m2 a day."
    )


def history_document(answer: HistoryAnswer) -> dict[str, Any]:
    """Return the document of `history`: both kinds of weather, and every year."""

    def side(one: Side | None) -> dict[str, Any] | None:
        return None if one is None else dataclasses.asdict(one)

    return {
        "schema": 1,
        "place": place_document(answer.question.place),
        "stay": {
            "start": answer.dates.start.isoformat(),
            "days": answer.dates.days,
            "month": answer.dates.month,
        },
        "climate": side(answer.climate),
        "history": side(answer.history),
        "years": [dataclasses.asdict(year) for year in answer.years],
        "worst_year": None if answer.worst is None else answer.worst.year,
        "best_year": None if answer.best is None else answer.best.year,
        "told_by": answer.told_by,
        "warnings": list(answer.notes),
    }


def print_months(
    place: Place,
    climate: Sequence[MonthRow] | None,
    history: Sequence[tuple[float, float, float]] | None,
    title: str,
    console: Console,
) -> None:
    """Print each month's light from real years beside that of the embedded climate."""
    table = Table(title=plain(title), title_justify="left")
    table.add_column("month")
    if history is not None:
        for name in ("darkest year", "mean", "brightest"):
            table.add_column(name, justify="right")
    if climate is not None:
        table.add_column("embedded climate", justify="right")
    for month in range(12):
        cells = [month_name(month + 1)[:3]]
        if history is not None:
            cells += [f"{ghi:.2f}" for ghi in history[month]]
        if climate is not None:
            cells.append(f"{climate[month].ghi_kwh_m2_day:.2f}")
        table.add_row(*cells)
    console.print(table)
    console.print(plain(f"{place.name}; GHI in kWh/m2 a day."))


def print_quality(series: YearSeries, console: Console) -> None:
    """Print what a weather file is worth."""
    quality = series.quality
    if quality is None:
        return
    console.print(plain(series.source, "bold"))
    place = series.place
    console.print(
        plain(
            f"{place.latitude_deg:.3f}, {place.longitude_deg:.3f}; {place.elevation_m:.0f} m; "
            f"UTC{place.utc_offset_h:+g}; {series.times[0]:%Y-%m-%d} to {series.times[-1]:%Y-%m-%d}"
        )
    )
    table = Table(title="Quality of the file", title_justify="left")
    table.add_column("")
    table.add_column("", justify="right")
    for label, text in _quality_rows(quality):
        table.add_row(label, text)
    console.print(table)
    print_list("Taken as given", series.notes, console)


def _quality_rows(quality: Quality) -> list[tuple[str, str]]:
    rows = [
        ("hours", f"{quality.hours:,}"),
        ("minutes from row to row", str(quality.step_minutes)),
        ("hours missing and closed", percent(quality.missing_share, 2)),
        ("beam or diffuse missing", percent(quality.beam_missing_share, 2)),
        ("GHI above the clear sky by more than 20 %", percent(quality.above_clear_share, 2)),
        ("hours of night with light", str(quality.night_light_hours)),
    ]
    if quality.closure_share is not None:
        rows.append(("GHI = DHI + DNI cos z within 8 %", percent(quality.closure_share, 1)))
        rows.append(("GHI - (DHI + DNI cos z), W/m2", f"{quality.closure_w_m2:+.1f}"))
    if quality.lag_minutes is not None:
        rows.append(("light after the sun, minutes", f"{quality.lag_minutes:+.0f}"))
    return rows


def quality_document(series: YearSeries) -> dict[str, Any]:
    """Return a weather file's report as a document."""
    quality = series.quality
    return {
        "schema": 1,
        "place": place_document(series.place),
        "source": series.source,
        "start": series.times[0].isoformat(),
        "end": series.times[-1].isoformat(),
        "quality": None if quality is None else dataclasses.asdict(quality),
        "warnings": list(series.notes),
    }
