"""What is known of each candidate design, and the answer that holds them all."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

from solarsim.answers.simulation.summary import DaysUnplugged, Situation

__all__ = ["TuneAnswer", "TunedDesign"]


@dataclasses.dataclass(frozen=True)
class TunedDesign:
    """One candidate and how it does.

    Attributes
    ----------
    panels, units : int
        Panels on the roof and battery units.
    capacity_ah, controller_a : float
        Rated capacity, and the controller output current that the panels need (never below the
        van's own).
    chemistry : str
        Of the bank.
    dcdc_a, tilt_deg : float
        Alternator charger and panel tilt.
    chance_lasts : float
        Share of runs without a cut-off during the stay.
    days : DaysUnplugged
        Days to the first cut-off.
    refused_wh_per_day : float
        Sun that the full or cold bank refused and the controller clipped.
    cost : float or None
        Panels and units at the van's prices; None where a price is missing, or where banks of a
        chemistry are tried that the van's price is not for.
    """

    panels: int
    units: int
    capacity_ah: float
    controller_a: float
    chemistry: str
    dcdc_a: float
    tilt_deg: float
    chance_lasts: float
    days: DaysUnplugged
    refused_wh_per_day: float
    cost: float | None


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class TuneAnswer(Situation):
    """All candidates on the same weather; the van's own counts play no part.

    Attributes
    ----------
    designs : tuple of TunedDesign
        Every candidate.
    choice : TunedDesign or None
        The cheapest that meets the target chance; without prices the one with the fewest panels
        and units together. None where no candidate does.
    pareto : tuple of TunedDesign
        Candidates that no other matches at a lower price, or without prices with fewer panels or
        less battery.
    stops_paying : TunedDesign or None
        On the choice's bank (or the largest): the count from which on no further panel adds more
        than next to nothing. None where the last one still pays.
    reason : str
        The choice in words.
    notes : tuple of str
        Caveats about the candidates.
    """

    _face: ClassVar[str] = "tune"

    designs: tuple[TunedDesign, ...]
    choice: TunedDesign | None
    pareto: tuple[TunedDesign, ...]
    stops_paying: TunedDesign | None
    reason: str
    notes: tuple[str, ...] = ()
