"""Cells of tables that spreadsheets open."""

from __future__ import annotations

__all__ = ["safe_cell"]


def safe_cell(text: str) -> str:
    """Return a text that no spreadsheet runs as a formula: names are typed by people.

    Examples
    --------
    >>> safe_cell("=1+1"), safe_cell("fridge")
    ("'=1+1", 'fridge')
    """
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text
