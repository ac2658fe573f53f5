"""The list of vans as a JSON document (schema 1), and as CSV."""

from __future__ import annotations

from typing import Any

from solarsim.answers.stock.stock import StockAnswer, VanRow
from solarsim.electrical.findings import SEVERITIES
from solarsim.inputs.files.cells import csv_text
from solarsim.present.words import CAUTIONS

__all__ = ["changed_text", "stock_csv", "stock_document", "stock_rows"]


def stock_document(answer: StockAnswer) -> dict[str, Any]:
    """Return the document of `stock`: one van a row, broken ones too."""
    return {
        "schema": 1,
        "cautions": CAUTIONS,
        "folder": answer.folder,
        "runs": answer.runs,
        "seed": answer.seed,
        "vans": [
            row | {"changes": list(van.changes), "medical": list(van.medical)}
            for row, van in zip(stock_rows(answer), answer.vans, strict=True)
        ],
        "others": list(answer.others),
        "broken": len(answer.broken),
    }


def stock_rows(answer: StockAnswer) -> list[dict[str, Any]]:
    """Return one flat row a van; what a broken one does not have is None."""
    return [_row(van) for van in answer.vans]


def _row(van: VanRow) -> dict[str, Any]:
    winter, summer = van.winter, van.summer
    known = winter is not None
    return {
        "file": van.file,
        "van": van.name,
        "place": van.place,
        "winter_safe_days": van.safe_days("winter"),
        "winter_p50_days": None if winter is None else winter.p50,
        "summer_safe_days": van.safe_days("summer"),
        "summer_p50_days": None if summer is None else summer.p50,
        "follow_days": None if winter is None else winter.follow_days,
        "safe_share": (0.99 if van.medical else 0.9) if known else None,
        "medical": ", ".join(van.medical),
        "worst_finding": van.worst,
        **{f"{one}_findings": van.findings.get(one, 0) if known else None for one in SEVERITIES},
        "changed": changed_text(van),
        "last_sheet": van.sheet_made,
        "sheet": van.sheet,
        "fault": van.fault,
    }


def changed_text(van: VanRow) -> str:
    """Return what changed since the last sheet in a few words; empty for a broken van."""
    if van.winter is None:
        return ""
    return "; ".join(van.changes) or "nothing"


def stock_csv(answer: StockAnswer) -> str:
    """Return the list as CSV; no cell is one that a spreadsheet would run."""
    rows = stock_rows(answer)
    return csv_text(list(rows[0]), rows, digits=".4f")
