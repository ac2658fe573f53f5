"""The converter to 12 V in a van of 24 or 48 V."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from solarsim.inputs.base import Record

__all__ = ["Converter"]


class Converter(Record):
    """Converter from a bank of 24 or 48 V to the appliances that run on 12 V alone.

    Its figures are those of ordinary ones; common practice, no source.
    """

    power_w: Annotated[float, Field(gt=0.0, le=5000.0)] | None = None
    """What it gives at 12 V at most; left out, enough for what hangs on it."""
    efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.92
    """Power out over power in."""
    idle_w: Annotated[float, Field(ge=0.0, le=50.0)] = 1.0
    """What it draws with nothing on."""
