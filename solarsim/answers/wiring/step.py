"""One line of the test sheet."""

from __future__ import annotations

import dataclasses
from typing import Literal

__all__ = ["STAGES", "Stage", "Step"]

Stage = Literal["seen", "dead", "solar", "bank", "load", "mains"]
STAGES: dict[Stage, str] = {
    "seen": "Seen, with everything off",
    "dead": "Measured dead: bank, panels, shore and engine disconnected",
    "solar": "Panels, each string by itself, before it is joined to anything",
    "bank": "Bank, before and as it is switched on",
    "load": "Under load",
    "mains": "Mains side: by a licensed electrician where the law asks for one",
}


@dataclasses.dataclass(frozen=True)
class Step:
    """One thing to look at or to measure.

    Attributes
    ----------
    number : int
        Its line on the sheet, from 1.
    stage : str
        When: ``"seen"``, ``"dead"``, ``"solar"``, ``"bank"``, ``"load"`` or ``"mains"``.
    what : str
        What is looked at or measured, and how.
    expected : str
        What is right for this van.
    source : str
        Where that stands; "this plan" where it is worked out from the circuit.
    runs : tuple of int
        Runs that it is about, by their numbers; empty where it is about the whole.
    licensed : bool
        Whether it is mains work, which many countries leave to licensed electricians.
    """

    number: int
    stage: Stage
    what: str
    expected: str
    source: str
    runs: tuple[int, ...] = ()
    licensed: bool = False
