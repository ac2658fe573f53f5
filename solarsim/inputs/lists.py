"""Lists as people type them on a command line: ``0-8``, ``2,4,6``, ``lfp,agm``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from solarsim.errors import InputError

__all__ = ["read_counts", "read_listed", "read_names", "read_numbers"]


def read_counts(text: str | None, *, field: str, least: int, most: int) -> list[int] | None:
    """Read whole numbers and ranges, such as ``0-4,6``; None stays None.

    Raises
    ------
    InputError
        Something else, or a number outside `least` to `most`.

    Examples
    --------
    >>> read_counts("0-2, 5", field="--panels", least=0, most=60)
    [0, 1, 2, 5]
    """
    if text is None:
        return None
    counts: set[int] = set()
    for item in text.split(","):
        match = re.fullmatch(r"\s*(\d{1,4})\s*(?:-\s*(\d{1,4})\s*)?", item)
        if match is None:
            raise InputError(f"got {text!r}; must look like '0-8' or '2,4,6'", field=field)
        first = int(match[1])
        last = first if match[2] is None else int(match[2])
        if not least <= first <= last <= most:
            raise InputError(f"got {item.strip()!r}; must lie in {least} to {most}", field=field)
        counts.update(range(first, last + 1))
    return sorted(counts)


def read_numbers(text: str | None, *, field: str, least: float, most: float) -> list[float] | None:
    """Read numbers separated by commas; None stays None.

    Raises
    ------
    InputError
        Something that is no number, or outside `least` to `most`.

    Examples
    --------
    >>> read_numbers("30,60", field="--dcdc", least=0.0, most=400.0)
    [30.0, 60.0]
    """
    if text is None:
        return None
    numbers = []
    for item in text.split(","):
        try:
            number = float(item)
        except ValueError:
            raise InputError(f"got {text!r}; must look like '30,60'", field=field) from None
        if not least <= number <= most:
            message = f"got {item.strip()}; must lie in {least:g} to {most:g}"
            raise InputError(message, field=field)
        numbers.append(number)
    return sorted(set(numbers))


def read_names(text: str | None, *, field: str, known: Sequence[str]) -> list[str] | None:
    """Read known names separated by commas; None stays None.

    Raises
    ------
    InputError
        A name that is not known.

    Examples
    --------
    >>> read_names("lfp, AGM", field="--chemistry", known=("lfp", "agm"))
    ['lfp', 'agm']
    """
    if text is None:
        return None
    names = [item.strip().lower() for item in text.split(",")]
    for name in names:
        if name not in known:
            raise InputError(f"got {name!r}; known: {', '.join(known)}", field=field)
    return list(dict.fromkeys(names))


def read_listed(text: str | None, *, field: str) -> list[str] | None:
    """Read names separated by commas as they are; None stays None.

    Raises
    ------
    InputError
        Nothing between two commas.

    Examples
    --------
    >>> read_listed("own, 200 W rigid", field="--kinds")
    ['own', '200 W rigid']
    """
    if text is None:
        return None
    names = [item.strip() for item in text.split(",")]
    if not all(names):
        raise InputError(f"got {text!r}; must look like 'own,200 W rigid'", field=field)
    return list(dict.fromkeys(names))
