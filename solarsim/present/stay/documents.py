"""Answers as JSON documents (schema 1)."""

from __future__ import annotations

import dataclasses
import json
import math
from typing import Any

from solarsim.answers.bank import BankAnswer
from solarsim.answers.fuel import FuelAnswer
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import Conditions
from solarsim.answers.simulation.summary import (
    Situation,
    StayDates,
    month_light_kwh_m2_day,
)
from solarsim.answers.stay import StayAnswer
from solarsim.present.words import real_years_text
from solarsim.weather.record import Place

__all__ = [
    "DIGITS",
    "bank_document",
    "common",
    "fuel_document",
    "place_document",
    "rounded",
    "stay_document",
    "to_json",
]

# Far more than any answer is worth.
DIGITS = 9


def to_json(document: dict[str, Any]) -> str:
    """Return the document as text; a value that is not a number is an error, never ``NaN``.

    Numbers have `DIGITS` digits at most and as many decimals, as in `rounded`.
    """
    return json.dumps(rounded(document), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def rounded(value: Any) -> Any:
    """Return a document with its numbers as every machine has them.

    Libraries of linear algebra add up in their own order, which shows in the last of sixteen
    digits, and sums that come to nothing leave residues there.

    Examples
    --------
    >>> rounded({"wh": [329.43175658970716, -2.2e-15], "runs": 20})
    {'wh': [329.431757, 0.0], 'runs': 20}
    """
    if isinstance(value, float):
        # No minus before a zero.
        return round(float(f"{value:.{DIGITS}g}"), DIGITS) + 0.0
    if isinstance(value, dict):
        return {key: rounded(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(one) for one in value]
    return value


def stay_document(answer: StayAnswer) -> dict[str, Any]:
    """Return the document of `stay`; energies in Wh, shares 0 to 1."""
    van = answer.question.van
    return {
        "schema": 1,
        **common(answer),
        "days_unplugged": dataclasses.asdict(answer.days),
        "chance_lasts": answer.chance_lasts,
        "standard_errors": dataclasses.asdict(answer.standard_errors),
        "depletion_days": answer.depletion_days,
        "ledger_wh_per_day": answer.ledger_wh_per_day,
        "soc": {
            "times": [stamp.isoformat() for stamp in answer.soc.times],
            "p10": answer.soc.p10.tolist(),
            "p50": answer.soc.p50.tolist(),
            "p90": answer.soc.p90.tolist(),
            # Told only where someone's health depends on it.
            **({} if answer.soc.p1 is None else {"p1": answer.soc.p1.tolist()}),
        },
        "bank": {
            "units": van.battery.units,
            "capacity_ah": van.bank_capacity_ah,
            "usable_wh": answer.usable_wh,
            "usable_wh_cold": answer.cold_usable_wh,
            "temperature_c": answer.conditions.bank_temp_c,
        },
        "recommended_bank": dataclasses.asdict(answer.recommended),
        "real_years": _real_years(answer),
        "medical": None if answer.medical is None else dataclasses.asdict(answer.medical),
        "warnings": [*answer.warnings, *answer.notes],
        # A van that names no fuel has no such key.
        **({} if answer.fuel is None else {"fuel": fuel_document(answer.fuel)}),
    }


def fuel_document(answer: FuelAnswer) -> dict[str, Any]:
    """Return the fuel's part of a document; amounts in litres of diesel and kg of propane."""
    return {
        **{
            one.kind: {
                key: value
                for key, value in dataclasses.asdict(one).items()
                if key != "kind" and value is not None
            }
            for one in answer.fuels
        },
        "on_electricity": list(answer.on_electricity),
        "not_counted": list(answer.not_counted),
        "notes": list(answer.notes),
    }


def _real_years(answer: StayAnswer) -> dict[str, Any] | None:
    """The same dates in real years with the line that says so; None beside a weather file."""
    text = real_years_text(answer)
    if text is None:
        return None
    found = answer.real_years
    if found is None:
        return {"years": [], "text": text}
    return {
        "years": list(found.years),
        "lasted": found.lasted,
        "days_unplugged": dataclasses.asdict(found.days),
        "ghi_kwh_m2_day": found.ghi_kwh_m2_day,
        "temp_air_c": found.temp_air_c,
        "text": text,
    }


def bank_document(answer: BankAnswer) -> dict[str, Any]:
    """Return the document of `bank`: every bank looked at, the choice, the figure by hand."""
    return {
        "schema": 1,
        **common(answer),
        "banks": [
            {
                "units": option.units,
                "capacity_ah": option.capacity_ah,
                "usable_wh": option.usable_wh,
                "chance_lasts": option.chance_lasts,
                "p1": option.days.p1,
                "p10": option.days.p10,
                "p50": option.days.p50,
                "p90": option.days.p90,
            }
            for option in answer.options
        ],
        "recommended_bank": dataclasses.asdict(answer.recommended),
        "by_hand": {
            # A load of nothing is carried for ever, which is no number in JSON.
            name: value if math.isfinite(value) else None
            for name, value in dataclasses.asdict(answer.by_hand).items()
        },
        "remedies": list(answer.remedies),
        "warnings": [*answer.question.notes, *answer.conditions.notes],
    }


def common(answer: Situation) -> dict[str, Any]:
    """Return what every answer about a stay begins with: place, weather and dates."""
    return {
        "place": place_document(answer.question.place),
        "weather": _weather(answer.question, answer.conditions),
        "stay": _stay(answer.dates),
    }


def place_document(place: Place) -> dict[str, Any]:
    """Return a place's part of a document."""
    return {
        "name": place.name,
        "latitude": place.latitude_deg,
        "longitude": place.longitude_deg,
        "elevation_m": place.elevation_m,
        "timezone": place.timezone,
    }


def _weather(question: Question, conditions: Conditions) -> dict[str, Any]:
    return {
        "source": conditions.source,
        "runs": conditions.runs,
        "ghi_kwh_m2_day": conditions.ghi_kwh_m2_day,
        # Of the whole month, which `climate` tells; the line above is of the stay's own days.
        "month_ghi_kwh_m2_day": month_light_kwh_m2_day(question),
        "temp_air_c": conditions.temp_air_c,
    }


def _stay(dates: StayDates) -> dict[str, Any]:
    return {"start": dates.start.isoformat(), "days": dates.days, "month": dates.month}
