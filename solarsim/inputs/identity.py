"""What a van is called, its voltage and its size; what a load profile is called."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solarsim.inputs.base import Record
from solarsim.inputs.lengths import Metres

__all__ = ["Identity", "ProfileIdentity"]


class Identity(Record):
    """The van's name, the voltage of its house system, and the size of its body.

    Outside length and width and the height from floor to roof serve the cabin's heat loss; left
    out, they follow from the roof, or are those of a 6 m panel van.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    """What the van is called in answers and on the sheet."""
    system_voltage_v: Literal[12, 24, 48] = 12
    """Nominal voltage of the house bank and its DC loads."""
    length_m: Annotated[Metres, Field(ge=2.0, le=20.0)] | None = None
    """Outside length of the body, for the cabin's heat loss; left out, the roof's and 2.4 m of cab,
    or 6 m."""
    width_m: Annotated[Metres, Field(ge=1.0, le=4.0)] | None = None
    """Outside width of the body; left out, the roof's and 0.4 m, or 2 m."""
    height_m: Annotated[Metres, Field(ge=0.8, le=4.0)] | None = None
    """Height from floor to roof; left out, 2 m."""
    payload_kg: Annotated[float, Field(gt=0.0, le=30_000.0)] | None = None
    """What may be loaded: largest permitted mass less that of the empty van before the build; with
    it, `buy` tells what is left of it."""
    description: str = ""
    """A line about the van, for people; no answer depends on it."""


class ProfileIdentity(Record):
    """The profile's name and what life it describes."""

    name: Annotated[str, Field(min_length=1, max_length=200)]
    """What the profile is called in answers."""
    description: str = ""
    """The life it describes, for people; no answer depends on it."""
    medical: Annotated[
        tuple[Annotated[str, Field(min_length=1, max_length=100)], ...],
        Field(strict=False, max_length=12),
    ] = ()
    """Appliances that someone's health depends on, by name. Every answer then says so, and calls a
    stay safe only if it lasts in 99 of 100."""
