"""Shares in words."""

from __future__ import annotations

__all__ = ["percent"]


def percent(share: float, places: int = 0) -> str:
    """Return a share in percent, spelled as everywhere: with a space before the sign.

    References
    ----------
    .. [1] ISO 80000-1: a space stands before the sign %.

    Examples
    --------
    >>> percent(0.405), percent(1.0), percent(0.0275, 1)
    ('40 %', '100 %', '2.8 %')
    """
    return f"{100.0 * share:.{places}f} %"
