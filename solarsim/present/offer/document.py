"""The offer as a JSON document (schema 1), as CSV and as a workbook."""

from __future__ import annotations

import dataclasses
from typing import Any

from solarsim.answers.offer.offer import OfferAnswer
from solarsim.answers.offer.offered import Days, Offered
from solarsim.inputs.files.cells import csv_text
from solarsim.present.buy.document import BUY_CAUTIONS
from solarsim.present.offer import words
from solarsim.present.offer.rows import Row, heads, offer_rows, single_figures
from solarsim.present.stay.documents import place_document
from solarsim.present.workbook import MONEY, NUMBER, workbook_bytes

__all__ = ["offer_csv", "offer_document", "offer_xlsx"]

_FIRST = ("part", "what", "unit")


def offer_document(answer: OfferAnswer) -> dict[str, Any]:
    """Return the document of `offer`: designs, steps, and all that is said beside them."""
    prices = answer.prices
    return {
        "schema": 1,
        "cautions": list(BUY_CAUTIONS),
        "date": answer.date.isoformat(),
        "valid_until": None if answer.valid_until is None else answer.valid_until.isoformat(),
        "stay": {
            "start": answer.dates.start.isoformat(),
            "days": answer.dates.days,
            "month": answer.dates.month,
        },
        "place": place_document(answer.designs[0].stay.place),
        "runs": answer.runs,
        "seed": answer.seed,
        "weather": answer.weather,
        "currency": None if prices is None else prices.prices.currency,
        "prices": words.HOW_TO_PRICE if prices is None else prices.prices.description,
        "not_a_full_price": words.not_full(answer),
        "tax_pct": answer.tax_pct,
        "designs": [_design(one) for one in answer.designs],
        "steps": [dataclasses.asdict(step) for step in answer.steps],
        "steps_in_words": words.step_texts(answer),
        "not_included": words.not_included(answer),
        "assumed": words.assumed(answer),
        "not_looked_at": words.not_looked_at(answer),
    }


def offer_csv(answer: OfferAnswer) -> str:
    """Return the table as CSV; cautions, stops and steps in comment lines above the headings."""
    columns = [*_FIRST, *heads(answer)]
    rows = [dict(zip(columns, _cells(answer, row), strict=True)) for row in _table(answer)]
    return csv_text(columns, rows, above=_above(answer), digits=".12g")


def offer_xlsx(answer: OfferAnswer) -> bytes:
    """Return the table as a workbook, as `workbook_bytes`."""
    rows = (
        (MONEY if one.unit == "money" else NUMBER, _cells(answer, one)) for one in _table(answer)
    )
    return workbook_bytes(
        "Offer",
        "offer",
        _above(answer),
        (*_FIRST, *heads(answer)),
        rows,
        (22, 44, 10, *(32 for _ in answer.designs)),
        loud=("STOP", "NOT A FULL"),
        fixed_columns=2,
    )


def _table(answer: OfferAnswer) -> list[Row]:
    return list(single_figures(offer_rows(answer)))


def _cells(answer: OfferAnswer, row: Row) -> list[float | str | None]:
    unit = row.unit
    if unit == "money":
        assert answer.prices is not None
        return [row.part, row.what, answer.prices.prices.currency, *row.cells]
    return [row.part, row.what, unit, *row.cells]


def _above(answer: OfferAnswer) -> list[str]:
    full = words.not_full(answer)
    followed = answer.designs[0].stay.days.follow_days
    return [
        "Offer",
        *BUY_CAUTIONS,
        *(f"STOP, not to be built as it is: {line}" for line in words.stops(answer)),
        *words.intro(answer),
        *([full] if full else []),
        *words.step_texts(answer),
        f"days: {followed} stands for {followed} or more",
        *(f"not included: {line}" for line in words.not_included(answer)),
        *(f"finding: {line}" for line in words.findings(answer)),
        *(f"assumed: {line}" for line in words.assumed(answer)),
        *(f"not looked at: {line}" for line in words.not_looked_at(answer)),
    ]


def _design(one: Offered) -> dict[str, Any]:
    profile = one.question.profile
    return {
        "letter": one.letter,
        "van": one.van.van.name,
        "profile": profile.profile.name,
        "people": profile.cabin.people,
        "appliances": [a.name for a in profile.appliances if a.enabled],
        "demand_wh_per_day": one.demand_wh_per_day,
        "built_of": dict(one.van.card().rows),
        "not_to_be_built": list(one.reasons),
        "stay": _days(one.stay),
        "seasons": [_days(days) for days in one.seasons],
        "roof": {"panels": one.van.panels.count, "fits": one.fits},
        "check": {
            "worst": one.worst,
            "findings": [
                {
                    "id": found.id,
                    "severity": found.severity,
                    "where": found.where,
                    "message": found.message,
                    "advice": found.advice,
                    "source": found.source,
                }
                for found in one.check.findings
            ],
        },
        "wiring": dataclasses.asdict(one.wiring),
        "total_kg": one.list.total_kg,
        "roof_kg": one.list.roof_kg,
        "payload_left_kg": one.list.payload_left_kg,
        "price": None if one.price is None else dataclasses.asdict(one.price),
    }


def _days(days: Days) -> dict[str, Any]:
    return {
        "place": days.place.name,
        "month": days.month,
        "season": days.season or None,
        "safe_days": days.safe_days,
        "days_unplugged": dataclasses.asdict(days.days),
        "chance_lasts": days.chance_lasts,
    }
