"""How the van is wired: the length of each run, its wire and fuse where they are settled."""

from __future__ import annotations

import re
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.lengths import Metres

__all__ = ["Branch", "CableRun", "PanelsRun", "Wiring"]

_GAUGE = r"(?:2[0-4]|1\d|[1-9]|[1-4]/0)"
_AREA = r"(?!0+(?:\.0+)?\b)\d{1,3}(?:\.\d{1,3})?"
_ONE = rf"AWG {_GAUGE}|{_GAUGE} AWG|{_AREA} ?mm2"
_WIRE = re.compile(rf"(?:2 ?x ?)?(?:{_ONE})", re.IGNORECASE)


Insulation = Literal[60, 75, 80, 90, 105, 125, 200]


class CableRun(Record):
    """One run of two conductors, for `check`.

    What is left out is chosen by the check, or has a default there.
    """

    length_m: Annotated[Metres, Field(gt=0.0, le=60.0)] | None = None
    """Length of the run, one way; left out, a usual length is assumed and said so."""
    wire: str | None = None
    """Its size, such as '4 AWG', '35 mm2' or '2 x 70 mm2' for two in parallel; left out,
    `check` picks it."""
    insulation_c: Insulation = 105
    """Temperature rating of the insulation, from its print."""
    engine_space: bool | None = None
    """Whether any of it passes the engine space; left out, only dcdc_in does."""
    ambient_c: Annotated[float, Field(ge=30.0, le=120.0)] | None = None
    """Hottest air that any of it lies in on a hot summer's day; left out, 30 C, in the engine space
    50 C, on the roof 40 C or the place's record."""
    bundled: Annotated[int, Field(ge=2, le=100)] = 2
    """Conductors that carry current in one bundle, sheath or conduit with it, its own two among
    them."""
    critical: bool | None = None
    """Whether it is held to 3 % voltage drop, else to 10 %; left out, by what hangs on it."""
    fused: bool = True
    """Whether a fuse or breaker stands at its source, or will, of the size that the check gives."""
    fuse_a: Annotated[float, Field(gt=0.0, le=2000.0)] | None = None
    """Rating of the fuse at its source; left out, `check` picks it."""
    fuse_interrupts_a: Annotated[float, Field(gt=0.0, le=500_000.0)] | None = None
    """Short-circuit current that the fuse at its source can break."""
    fuse_from_source_m: Annotated[Metres, Field(ge=0.0, le=60.0)] | None = None
    """How much cable lies between the source and the fuse."""
    sheathed: bool = False
    """Whether the cable before the fuse runs in a sheath or conduit all the way."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.wire is not None and not _WIRE.fullmatch(self.wire.strip()):
            raise ValueError(
                "wire must be like '4 AWG', '2/0 AWG' (24 to 4/0), '35 mm2', or '2 x 70 mm2' for "
                f"two in parallel, not {self.wire!r}"
            )
        details = {"fuse_a", "fuse_interrupts_a", "fuse_from_source_m"}
        given = sorted(name for name in details if getattr(self, name) is not None)
        if not self.fused and given:
            raise ValueError(f"{given[0]} needs fused = true")
        return self


class PanelsRun(CableRun):
    """The run of the panels, along the roof; ``ambient_c`` holds for every array on the roof.

    Its insulation is that of PV wire, 90 C when wet (NEC 690.31, from memory).
    """

    insulation_c: Insulation = 90
    """Temperature rating of the insulation, from its print."""


class Branch(CableRun):
    """One DC branch circuit from the fuse block."""

    name: Annotated[str, Field(min_length=1, max_length=100)]
    """What the circuit is called."""
    current_a: Annotated[float, Field(gt=0.0, le=500.0)]
    """What all on it draw at once."""


class Wiring(Record):
    """Every run of the van's DC side, for `check`.

    Each run is a table of its own, such as ``[wiring.bank_inverter]``.
    """

    bank_inverter: CableRun = CableRun()
    """From the bank to the inverter."""
    bank_bus: CableRun = CableRun()
    """From the bank to the DC bus and its fuse block."""
    converter: CableRun = CableRun()
    """From the DC bus to the converter to 12 V, in a van of 24 or 48 V."""
    dcdc_in: CableRun = CableRun()
    """From the starter battery to the DC-DC charger."""
    dcdc_out: CableRun = CableRun()
    """From the DC-DC charger to the bank."""
    controller_bank: CableRun = CableRun()
    """From the solar controller to the bank."""
    charger_bank: CableRun = CableRun()
    """From the shore charger to the bank."""
    panels_controller: PanelsRun = PanelsRun()
    """From the panels to the solar controller."""
    branches: Annotated[tuple[Branch, ...], Field(strict=False)] = ()
    """DC branch circuits; without any, one is assumed for each DC appliance of the profile."""
    together: Annotated[
        tuple[Annotated[tuple[str, ...], Field(strict=False, min_length=2)], ...],
        Field(strict=False),
    ] = ()
    """Sets of appliances that do run at once, such as `[["kettle", "toaster"]]`."""
    string_fused: bool = True
    """Whether each of three or more strings in parallel has a fuse."""
    string_fuse_a: Annotated[float, Field(gt=0.0, le=100.0)] | None = None
    """Rating of the fuse in each string of three or more in parallel; left out, `check` picks
    it."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        names = [branch.name for branch in self.branches]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"two branches are named '{twice[0]}'; give each its own name")
        if not self.string_fused and self.string_fuse_a is not None:
            raise ValueError("string_fuse_a needs string_fused = true")
        return self
