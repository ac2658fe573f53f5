"""Watts by the hour, in place of appliances."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.files.watts import MAX_WATTS

__all__ = ["Hourly"]

Watts = Annotated[float, Field(ge=0.0, le=MAX_WATTS)]
HourlyWatts = Annotated[tuple[Watts, ...], Field(strict=False)]


class Hourly(Record):
    """Watts by the hour of the local clock: 24 of a day, or 8760 (8784 with a leap day) of a year.

    A year begins on 1 January. They stand here as ``dc_w`` and ``ac_w``, or in a CSV ``file``.
    """

    file: str | None = None
    """A CSV beside the profile: one column of watts, of the kind current, or columns dc_w and
    ac_w."""
    current: Literal["dc", "ac"] = "dc"
    """Whether a file of one column is of DC or AC watts."""
    dc_w: HourlyWatts = ()
    """DC watts of each hour."""
    ac_w: HourlyWatts = ()
    """AC watts of each hour."""
    variation_share: Annotated[float, Field(ge=0.0, le=2.0)] = 0.0
    """How much whole days differ: the standard deviation over the mean."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if not self.dc_w and not self.ac_w:
            raise ValueError("needs file, dc_w or ac_w")
        for name, watts in (("dc_w", self.dc_w), ("ac_w", self.ac_w)):
            if len(watts) not in {0, 24, 8760, 8784}:
                raise ValueError(f"{name} holds {len(watts)} hours; 24, 8760 or 8784 are allowed")
        return self
