"""Chargers other than the sun: from the engine, and from a post."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solarsim.inputs.base import Record
from solarsim.inputs.limits import Amperes, ClockHour

__all__ = ["Alternator", "SecondAlternator", "Shore"]


class SecondAlternator(Record):
    """A second alternator that feeds the house bank straight, at its voltage, while driving."""

    charging_a: Annotated[float, Field(gt=0.0, le=400.0)]
    """Current that its regulator lets it give to the bank."""
    output_share: Annotated[float, Field(gt=0.0, le=1.0)] = 0.7
    """Share of charging_a that it gives on the road, less than 1 for heat and idling (common
    practice, no source)."""
    rating_a: Amperes | None = None
    """Its own rated current (`check`); left out, that is not looked at."""
    regulated: bool = True
    """Whether an external regulator with a temperature sensor limits its current."""


class Alternator(Record):
    """DC-DC charger, and the plan of how the van is driven."""

    dcdc_a: Annotated[float, Field(ge=0.0, le=400.0)]
    """Rated output of the DC-DC charger; 0 for none."""
    drive_h: Annotated[float, Field(ge=0.0, le=24.0)] = 0.0
    """Hours of driving on a day that is driven."""
    every_days: Annotated[int, Field(ge=1, le=365)] = 1
    """Driving comes every so many days after arrival: 1 daily, 3 every third day."""
    start_hour: ClockHour = 10.0
    """Clock hour at which the drive begins."""
    output_share: Annotated[float, Field(gt=0.0, le=1.0)] = 0.85
    """Share of dcdc_a that it gives on the road, less than 1 for heat and idling; 1 is all of
    it."""
    rating_a: Amperes | None = None
    """The alternator's own rated current (`check`); left out, an ordinary one is assumed and
    said so."""
    vehicle_voltage_v: Literal[12, 24] = 12
    """Voltage of the vehicle's own electrics."""
    coupling: Literal["dcdc", "split relay"] = "dcdc"
    """What joins the starter battery to the bank: a DC-DC charger, or a relay that lets through
    what it will, dcdc_a as a rule."""
    smart: bool = False
    """Whether the alternator lowers its voltage by itself, as in most vans since 2015."""
    starter_protected: bool = True
    """Whether the charger stops by itself before it drains the starter battery."""
    second: SecondAlternator | None = None
    """A second alternator beside it, which runs in the same hours; left out, there is none."""

    @property
    def rated_a(self) -> float:
        """Rated current into the bank, that of a second alternator with it, A."""
        return self.dcdc_a if self.second is None else self.dcdc_a + self.second.charging_a

    @property
    def driven_a(self) -> float:
        """Current into the bank on the road, that of a second alternator with it, A."""
        first_a = self.dcdc_a * self.output_share
        second = self.second
        return first_a if second is None else first_a + second.charging_a * second.output_share

    @property
    def driven_share(self) -> float:
        """What is given on the road over what both are rated at, 0 to 1."""
        return self.output_share if self.second is None else self.driven_a / self.rated_a


class Shore(Record):
    """Shore charger, the post's breaker, and the plug-in plan."""

    charger_a: Annotated[float, Field(ge=0.0, le=400.0)]
    """Rated output of the shore charger; 0 for none."""
    breaker_a: Annotated[float, Field(gt=0.0, le=100.0)] = 15.0
    """Breaker of the post; charger and AC loads together stay below it."""
    mains_voltage_v: Annotated[float, Field(ge=100.0, le=250.0)] = 120.0
    """Mains voltage at the post."""
    charger_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.9
    """Share of the mains power that the charger gives to the bank."""
    plugged_h: Annotated[float, Field(ge=0.0, le=24.0)] = 0.0
    """Hours on shore power on a day that is plugged in."""
    every_days: Annotated[int, Field(ge=1, le=365)] = 1
    """Plugging in comes every so many days after arrival: 1 daily, 3 every third day."""
    start_hour: ClockHour = 18.0
    """Clock hour at which the van is plugged in."""
