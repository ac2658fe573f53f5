"""The answer of `history` in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.answers.history import HistoryAnswer, Side
from solarsim.cards import Card
from solarsim.inputs.percent import chance_text
from solarsim.present.faces.rows import days_row, notes_row
from solarsim.present.history.chart import history_figure
from solarsim.present.history.text import history_document, history_headline, history_label

__all__ = ["card", "document", "figure", "frame"]

document = history_document
figure = history_figure


def card(answer: HistoryAnswer) -> Card:
    """Return the headline and both kinds of weather side by side."""
    medical = bool(answer.question.profile.medical)
    sides = (("climate", answer.climate), (history_label(answer), answer.history))
    return Card(
        history_headline(answer),
        [
            *(_row(name, side, medical=medical) for name, side in sides if side is not None),
            *notes_row(answer.notes),
        ],
    )


def frame(answer: HistoryAnswer) -> pd.DataFrame:
    """Return one row a real year; none where no years are at hand, and none for a typical year."""
    columns = [
        *("year", "windows", "chance_lasts_share", "p10_days", "p50_days", "p90_days"),
        *("mean_days", "shortest_days", "reserve_wh", "ghi_kwh_m2_day", "temp_air_c"),
    ]
    rows = [
        (
            year.year,
            year.windows,
            year.chance_lasts,
            year.days.p10,
            year.days.p50,
            year.days.p90,
            year.days.mean,
            year.shortest_days,
            year.reserve_wh,
            year.ghi_kwh_m2_day,
            year.temp_air_c,
        )
        for year in answer.years
    ]
    return pd.DataFrame(rows, columns=columns)


def _row(name: str, side: Side, *, medical: bool) -> tuple[str, str]:
    days = days_row(side.days, medical=medical)[1]
    return name, f"{side.runs} runs, {chance_text(side.chance_lasts)}; {days}"
