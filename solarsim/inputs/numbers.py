"""Numbers that are given beside a van's file: limits, money, percentages."""

from __future__ import annotations

from typing import Any

from solarsim.errors import InputError

__all__ = ["checked_number"]


def checked_number(
    given: Any, *, field: str, most: float, unit: str = "", zero: bool = True
) -> float | None:
    """Return a number of a range; None stays None.

    Parameters
    ----------
    given : float or None
        What was given.
    field : str
        Its name, for messages.
    most : float
        The largest that is allowed.
    unit : str
        What stands behind the range in messages.
    zero : bool
        Whether 0 is allowed.

    Raises
    ------
    InputError
        No number, or out of its range.

    Examples
    --------
    >>> checked_number(19, field="--tax", most=100.0, unit="percent")
    19.0
    """
    if given is None:
        return None
    number = isinstance(given, int | float) and not isinstance(given, bool)
    # No range holds what is not a number.
    if not number or not (0.0 <= given <= most) or (given == 0.0 and not zero):
        allowed = f"{'0 to' if zero else 'above 0, up to'} {most:,.0f} {unit}".rstrip()
        raise InputError(f"got {given!r}; must be {allowed}", field=field)
    return float(given)
