"""The answer of `stay` in Python."""

from __future__ import annotations

import dataclasses

import pandas as pd

from solarsim.answers.bank import units_text
from solarsim.answers.stay import StayAnswer
from solarsim.cards import Card
from solarsim.present.faces.rows import (
    days_row,
    fuel_row,
    notes_row,
    question_columns,
    real_years_row,
    warnings_row,
    weather_row,
)
from solarsim.present.stay.charts import stay_figure
from solarsim.present.stay.documents import stay_document
from solarsim.present.words import bank_text, headline

__all__ = ["card", "document", "figure", "frame", "hourly"]

document = stay_document
figure = stay_figure


def card(answer: StayAnswer) -> Card:
    """Return the headline, the days, the energy and the bank."""
    wh = answer.ledger_wh_per_day
    units = answer.recommended.units
    return Card(
        headline(answer),
        [
            days_row(answer.days, medical=answer.medical is not None),
            (
                "energy",
                f"sun {wh['solar_used']:,.0f} of {wh['solar_available']:,.0f} Wh a day, loads "
                f"{wh['load_dc'] + wh['load_ac']:,.0f}, not served {wh['unserved']:z,.0f}",
            ),
            (
                "bank",
                bank_text(answer),
            ),
            (
                "bank that holds",
                "none looked at"
                if units is None
                else f"{units_text(units)}; {answer.recommended.reason}",
            ),
            *fuel_row(answer.fuel),
            weather_row(answer.conditions),
            *real_years_row(answer),
            *warnings_row(answer.warnings),
            *notes_row(answer.notes),
        ],
    )


def frame(answer: StayAnswer) -> pd.DataFrame:
    """Return one row, so that the rows of many answers make one table."""
    days = answer.days
    row = question_columns(answer.question) | {
        "month": answer.dates.month,
        "stay_days": answer.dates.days,
        "panels": answer.question.van.panels.count,
        "battery_units": answer.question.van.battery.units,
        "capacity_ah": answer.question.van.bank_capacity_ah,
        "usable_wh": answer.usable_wh,
        "cold_usable_wh": answer.cold_usable_wh,
        "bank_temp_c": answer.conditions.bank_temp_c,
        "chance_lasts_share": answer.chance_lasts,
        "p1_days": days.p1,
        "p10_days": days.p10,
        "p50_days": days.p50,
        "p90_days": days.p90,
        "mean_days": days.mean,
        "depletion_days": answer.depletion_days,
    }
    row |= {f"{term}_wh_per_day": wh for term, wh in answer.ledger_wh_per_day.items()}
    for one in () if answer.fuel is None else answer.fuel.fuels:
        spread = dataclasses.asdict(one.per_day)
        row |= {f"{one.kind}_{p}_{one.unit.lower()}_per_day": x for p, x in spread.items()}
    return pd.DataFrame([row])


def hourly(answer: StayAnswer) -> pd.DataFrame:
    """Return the state of charge at each stamp of the stay, 0 to 1."""
    soc = answer.soc
    columns = {"p10_soc": soc.p10, "p50_soc": soc.p50, "p90_soc": soc.p90, "worst_soc": soc.worst}
    return pd.DataFrame(columns, index=soc.times.rename("time"))
