"""Windows of the local clock in which something may run."""

from __future__ import annotations

import itertools
from typing import Annotated

from pydantic import Field

__all__ = ["Window", "Windows", "check_windows", "unrolled_windows"]

StartHour = Annotated[float, Field(ge=0.0, lt=24.0)]
EndHour = Annotated[float, Field(ge=0.0, le=24.0)]
Window = Annotated[tuple[StartHour, EndHour], Field(strict=False)]
Windows = Annotated[tuple[Window, ...], Field(strict=False)]


def unrolled_windows(windows: Windows) -> list[tuple[float, float]]:
    """Windows with their ends after their starts: one that crosses midnight ends past 24.

    Examples
    --------
    >>> unrolled_windows(((7.0, 9.0), (22.0, 2.0)))
    [(7.0, 9.0), (22.0, 26.0)]
    """
    return [(start, end if end > start else end + 24.0) for start, end in windows]


def check_windows(windows: Windows, name: str) -> None:
    """Refuse windows that are empty or overlap.

    Raises
    ------
    ValueError
        Names the field and the clock hour.
    """
    if not windows:
        raise ValueError(f"{name} must hold at least one [from, to]")
    for start, end in windows:
        if start == end:
            raise ValueError(f"{name}: [{start:g}, {end:g}] is empty; the whole day is [0, 24]")
    pieces: list[tuple[float, float]] = []
    for start, end in unrolled_windows(windows):
        pieces.append((start, min(end, 24.0)))
        if end > 24.0:
            pieces.append((0.0, end - 24.0))
    pieces.sort()
    for (_, end), (start, _) in itertools.pairwise(pieces):
        if start < end:
            raise ValueError(f"{name} overlap at {start:g} o'clock")
