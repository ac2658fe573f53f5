"""Shares in words."""

from __future__ import annotations

__all__ = ["chance_text", "percent", "points_text"]

# Half a percent: what rounding may take from a chance or add to it.
_HALF = 0.005


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


def chance_text(share: float, *, short: bool = False) -> str:
    """Return a chance in whole percents; one that is not certain never reads as certain.

    `short` gives the nearest whole percent that is no certainty, for small cells.

    Examples
    --------
    >>> chance_text(0.405), chance_text(0.9971), chance_text(1.0), chance_text(0.0014)
    ('40 %', 'over 99 %', '100 %', 'under 1 %')
    >>> chance_text(0.9971, short=True)
    '99 %'
    """
    low, high = 0.01, 0.99
    if high + _HALF <= share < 1.0:
        return percent(high) if short else f"over {percent(high)}"
    if 0.0 < share < low - _HALF:
        return percent(low) if short else f"under {percent(low)}"
    return percent(share)


def points_text(share: float) -> str:
    """Return a change of a chance in percentage points, with its sign.

    Examples
    --------
    >>> points_text(0.03), points_text(-0.0104), points_text(-0.001)
    ('+3 points', '-1 point', '+0 points')
    """
    points = f"{100.0 * share:+z.0f}"
    return f"{points} point" + ("" if points in {"+1", "-1"} else "s")
