"""The inverter, for what runs on mains voltage."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.limits import Amperes, SetPoint

__all__ = ["Inverter"]


class Inverter(Record):
    """Battery inverter, for what runs on mains voltage.

    Efficiencies are the datasheet's, with the idle draw in them. Without this table the van has no
    inverter and can run no AC loads.
    """

    power_w: Annotated[float, Field(gt=0.0, le=20000.0)]
    """Continuous AC power."""
    surge_w: Annotated[float, Field(gt=0.0, le=60000.0)] | None = None
    """AC power of seconds; left out, `check` counts 1.5 times power_w (common practice, no
    source)."""
    idle_w: Annotated[float, Field(ge=0.0, le=200.0)] = 10.0
    """What it draws from the bank while it is on and nothing runs."""
    always_on: bool = False
    """Whether it stays on around the clock, or only while something AC runs."""
    peak_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.94
    """Best efficiency of the datasheet."""
    full_load_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.88
    """Efficiency at power_w, at most peak_efficiency."""
    cutoff_v: SetPoint | None = None
    """Battery voltage at which it stops; left out, 10.5 V of 12 V (common practice, no source)."""
    output_v: Annotated[float, Field(ge=100.0, le=250.0)] | None = None
    """Mains voltage that it makes; left out, that of the post, or of the country's rules."""
    neutral_bonded: bool | None = None
    """Whether it joins neutral and earth while it feeds, so that residual-current devices work;
    left out, it is planned so."""
    transfer_a: Amperes | None = None
    """Current from shore that its transfer switch carries; left out, `check` plans one for the
    larger of the post's breaker and the inverter's."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.full_load_efficiency > self.peak_efficiency:
            raise ValueError("full_load_efficiency must not exceed peak_efficiency")
        if self.surge_w is not None and self.surge_w < self.power_w:
            raise ValueError("surge_w must not be below power_w")
        return self
