"""Counts of things in words."""

from __future__ import annotations

__all__ = ["count_text"]


def count_text(count: int, noun: str) -> str:
    """Return a count with its noun in the right number.

    Examples
    --------
    >>> count_text(1, "panel"), count_text(0, "panel"), count_text(12, "panel")
    ('1 panel', '0 panels', '12 panels')
    """
    return f"{count} {noun}" + ("" if count == 1 else "s")
