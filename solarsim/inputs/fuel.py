"""What heat, hot water and cooking run on beside the bank, and how people use them."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record

__all__ = ["BURNT_FOR", "BurntFor", "Fuel", "FuelKind", "Habits"]

FuelKind = Literal["diesel", "propane", "petrol"]
RunsOn = Literal["diesel", "propane", "electricity"]
BurntFor = Literal["heat", "hot_water", "cooking"]
BURNT_FOR: tuple[BurntFor, ...] = ("heat", "hot_water", "cooking")

Efficiency = Annotated[float, Field(ge=0.1, le=1.0)]


class Fuel(Record):
    """What heat, hot water and cooking run on, and how much of it is aboard.

    What is left out is not counted. Efficiencies are over the lower heating value; all defaults are
    common practice without a source but where one is named.
    """

    heat: RunsOn | None = None
    """What the heaters of the profile burn; electricity is what their watts are."""
    hot_water: RunsOn | None = None
    """What warms the water for washing; electricity is counted in the appliances."""
    cooking: RunsOn | None = None
    """What food and drink are heated on besides the electric appliances marked as cooking."""
    heat_efficiency: Efficiency = 0.8
    """Share of the burnt heat that a heater gives to the cabin."""
    hot_water_efficiency: Efficiency = 0.75
    """Share of the burnt heat that reaches the water."""
    # EN 30-2-1 asks 52 % of a hob's covered burners on the test bench (from memory); pots without
    # lids and draught take some of it.
    cooking_efficiency: Efficiency = 0.5
    """Share of the burnt heat that reaches the pot."""
    diesel_tank_l: Annotated[float, Field(gt=0.0, le=500.0)] | None = None
    """Diesel that may be burnt: of a tank of its own, or of the vehicle's above its reserve."""
    propane_kg: Annotated[float, Field(gt=0.0, le=200.0)] | None = None
    """Propane in all full bottles aboard."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        burnt = set(self.burnt.values())
        if not any(getattr(self, use) for use in BURNT_FOR):
            raise ValueError(f"needs one of {', '.join(BURNT_FOR)}")
        for kind, name in (("diesel", "diesel_tank_l"), ("propane", "propane_kg")):
            if getattr(self, name) is not None and kind not in burnt:
                raise ValueError(f"{name} is given, but nothing runs on {kind}")
        return self

    @property
    def burnt(self) -> dict[BurntFor, FuelKind]:
        """What is burnt for which use; uses on electricity and those left out are not there."""
        found: dict[BurntFor, FuelKind] = {}
        for use in BURNT_FOR:
            kind = getattr(self, use)
            if kind in {"diesel", "propane"}:
                found[use] = kind
        return found

    def aboard(self, kind: FuelKind) -> float | None:
        """How much of a fuel there is, litres of diesel or kg of propane; None if unknown."""
        return {"diesel": self.diesel_tank_l, "propane": self.propane_kg}.get(kind)

    def efficiency(self, use: BurntFor) -> float:
        """Share of the burnt heat that does what it is burnt for."""
        efficiency: float = getattr(self, f"{use}_efficiency")
        return efficiency


class Habits(Record):
    """How much hot water and cooked food each person uses, for the fuel that they take.

    The defaults are common practice without a source: a shower of two minutes at 6 L a minute and
    the washing up; 1.5 L brought from 15 to 100 C (148 Wh by the heat capacity of water) and as
    much again for what simmers and fries.
    """

    hot_water_l_per_day: Annotated[float, Field(ge=0.0, le=200.0)] = 15.0
    """Warm water that each person uses, at hot_water_c."""
    hot_water_c: Annotated[float, Field(ge=25.0, le=60.0)] = 40.0
    """How warm it leaves the tap."""
    cooking_wh_per_day: Annotated[float, Field(ge=0.0, le=5000.0)] = 300.0
    """Heat that goes into each person's food and drink, whatever makes it."""
