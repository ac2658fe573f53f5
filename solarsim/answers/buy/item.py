"""One line of the list of what to buy."""

from __future__ import annotations

import dataclasses
from typing import Literal, NamedTuple

from solarsim.inputs.parts import part_table

__all__ = ["GROUPS", "Group", "Item", "Wanted", "example_kg"]

Group = Literal["generation", "storage", "devices", "switching", "fuses", "cables", "small"]
GROUPS: dict[Group, str] = {
    "generation": "Panels and solar controllers",
    "storage": "Batteries",
    "devices": "Inverter, chargers, converter",
    "switching": "Buses, switches, breakers",
    "fuses": "Fuses and holders",
    "cables": "Cables",
    "small": "Lugs, glands, labels",
}


class Wanted(NamedTuple):
    """A part that the circuit asks for, before like ones are added up.

    Attributes
    ----------
    group, part, unit, quantity, about, runs
        As of `Item`.
    on_roof : bool
        Whether it lies on the roof.
    weight_kg : float
        Example of the library for one, kg.
    """

    group: Group
    part: str
    quantity: float
    about: str
    weight_kg: float
    runs: tuple[int, ...] = ()
    unit: Literal["piece", "m"] = "piece"
    on_roof: bool = False


@dataclasses.dataclass(frozen=True)
class Item:
    """One line of the list.

    Attributes
    ----------
    group : str
        Where it stands in the list.
    part : str
        What it is, as a file of prices names it.
    unit : str
        ``"piece"``, or ``"m"`` of what is sold by length.
    quantity : float
        How many, or how many metres.
    about : str
        What it must bear and what it is for.
    runs : tuple of int
        Runs of the wiring plan that it belongs to.
    roof_kg : float
        Weight of what of it lies on the roof, kg.
    each_kg, all_kg : float
        Weight of one and of all, kg.
    weight_given : bool
        Whether the weight is the user's own, not the library's example.
    each_cost, all_cost : float or None
        Price of one and of all in the list's currency; None where none is given.
    """

    group: Group
    part: str
    unit: Literal["piece", "m"]
    quantity: float
    about: str
    runs: tuple[int, ...]
    roof_kg: float
    each_kg: float
    all_kg: float
    weight_given: bool
    each_cost: float | None
    all_cost: float | None


def example_kg(kind: str, amount: float = 0.0) -> float:
    """Return the library's example weight of a part, kg: common practice, no source.

    Parameters
    ----------
    kind : str
        A name of ``parts/weights.toml``.
    amount : float
        What it weighs by, in the unit that its entry names.

    Examples
    --------
    >>> round(example_kg("lfp battery", 1280.0), 2)
    10.88
    """
    entry = part_table("weights", kind)
    weight_kg: float = entry.get("kg", 0.0) + amount * entry.get("kg_per", 0.0)
    return weight_kg
