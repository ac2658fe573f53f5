"""The parts library as an answer of its own."""

from __future__ import annotations

import dataclasses
from typing import Any, ClassVar

from solarsim.inputs.parts import part_tables
from solarsim.records import Answer

__all__ = ["PartsAnswer", "parts"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class PartsAnswer(Answer):
    """Generic parts by name, each a table of its numbers with their source."""

    _face: ClassVar[str] = "parts"

    panels: dict[str, dict[str, Any]]
    batteries: dict[str, dict[str, Any]]
    appliances: dict[str, dict[str, Any]]


def parts() -> PartsAnswer:
    """Return the parts library: what ``part = "..."`` in a van or a profile may name.

    Examples
    --------
    >>> parts().panels["200 W rigid"]["power_w"]
    200.0
    """
    kinds = {
        kind: {name: dict(table) for name, table in part_tables(kind).items()}
        for kind in ("panels", "batteries", "appliances")
    }
    return PartsAnswer(**kinds)
