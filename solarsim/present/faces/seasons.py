"""The answer of `seasons` in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.answers.seasons import MonthAnswer, SeasonsAnswer
from solarsim.cards import Card
from solarsim.inputs.percent import chance_text
from solarsim.present.compare.charts import seasons_figure
from solarsim.present.compare.documents import seasons_document
from solarsim.present.compare.text import seasons_headline
from solarsim.present.faces.rows import notes_row
from solarsim.present.stay.text import days_cell
from solarsim.present.words import month_name

__all__ = ["card", "document", "figure", "frame"]

document = seasons_document
figure = seasons_figure


def card(answer: SeasonsAnswer) -> Card:
    """Return the worst month and all twelve, a quarter a line."""
    months = answer.months
    return Card(
        seasons_headline(answer),
        [
            *(
                (
                    f"{month_name(first + 1)[:3]} to {month_name(first + 3)[:3]}",
                    "; ".join(_month(month) for month in months[first : first + 3]),
                )
                for first in range(0, 12, 3)
            ),
            ("of each", "chance of the stay, days unplugged in half of the runs"),
            *notes_row(answer.notes),
        ],
    )


def frame(answer: SeasonsAnswer) -> pd.DataFrame:
    """Return one row a month."""
    return pd.DataFrame(
        {
            "month": month.month,
            "chance_lasts_share": month.chance_lasts,
            "p10_days": month.days.p10,
            "p50_days": month.days.p50,
            "p90_days": month.days.p90,
            "ghi_kwh_m2_day": month.ghi_kwh_m2_day,
            "temp_air_c": month.temp_air_c,
            "demand_wh_per_day": month.demand_wh_per_day,
            "reserve_wh": month.reserve_wh,
        }
        for month in answer.months
    )


def _month(month: MonthAnswer) -> str:
    days = days_cell(month.days.p50, month.days.follow_days)
    return f"{chance_text(month.chance_lasts, short=True)}, {days} days"
