"""The list of what to buy as a JSON document (schema 1), as CSV and as a workbook."""

from __future__ import annotations

import dataclasses
from typing import Any

from solarsim.answers.buy.buy import BuyAnswer
from solarsim.answers.buy.item import GROUPS, Item
from solarsim.inputs.files.cells import csv_text
from solarsim.present.check.documents import RULES_CAUTION
from solarsim.present.words import CAUTIONS
from solarsim.present.workbook import NUMBER, workbook_bytes

__all__ = ["BUY_CAUTIONS", "amount_text", "buy_csv", "buy_document", "buy_xlsx", "totals"]

BUY_CAUTIONS = (CAUTIONS, RULES_CAUTION)
_COLUMNS = ("group", "part", "quantity", "unit", "about", "runs", "each_kg", "all_kg", "roof_kg",
            "weight_given", "each_cost", "all_cost")  # fmt: skip


def buy_document(answer: BuyAnswer) -> dict[str, Any]:
    """Return the document of `buy`: every line, totals, what is taken for granted."""
    return {
        "schema": 1,
        "cautions": list(BUY_CAUTIONS),
        "van": answer.check.van.van.name,
        "rules": answer.check.rules.name,
        "stops": list(answer.stops),
        "items": [dataclasses.asdict(item) for item in answer.items],
        "currency": answer.currency,
        "total_cost": answer.total_cost,
        "unpriced": answer.unpriced,
        "total_kg": answer.total_kg,
        "roof_kg": answer.roof_kg,
        "payload_left_kg": answer.payload_left_kg,
        "notes": list(answer.notes),
    }


def amount_text(item: Item) -> str:
    """How much of a part, with its unit where that is a length.

    Examples
    --------
    >>> from solarsim.answers.buy.item import Item
    >>> amount_text(Item("cables", "c", "m", 4.5, "", (), 0.0, 0.1, 0.45, False, None, None))
    '4.5 m'
    """
    return f"{item.quantity:g} m" if item.unit == "m" else f"{item.quantity:g}"


def totals(answer: BuyAnswer) -> list[tuple[str, str]]:
    """Return the totals in words, label and value."""
    rows = []
    if answer.unpriced < len(answer.items):
        more = f", and {answer.unpriced} lines without a price" if answer.unpriced else ""
        rows.append(("price", f"{answer.total_cost:,.2f} {answer.currency}".strip() + more))
    rows += [
        ("weight", f"{answer.total_kg:.1f} kg"),
        ("on the roof", f"{answer.roof_kg:.1f} kg"),
    ]
    if answer.payload_left_kg is not None:
        left_kg = answer.payload_left_kg
        over = "" if left_kg >= 0.0 else ": OVERLOADED before anybody is aboard"
        rows.append(("payload left", f"{left_kg:z.1f} kg{over}"))
    return rows


def buy_csv(answer: BuyAnswer) -> str:
    """Return the list as CSV; cautions, stops and totals in comment lines above the heading."""
    rows = [_row(item) for item in answer.items]
    return csv_text(_COLUMNS, rows, above=_above(answer), digits=".4f")


def buy_xlsx(answer: BuyAnswer) -> bytes:
    """Return the list as a workbook, as `workbook_bytes`."""
    return workbook_bytes(
        f"What to buy: {_line(answer)}",
        "what to buy",
        _above(answer),
        _COLUMNS,
        ((NUMBER, _cells(item)) for item in answer.items),
        (20, 32, 9, 7, 40, 16, 9, 9, 9, 9, 10, 10),
    )


def _cells(item: Item) -> list[float | str | None]:
    values = _row(item).values()
    return [one if one is None or isinstance(one, float) else str(one) for one in values]


def _line(answer: BuyAnswer) -> str:
    return " ".join(answer.check.van.van.name.split())


def _above(answer: BuyAnswer) -> list[str]:
    stops = [f"STOP, do not build it so: {' '.join(stop.split())}" for stop in answer.stops]
    sums = [f"{label}: {value}" for label, value in totals(answer)]
    return [f"What to buy: {_line(answer)}", *BUY_CAUTIONS, *stops, *sums, *answer.notes]


def _row(item: Item) -> dict[str, Any]:
    return {
        "group": GROUPS[item.group],
        "part": item.part,
        "quantity": float(item.quantity),
        "unit": item.unit,
        "about": item.about,
        "runs": ", ".join(map(str, item.runs)),
        "each_kg": item.each_kg,
        "all_kg": item.all_kg,
        "roof_kg": item.roof_kg,
        "weight_given": "yes" if item.weight_given else "no",
        "each_cost": item.each_cost,
        "all_cost": item.all_cost,
    }
