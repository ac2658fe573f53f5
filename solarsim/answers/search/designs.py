"""What a search is asked, what is known of each design that it names, and its answer."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

from solarsim.answers.question import Question
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.inputs.van import Van
from solarsim.records import DrawnAnswer

__all__ = ["BestDesign", "InSituation", "Limits", "Removed", "SearchAnswer"]


@dataclasses.dataclass(frozen=True)
class Limits:
    """What a design must hold.

    Attributes
    ----------
    target_days : float or None
        Days that nine stays in ten last; None asks for the stay's target chance instead.
    max_price : float or None
        Price of the parts that the search chooses.
    max_parts_kg : float or None
        Their weight, kg.
    max_rise_m : float or None
        How high the raised edge of a tilted panel may stand above its lower one, m.
    """

    target_days: float | None = None
    max_price: float | None = None
    max_parts_kg: float | None = None
    max_rise_m: float | None = None


@dataclasses.dataclass(frozen=True)
class InSituation:
    """How a design does at one place in one month."""

    place: str
    month: int
    days: DaysUnplugged
    chance_lasts: float


@dataclasses.dataclass(frozen=True)
class BestDesign:
    """A design that no other of the space matches in price, weight and days.

    Attributes
    ----------
    van : Van
        The whole van, ready to be written.
    panel, battery : str
        Kinds of panel and of battery, as `buy` names them.
    panels, units : int
        How many.
    tilt_deg, dcdc_a, controller_a : float
        Tilt of the panels, DC-DC charger and controller.
    capacity_ah : float
        Of the bank at the system's voltage.
    chemistry : str
        Of the bank.
    price : float or None
        Of the parts that the search chooses; None where a price is missing.
    cost_in_panel_w : float
        The same by what parts usually cost beside each other, in watts of panel.
    parts_kg : float
        Weight of those parts, kg.
    rise_m : float
        How high the raised edge of a tilted panel stands above its lower one, m.
    p1_days : float or None
        Days that 99 stays in 100 last where and when it is worst; None where there are too few
        runs to tell.
    p10_days, chance_lasts : float
        Days that nine stays in ten last, and the chance of the whole stay, likewise.
    situations : tuple of InSituation
        The same at every place and in every month.
    changes : tuple of str
        What changes against the van as it is.
    doubt : str
        What speaks against it though nothing forbids it; empty where nothing does.
    """

    van: Van
    panel: str
    panels: int
    tilt_deg: float
    battery: str
    units: int
    capacity_ah: float
    chemistry: str
    dcdc_a: float
    controller_a: float
    price: float | None
    cost_in_panel_w: float
    parts_kg: float
    rise_m: float
    p1_days: float | None
    p10_days: float
    chance_lasts: float
    situations: tuple[InSituation, ...]
    changes: tuple[str, ...]
    doubt: str


@dataclasses.dataclass(frozen=True)
class Removed:
    """How many designs a rule took out, and what it says of one of them.

    A design that breaks several rules counts under each.
    """

    rule: str
    designs: int
    example: str


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class SearchAnswer(DrawnAnswer):
    """The best builds of a space.

    Attributes
    ----------
    question : Question
        The first of the situations.
    situations : tuple of (str, int)
        Places and months.
    target : str
        What a design must reach, in words.
    meets : bool
        Whether any design that may be built reaches it; else the designs are the best of those
        that fall short of it.
    designs : tuple of BestDesign
        The Pareto set of price, weight and days, cheapest first; all may be built. Days are
        those that nine stays in ten last, 99 in 100 where someone's health depends on a device.
    choice : BestDesign or None
        The cheapest of them; None where none reaches the target.
    candidates : int
        Designs in the space.
    excluded : tuple of Removed
        What was left out before anything was simulated, with the reason.
    short_of_target : int
        Designs that cannot reach the target.
    reaching_stopped : int
        Where no design that may be built reaches the target: those that reach it and may not be
        built. All that is counted below is then of those short of the target.
    reaching_stopped_by : tuple of Removed
        By which rules.
    beaten : int
        Designs that one of those named beats.
    stopped : int
        Designs that would be among those named and may not be built.
    stopped_by : tuple of Removed
        By which rules.
    notes : tuple of str
        How prices and weights are counted, and other caveats.
    """

    _face: ClassVar[str] = "search"

    question: Question
    situations: tuple[tuple[str, int], ...]
    target: str
    meets: bool
    designs: tuple[BestDesign, ...]
    choice: BestDesign | None
    candidates: int
    excluded: tuple[Removed, ...]
    short_of_target: int
    reaching_stopped: int
    reaching_stopped_by: tuple[Removed, ...]
    beaten: int
    stopped: int
    stopped_by: tuple[Removed, ...]
    notes: tuple[str, ...]
