"""The list of vans in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.answers.stock.stock import StockAnswer
from solarsim.cards import Card
from solarsim.inputs.counts import count_text
from solarsim.present.sheet.texts import lasts_cell, load_texts
from solarsim.present.stock.document import changed_text, stock_document, stock_rows
from solarsim.present.stock.text import findings_text

__all__ = ["card", "document", "frame"]

document = stock_document
_SHOWN = 8


def card(answer: StockAnswer) -> Card:
    """Return the first vans with their days in winter, findings and changes."""
    rows = []
    for van in answer.vans[:_SHOWN]:
        if van.fault or van.winter is None:
            rows.append((van.file, van.fault))
            continue
        follow_days = van.winter.follow_days
        safe = lasts_cell(load_texts(), van.safe_days("winter") or 0.0, follow_days, at_least=True)
        words = (
            f"winter, days at least: {safe}; findings: {findings_text(van)}; {changed_text(van)}"
        )
        rows.append((van.file, f"{words}; never rely on this alone" if van.medical else words))
    if len(answer.vans) > _SHOWN:
        rows.append(("and", f"{len(answer.vans) - _SHOWN} more: .frame()"))
    broken = f", {len(answer.broken)} of which cannot be used" if answer.broken else ""
    return Card(f"{count_text(len(answer.vans), 'van')} in {answer.folder}{broken}", rows)


def frame(answer: StockAnswer) -> pd.DataFrame:
    """Return one row a van, broken ones too."""
    return pd.DataFrame(stock_rows(answer))
