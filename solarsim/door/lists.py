"""Lists of numbers and names as a script gives them; all else is refused."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from solarsim.answers.given import given_text, given_whole, place_text
from solarsim.errors import InputError
from solarsim.inputs.base import plain_value
from solarsim.inputs.prices import Prices, checked_prices, read_prices

__all__ = ["given_counts", "given_names", "given_numbers", "given_places", "given_prices"]


def given_counts(values: Any, *, field: str, least: int, most: int) -> list[int] | None:
    """Return whole numbers of a range, also numpy's; None stays None.

    Raises
    ------
    InputError
        Something else, or nothing in it.
    """
    if values is None:
        return None
    allowed = f"{least} to {most}"
    return [
        given_whole(value, field=field, least=least, most=most, allowed=allowed)
        for value in _listed(values, field=field, of="whole numbers")
    ]


def given_numbers(values: Any, *, field: str, least: float, most: float) -> list[float] | None:
    """Return numbers of a range, also numpy's; None stays None.

    Raises
    ------
    InputError
        Something else, or nothing in it.
    """
    if values is None:
        return None
    found = []
    for value in _listed(values, field=field, of="numbers"):
        if isinstance(value, bool) or not isinstance(value, int | float) or math.isnan(value):
            raise InputError(f"got {value!r}; must be a number", field=field)
        if not least <= value <= most:
            raise InputError(f"got {value:g}; must lie in {least:g} to {most:g}", field=field)
        found.append(float(value))
    return found


def given_names(values: Any, *, field: str, known: Sequence[str] | None) -> list[str] | None:
    """Return names, of those that are known where `known` says which; None stays None.

    Raises
    ------
    InputError
        Something else, one text alone, or a name that is not known.
    """
    if values is None:
        return None
    found = []
    for value in _listed(values, field=field, of="names", least=0):
        if not isinstance(value, str):
            raise InputError(f"got {value!r}; must be a name", field=field)
        if known is not None and value not in known:
            raise InputError(f"got {value!r}; known: {', '.join(known)}", field=field)
        found.append(value)
    return found


def given_places(values: Any) -> list[str]:
    """Return places as texts; each as for `solarsim.place`.

    Raises
    ------
    InputError
        No list, or something in it that is no place.
    """
    if isinstance(values, str | Path) or not isinstance(values, Sequence):
        raise InputError(f"got {values!r}; must be a list of places", field="regions")
    return [place_text(value) for value in values]


def given_prices(prices: Any) -> Prices | None:
    """Return prices that were given as a file's name or a record; None stays None.

    Raises
    ------
    InputError
        Something else, or what `read_prices` refuses.
    """
    if prices is None:
        return None
    if isinstance(prices, Prices):
        return checked_prices(prices)
    allowed = "a TOML file, a shipped example's name or Prices"
    return read_prices(given_text(prices, field="prices", allowed=allowed))


def _listed(values: Any, *, field: str, of: str, least: int = 1) -> list[Any]:
    if isinstance(values, str | bytes | dict) or not isinstance(values, Iterable):
        raise InputError(f"got {values!r}; must be a list of {of}", field=field)
    found = [plain_value(value) for value in values]
    if len(found) < least:
        raise InputError(f"got an empty list; must be a list of {of}, or left out", field=field)
    return found
