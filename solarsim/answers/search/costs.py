"""Price, weight and height of what a search chooses: panels, batteries, controller, DC-DC charger.

Everything else of a van (inverter, cables, fuses) is not chosen here and counts for nothing in the
comparison; `buy` lists it all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solarsim.answers.buy.devices import (
    battery_kg,
    battery_name,
    controller_name,
    dcdc_name,
    mount_kg,
    mount_name,
    panel_kg,
    panel_name,
)
from solarsim.answers.buy.item import example_kg
from solarsim.answers.search.space import Space
from solarsim.answers.tune.weights import cost_in_panel_w
from solarsim.inputs.panels import Panels
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Battery, Van
from solarsim.power.design import design_of

__all__ = ["Costs"]


class Costs:
    """What designs of a space cost and weigh.

    Parameters
    ----------
    van : Van
        Its own prices stand where the file gives none.
    prices : Prices or None
        The user's own prices and weights.

    Attributes
    ----------
    missing : tuple of str
        Parts without a price that would be needed to compare the designs; empty where all are
        known. See `settle`.
    counted : tuple of str
        What a price is of.
    """

    def __init__(self, van: Van, prices: Prices | None) -> None:
        parts = () if prices is None else prices.parts
        self._cost = {part.part: part.cost for part in parts if part.cost is not None}
        self._kg = {part.part: part.weight_kg for part in parts if part.weight_kg is not None}
        for name, own in (
            (panel_name(van.panels), van.panels.cost),
            (battery_name(van.battery), van.battery.cost),
        ):
            if own is not None:
                self._cost.setdefault(name, own)
        self.missing: tuple[str, ...] = ()
        self.counted: tuple[str, ...] = ("panels", "batteries")

    def knows(self, part: Panels | Battery) -> bool:
        """Whether a kind of panel or battery has a price."""
        name = panel_name(part) if isinstance(part, Panels) else battery_name(part)
        return name in self._cost

    @property
    def weights_given(self) -> bool:
        """Whether the user gave any weight."""
        return bool(self._kg)

    def settle(self, space: Space, vans: Sequence[Van]) -> None:
        """Find out which prices count and whether one of them is missing.

        Those of controllers and DC-DC chargers count where several were asked for: else they are
        the same, or follow from the panels.
        """
        counted = ["panels", "batteries"]
        if space.controllers_a is not None and len(space.controllers_a) > 1:
            counted.append("controller")
        if len(space.dcdc_a) > 1:
            counted.append("DC-DC charger")
        self.counted = tuple(counted)
        wanted = {name: None for van in vans for name, _ in self._bought(van)}
        self.missing = tuple(name for name in wanted if name not in self._cost)

    def price(self, van: Van) -> float | None:
        """Price of the parts that count; None where any design's is not known."""
        if self.missing:
            return None
        # To the thousandth, so that equal parts added up in another order stay equal.
        return round(sum(number * self._cost[name] for name, number in self._bought(van)), 3)

    def in_panel_w(self, van: Van) -> float:
        """Price by what parts usually cost beside each other, as in `tune`."""
        dcdc_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
        return cost_in_panel_w(van, design_of(van), dcdc_a=dcdc_a)

    def parts_kg(self, van: Van) -> float:
        """Weight of panels with what holds them, batteries, controller and DC-DC charger, kg."""
        panels, battery = van.panels, van.battery
        kg = panels.count * (
            self._weight(panel_name(panels), panel_kg(panels))
            + self._weight(mount_name(panels), mount_kg(panels))
        )
        kg += battery.units * self._weight(battery_name(battery), battery_kg(battery))
        if panels.count:
            rating = van.controller
            like_kg = example_kg("solar controller", rating.max_output_a)
            kg += self._weight(controller_name(rating), like_kg)
        dcdc_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
        if dcdc_a > 0.0:
            kg += self._weight(dcdc_name(van, dcdc_a), example_kg("dcdc charger", dcdc_a))
        return round(kg, 3)

    def _weight(self, name: str, like_kg: float) -> float:
        given = self._kg.get(name)
        return like_kg if given is None else given

    def _bought(self, van: Van) -> Iterator[tuple[str, int]]:
        if van.panels.count:
            yield panel_name(van.panels), van.panels.count
        yield battery_name(van.battery), van.battery.units
        if "controller" in self.counted and van.panels.count:
            yield controller_name(van.controller), 1
        dcdc_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
        if "DC-DC charger" in self.counted and dcdc_a > 0.0:
            yield dcdc_name(van, dcdc_a), 1
