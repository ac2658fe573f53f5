"""Limits that several tables share."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

__all__ = ["Amperes", "ClockHour", "SetPoint", "Share"]

Share = Annotated[float, Field(ge=0.0, le=1.0)]
Amperes = Annotated[float, Field(gt=0.0, le=100_000.0)]
SetPoint = Annotated[float, Field(gt=5.0, le=80.0)]
ClockHour = Annotated[float, Field(ge=0.0, lt=24.0)]
