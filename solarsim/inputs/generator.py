"""A generator that charges the bank in the hours in which it may run."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.limits import Amperes
from solarsim.inputs.windows import Windows, check_windows

__all__ = ["START_ABOVE_FLOOR", "Generator"]

# What a night takes of a bank that is not too small; common practice, no source.
START_ABOVE_FLOOR = 0.3

# Litres, and kilograms of propane, for a kWh at the socket of a small one at half load and more:
# common practice, no source (a fifth of petrol's heat, a quarter of diesel's).
_USUAL_PER_KWH = {"petrol": 0.6, "diesel": 0.4, "propane": 0.4}


class Generator(Record):
    """A generator, and the hours in which it may run.

    Somebody looks at each full hour of those, starts it at or below one state of charge and stops
    it at or above the other. It charges the bank alone: AC loads stay on the inverter. Exhaust
    kills: it never runs inside, beneath or beside an open van.
    """

    power_w: Annotated[float, Field(ge=100.0, le=20_000.0)]
    """Lasting AC power."""
    charger_a: Amperes | None = None
    """Output of a charger of its own; left out, it feeds the shore charger."""
    charger_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.9
    """Share of the AC power that its own charger gives to the bank."""
    windows: Windows = ((9.0, 11.0), (17.0, 19.0))
    """Hours of the local clock in which it may run, as `[[from, to], ...]`; keep to the place's
    quiet hours."""
    start_soc: Annotated[float, Field(gt=0.0, lt=1.0)] | None = None
    """State of charge at which it is started; left out, 0.3 above the bank's floor."""
    stop_soc: Annotated[float, Field(gt=0.0, le=1.0)] = 0.9
    """State of charge at which it is stopped."""
    fuel: Literal["petrol", "diesel", "propane"] = "petrol"
    """Fuel that it burns, of a tank of its own unless it is one that the van has."""
    fuel_per_kwh: Annotated[float, Field(gt=0.0, le=5.0)] | None = None
    """Litres (of propane kg) for a kWh at its socket; left out, 0.6 of petrol, 0.4 of the others
    (common practice, no source)."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        check_windows(self.windows, "windows")
        return self

    @property
    def burns_per_kwh(self) -> float:
        """Litres, or kg of propane, for a kWh at its socket."""
        return _USUAL_PER_KWH[self.fuel] if self.fuel_per_kwh is None else self.fuel_per_kwh
