"""What is known of each candidate design, and the answer that holds them all."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

from solarsim.answers.simulation.summary import DaysUnplugged, Situation

__all__ = ["OneMore", "StoppedDesign", "TuneAnswer", "TunedDesign"]


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
    cost_in_panel_w : float
        Of panels, bank and DC-DC charger by what they usually cost beside each other, in watts of
        panel; decides where there are no prices.
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
    cost_in_panel_w: float


@dataclasses.dataclass(frozen=True)
class StoppedDesign:
    """A candidate that may not be built, and why."""

    design: TunedDesign
    reasons: tuple[str, ...]


@dataclasses.dataclass(frozen=True)
class OneMore:
    """What one more panel or battery, a whole string where it takes one, adds to the choice.

    Attributes
    ----------
    part : str
        ``"panel"`` or ``"battery"``.
    count : int
        Pieces in a string.
    days_gained : float
        Mean over the runs; days past those followed do not count.
    chance_gained : float
        Change of the chance to last the stay, -1 to 1.
    cost : float or None
        What it costs at the van's prices; None where there are none.
    """

    part: str
    count: int
    days_gained: float
    chance_gained: float
    cost: float | None


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class TuneAnswer(Situation):
    """All candidates on the same weather; the van's own counts play no part.

    Attributes
    ----------
    designs : tuple of TunedDesign
        Every candidate.
    choice : TunedDesign or None
        The cheapest that meets the target chance, fits on the roof and passes the electrical
        check; without prices by the usual weights. None where no candidate does.
    passed_over : tuple of StoppedDesign
        Candidates that meet the target for less, and may not be built.
    pareto : tuple of TunedDesign
        Candidates that pass the checks and that no other such matches at a lower price, or without
        prices with fewer panels or less battery; among all candidates where none passes.
    stops_paying : TunedDesign or None
        On the choice's bank (or the largest): the count from which on no further panel adds more
        than next to nothing. None where the last one still pays.
    one_more : tuple of OneMore
        What a panel and a battery more add to the choice, as far as they were tried and fit.
    reason : str
        The choice in words.
    notes : tuple of str
        Caveats about the candidates.
    """

    _face: ClassVar[str] = "tune"

    designs: tuple[TunedDesign, ...]
    choice: TunedDesign | None
    passed_over: tuple[StoppedDesign, ...]
    pareto: tuple[TunedDesign, ...]
    stops_paying: TunedDesign | None
    one_more: tuple[OneMore, ...]
    reason: str
    notes: tuple[str, ...] = ()
