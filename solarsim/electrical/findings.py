"""One finding: what was worked out, the limit that it breaks, and what to change."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from typing import Literal, NamedTuple

__all__ = ["SEVERITIES", "Compared", "Finding", "Severity", "worst_first"]

Severity = Literal["stop", "warn", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop", "warn", "note")


class Compared(NamedTuple):
    """A value, the limit that it is held against, and the unit of both."""

    value: float
    limit: float
    unit: str


@dataclasses.dataclass(frozen=True)
class Finding:
    """What is wrong with a design.

    Attributes
    ----------
    id : str
        Its kind, such as ``"cable-ampacity"``.
    severity : str
        ``"stop"``: do not build or connect this; ``"warn"``: it will trip, wear or waste;
        ``"note"``: worth knowing.
    where : str
        The run, appliance or part that it is about; empty where it is the van.
    compared : Compared
        What was worked out and the limit.
    source : str
        Where the limit stands; "common practice, no source" where that is so.
    message : str
        What is wrong, in one sentence.
    advice : str
        What to change.
    """

    id: str
    severity: Severity
    where: str
    compared: Compared
    source: str
    message: str
    advice: str


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort by severity and keep the order otherwise."""
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))
