"""The list of what to buy as a JSON document (schema 1), as CSV and as a workbook."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
from typing import Any

from solarsim.answers.buy.buy import BuyAnswer
from solarsim.answers.buy.item import GROUPS, Item
from solarsim.inputs.files.cells import csv_text
from solarsim.present.check.documents import RULES_CAUTION
from solarsim.present.words import CAUTIONS

__all__ = ["BUY_CAUTIONS", "amount_text", "buy_csv", "buy_document", "buy_xlsx", "totals"]

BUY_CAUTIONS = (CAUTIONS, RULES_CAUTION)
_COLUMNS = ("group", "part", "quantity", "unit", "about", "runs", "each_kg", "all_kg", "roof_kg",
            "weight_given", "each_cost", "all_cost")  # fmt: skip
# A workbook carries the time of its making; a fixed one makes equal lists equal files.
_MADE = dt.datetime(2000, 1, 1)


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
    """Return the list as a workbook: numbers as numbers, and every text as text, never a formula.

    Equal lists give equal bytes.
    """
    import xlsxwriter

    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"title": f"What to buy: {_line(answer)}", "created": _MADE})
        sheet = book.add_worksheet("what to buy")
        text = book.add_format({"text_wrap": True, "valign": "top", "quote_prefix": True})
        bold = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
        red = book.add_format({"bold": True, "font_color": "#B3261E"})
        plain = book.add_format({"valign": "top", "num_format": "#,##0.###"})
        row = 0
        for line in _above(answer):
            sheet.write_string(row, 0, line, red if line.startswith("STOP") else None)
            row += 1
        for column, name in enumerate(_COLUMNS):
            sheet.write_string(row, column, name, bold)
        sheet.freeze_panes(row + 1, 0)
        for item in answer.items:
            row += 1
            for column, value in enumerate(_row(item).values()):
                if isinstance(value, float) and not isinstance(value, bool):
                    sheet.write_number(row, column, value, plain)
                elif value is not None:
                    sheet.write_string(row, column, str(value), text)
        for column, wide in enumerate((20, 32, 9, 7, 40, 16, 9, 9, 9, 9, 10, 10)):
            sheet.set_column(column, column, wide)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
    return out.getvalue()


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
