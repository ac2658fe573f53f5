"""One published figure beside what solarsim gives for it."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable

__all__ = ["Comparison"]


@dataclasses.dataclass(frozen=True)
class Comparison:
    """A published value, where it stands, and how to get ours.

    Attributes
    ----------
    subject : str
        Heading under which it is shown, such as ``"sun position"``.
    what : str
        The quantity and its case, short enough for a row of a table.
    source : str
        Document, table or example; says "from memory" or "common practice, no source" where that
        is so.
    expected, tolerance : float
        Published value and the largest difference that passes, in `unit`.
    unit : str
        Unit of both; empty for a pure number.
    got : callable
        Works out our value from the same functions that the main path uses.
    """

    subject: str
    what: str
    source: str
    expected: float
    tolerance: float
    unit: str
    got: Callable[[], float]

    @functools.cached_property
    def value(self) -> float:
        """Our value, worked out once."""
        return self.got()
