"""Real years on a terminal and as documents: the stay by year, and the light of the months."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.history import HistoryAnswer, Side, YearAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.documents import place_document
from solarsim.present.stay.text import days_cell, plain, print_list
from solarsim.present.words import CAUTIONS, RESERVE, day_shares, days_text, month_name
from solarsim.weather.climate.monthly import MonthRow
from solarsim.weather.record import Place
from solarsim.weather.years.history import years_text

__all__ = [
    "history_document",
    "history_headline",
    "history_label",
    "missing_text",
    "print_history",
    "print_months",
    "year_marks",
]

_TYPICAL = "typical year, put together from several years"


def history_headline(answer: HistoryAnswer) -> str:
    """Return the answer in one sentence or two, the safe days first where they are vital."""
    return f"{_safe_text(answer)}{_lasted_text(answer)}"


def _safe_text(answer: HistoryAnswer) -> str:
    """What 99 stays in 100 reach; real years are too few to tell it."""
    if not answer.question.profile.medical:
        return ""
    side = answer.climate
    if side is None or side.days.p1 is None:
        return "What 99 stays in 100 reach is not known: NOT SHOWN TO BE SAFE. "
    reached = days_text(side.days.p1, side.days.follow_days)
    safe = "" if side.days.p1 >= answer.dates.days else ": NOT SAFE"
    return (
        f"By the embedded climate 99 stays in 100 reach {reached}{safe}; real years are too few to "
        "tell it. "
    )


def _lasted_text(answer: HistoryAnswer) -> str:
    name, place = answer.question.van.van.name, answer.question.place.name
    month, days = month_name(answer.dates.month), answer.dates.days
    lasts = f"{days} day" + ("" if days == 1 else "s")
    if answer.history is None:
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
    if answer.typical:
        return (
            f"In {month} of a {_TYPICAL}, {lasted}. It shows neither the worst nor the best of "
            "real years."
        )
    if answer.worst is None or answer.best is None or len(answer.years) == 1:
        return f"In {month} {years_text([year.year for year in answer.years])} {lasted}."
    what, of = _mark(answer, answer.worst)
    if year_marks(answer):
        apart = (
            f"The worst year was {answer.worst.year} ({what} {of}), the best "
            f"{answer.best.year} ({_mark(answer, answer.best)[0]})"
        )
    else:
        apart = f"No year was worse than another ({what} {of} in each)"
    return f"In {month} of {len(answer.years)} real years {lasted}. {apart}."


def year_marks(answer: HistoryAnswer) -> dict[int, str]:
    """Return "worst" and "best" by their year; empty for one year, or where none stands out."""
    worst, best = answer.worst, answer.best
    if worst is None or best is None or _mark(answer, worst) == _mark(answer, best):
        return {}
    return {worst.year: "worst", best.year: "best"}


def history_label(answer: HistoryAnswer) -> str:
    """What the weather beside the embedded climate is called."""
    if answer.typical:
        return "typical year"
    return "real year" if len(answer.years) == 1 else "real years"


def missing_text(missing_years: Sequence[int], used: int, damaged: Sequence[int] = ()) -> str:
    """Name the years that are not at hand, those that are damaged too, and how to get them."""
    one = len(missing_years) == 1
    bad = [year for year in missing_years if year in damaged]
    hurt = f" ({years_text(bad)} {_are(bad)} damaged)" if bad else ""
    rest = f"answering from the other {used}" if used > 1 else "answering from the other one"
    if not used:
        rest = "answering from the embedded climate alone"
    return (
        f"{years_text(missing_years)} {_are(missing_years)} not in the cache{hurt}: {rest}; "
        f"`solarsim weather get` fetches {'it' if one else 'them'}"
    )


def _are(years: Sequence[int]) -> str:
    return "is" if len(years) == 1 else "are"


def _mark(answer: HistoryAnswer, year: YearAnswer) -> tuple[str, str]:
    """The figure that sets this year apart from others, and what it is a figure of."""
    if answer.ranked_by == "chance":
        return chance_text(year.chance_lasts), "of its stays lasted"
    if answer.ranked_by == "days":
        return days_text(year.days.p50, year.days.follow_days), "at P50"
    return f"{year.reserve_wh:,.0f} Wh", "left at the lowest hour"


def print_history(answer: HistoryAnswer, console: Console) -> None:
    """Print the two kinds of weather side by side, then every year."""
    console.print(plain(history_headline(answer), "bold"))
    sides = [
        (label, side)
        for label, side in (
            ("embedded climate", answer.climate),
            (history_label(answer), answer.history),
        )
        if side is not None
    ]
    medical = bool(answer.question.profile.medical)
    shares = [*(("P1",) if medical else ()), "P10", "P50", "P90"]
    table = Table(title="Side by side", title_justify="left")
    table.add_column("")
    for label, _ in sides:
        table.add_column(label, justify="right")
    for row in zip(
        (
            "runs",
            f"lasts {count_text(answer.dates.days, 'day')}",
            *(f"{share} days" for share in shares),
            "light, kWh/m2 a day",
            "air, C",
        ),
        *(_side_cells(side, medical=medical) for _, side in sides),
        strict=True,
    ):
        table.add_row(*row)
    console.print(table)
    if answer.history is not None and answer.years:
        console.print(_years_table(answer))
        console.print(plain(_years_key(answer, answer.history)))
    console.print(plain(f"Sources: {'; '.join(side.source for _, side in sides)}."))
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def _side_cells(side: Side, *, medical: bool) -> tuple[str, ...]:
    days = side.days
    return (
        str(side.runs),
        chance_text(side.chance_lasts),
        *(days_cell(value, days.follow_days) for _, value in day_shares(days, medical=medical)),
        f"{side.ghi_kwh_m2_day:.2f}",
        f"{side.temp_air_c:z.1f}",
    )


def _years_table(answer: HistoryAnswer) -> Table:
    title = f"Stays that start in {month_name(answer.dates.month)}, by the year"
    table = Table(title=title, title_justify="left")
    table.add_column("year")
    # No stay of so few tells one in a hundred: where health depends on it the shortest leads.
    days = ["P10", "P50", "P90"]
    days.insert(0 if answer.question.profile.medical else 3, "shortest")
    for name in ("stays", "lasted", *days, RESERVE, "light", "air C"):
        table.add_column(name, justify="right")
    marks = year_marks(answer)
    if marks:
        table.add_column("")
    for year in answer.years:
        mark = marks.get(year.year)
        reached = {"P10": year.days.p10, "P50": year.days.p50, "P90": year.days.p90}
        reached["shortest"] = year.shortest_days
        table.add_row(
            str(year.year),
            str(year.windows),
            chance_text(year.chance_lasts),
            *(days_cell(reached[name], year.days.follow_days) for name in days),
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
        f"A stay starts on each day of {month_name(answer.dates.month)}; lasted is the share that "
        f"came through {days} day{'' if days == 1 else 's'} without a cut-off. P10, P50, P90 and "
        f"shortest are days to the first cut-off, {side.days.follow_days} at most. Reserve is what "
        "stood in the bank above its floor at the stay's lowest hour, on average. Light is GHI, "
        "kWh/m2 a day."
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
        "history_kind": "typical year" if answer.typical else "real years",
        "missing_years": list(answer.missing_years),
        "years": [dataclasses.asdict(year) for year in answer.years],
        "worst_year": None if answer.worst is None else answer.worst.year,
        "best_year": None if answer.best is None else answer.best.year,
        "ranked_by": answer.ranked_by,
        "warnings": list(answer.notes),
    }


def print_months(
    place: Place,
    climate: Sequence[MonthRow] | None,
    history: Sequence[tuple[float, float, float] | None] | None,
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
            means = history[month]
            cells += ["-"] * 3 if means is None else [f"{ghi:.2f}" for ghi in means]
        if climate is not None:
            cells.append(f"{climate[month].ghi_kwh_m2_day:.2f}")
        table.add_row(*cells)
    console.print(table)
    console.print(plain(f"{place.name}; GHI in kWh/m2 a day."))
