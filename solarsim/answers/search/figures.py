"""What is known of every candidate ahead of any weather, its limits, and how it is counted."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from solarsim.answers.search.changes import plans_driving
from solarsim.answers.search.costs import Costs
from solarsim.answers.search.designs import Limits, Removed
from solarsim.answers.search.space import Case, Space
from solarsim.answers.tune.weights import WEIGHTS_IN_WORDS
from solarsim.arrays import BoolArray
from solarsim.inputs.van import Van

__all__ = ["Figures", "figures_of", "notes_of", "some_of", "within"]


@dataclasses.dataclass(frozen=True)
class Figures:
    """What is known of every candidate ahead of any weather, in the order of the cases.

    Attributes
    ----------
    vans : list of Van
        The candidates.
    price : list of float or None
        Of the parts that count; None where a price is missing.
    panel_w : list of float
        The same by what parts usually cost beside each other.
    parts_kg, rise_m : list of float
        Weight, and height of the raised edge above the lower one.
    """

    vans: list[Van]
    price: list[float | None]
    panel_w: list[float]
    parts_kg: list[float]
    rise_m: list[float]


def figures_of(cases: Sequence[Case], space: Space, costs: Costs) -> Figures:
    """Return the figures of every candidate; `costs` is settled by them."""
    vans = [van for case in cases for van in case.vans]
    costs.settle(space, vans)
    return Figures(
        vans=vans,
        price=[costs.price(van) for van in vans],
        panel_w=[costs.in_panel_w(van) for van in vans],
        parts_kg=[costs.parts_kg(van) for van in vans],
        rise_m=[case.rise_m[van.panels.count] for case in cases for van in case.vans],
    )


def within(figures: Figures, limits: Limits) -> tuple[BoolArray, list[Removed]]:
    """Return which candidates hold the limits, and how many each limit leaves out."""
    wanted = np.ones(len(figures.vans), dtype=bool)
    removed = []
    for rule, values, most, text in (
        ("price", figures.price, limits.max_price, "more than {:,.2f}"),
        ("weight", figures.parts_kg, limits.max_parts_kg, "more than {:g} kg"),
        ("height", figures.rise_m, limits.max_rise_m, "more than {:g} m"),
    ):
        if most is None:
            continue
        over = np.array([value is not None and value > most + 1e-9 for value in values], dtype=bool)
        if over.any():
            removed.append(Removed(rule, int(over.sum()), text.format(most)))
        wanted &= ~over
    return wanted, removed


def notes_of(van: Van, space: Space, costs: Costs) -> tuple[str, ...]:
    """Say how prices, weights and heights are counted, and what was not looked at."""
    notes = []
    if costs.missing:
        notes.append(
            f"Prices are not all known (none for {some_of(costs.missing)}): {WEIGHTS_IN_WORDS}."
        )
    else:
        counted = ", ".join(costs.counted)
        notes.append(f"Prices are of these alone: {counted}; `buy` prices all of a van.")
    notes.append(
        "Weights are of panels with what holds them, batteries, controller and DC-DC charger; "
        "those that no file gives are plain examples by class (common practice, no source)."
    )
    if max(space.tilts_deg) > 0.0:
        notes.append(
            "Heights are of a tilted panel's raised edge above its lower one; brackets and frame "
            "come on top, and wind on what stands up is not looked at."
        )
    if len(space.dcdc_a) > 1 and not plans_driving(van):
        notes.append(
            "This stay plans no driving: a DC-DC charger of any size, or none, makes no "
            "difference to its days. That is true of this stay alone; whoever wants to charge "
            "on the road gives alternator.drive_h first."
        )
    if van.roof is None:
        notes.append("No roof is given: whether the panels fit was not looked at.")
    return tuple(notes)


def some_of(names: Sequence[str]) -> str:
    """Name the first few."""
    shown = ", ".join(f"'{name}'" for name in names[:3])
    return shown if len(names) <= 3 else f"{shown} and {len(names) - 3} more"
