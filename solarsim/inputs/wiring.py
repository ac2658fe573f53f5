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
    """One run of two conductors. What is left out is chosen by the check, or has a default there.

    ``length_m`` is one way. ``wire`` is a size in AWG or mm2, ``insulation_c`` its insulation's
    temperature rating, which its print gives. ``engine_space`` says whether any of it passes there.
    ``ambient_c`` is the hottest air that any of it lies in, on a hot summer's day; what is cooler
    than the 30 C of the tables counts as 30.
    ``bundled`` counts the conductors that carry current in one bundle, sheath or conduit with it,
    its own two among them.
    ``critical`` puts it into the class of 3 % voltage drop, otherwise 10 %. ``fused`` says whether
    a fuse or breaker stands at its source (or will, of the size that the check gives), ``fuse_a``
    its rating, ``fuse_interrupts_a`` the short-circuit current that it can break, and
    ``fuse_from_source_m`` how much cable lies before it; ``sheathed``, whether that cable runs
    in a sheath or conduit all the way.
    """

    length_m: Annotated[Metres, Field(gt=0.0, le=60.0)] | None = None
    wire: str | None = None
    insulation_c: Insulation = 105
    engine_space: bool | None = None
    ambient_c: Annotated[float, Field(ge=30.0, le=120.0)] | None = None
    bundled: Annotated[int, Field(ge=2, le=100)] = 2
    critical: bool | None = None
    fused: bool = True
    fuse_a: Annotated[float, Field(gt=0.0, le=2000.0)] | None = None
    fuse_interrupts_a: Annotated[float, Field(gt=0.0, le=500_000.0)] | None = None
    fuse_from_source_m: Annotated[Metres, Field(ge=0.0, le=60.0)] | None = None
    sheathed: bool = False

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


class Branch(CableRun):
    """One DC branch circuit; ``current_a`` is what all on it draw at once."""

    name: Annotated[str, Field(min_length=1, max_length=100)]
    current_a: Annotated[float, Field(gt=0.0, le=500.0)]


class Wiring(Record):
    """Every run of the van's DC side.

    Without ``branches`` one is assumed for each DC appliance of the profile. ``together`` names
    sets of appliances of the profile that do run at once, such as ``[["kettle", "toaster"]]``.
    ``string_fuse_a`` stands in each string of three or more in parallel.
    """

    bank_inverter: CableRun = CableRun()
    bank_bus: CableRun = CableRun()
    dcdc_in: CableRun = CableRun()
    dcdc_out: CableRun = CableRun()
    controller_bank: CableRun = CableRun()
    charger_bank: CableRun = CableRun()
    panels_controller: PanelsRun = PanelsRun()
    branches: Annotated[tuple[Branch, ...], Field(strict=False)] = ()
    together: Annotated[
        tuple[Annotated[tuple[str, ...], Field(strict=False, min_length=2)], ...],
        Field(strict=False),
    ] = ()
    string_fused: bool = True
    string_fuse_a: Annotated[float, Field(gt=0.0, le=100.0)] | None = None

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        names = [branch.name for branch in self.branches]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"two branches are named '{twice[0]}'; give each its own name")
        if not self.string_fused and self.string_fuse_a is not None:
            raise ValueError("string_fuse_a needs string_fused = true")
        return self
