"""How the van is wired: the length of each run, its wire and fuse where they are settled."""

from __future__ import annotations

import re
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.lengths import Metres
from solarsim.inputs.limits import Amperes

__all__ = ["AcRun", "Branch", "CableRun", "PanelsRun", "RulesName", "Wiring"]

_GAUGE = r"(?:2[0-4]|1\d|[1-9]|[1-4]/0)"
_AREA = r"(?!0+(?:\.0+)?(?![\d.]))\d{1,3}(?:\.\d{1,3})?"
_ONE = rf"AWG {_GAUGE}|{_GAUGE} AWG|{_AREA} ?mm2"
_WIRE = re.compile(rf"(?:{_ONE})|2 ?x ?(?:{_ONE})(?: \(apart\))?", re.IGNORECASE)
_ZEROS = re.compile(r"(?<![\d./])0{1,4}(?![\d./])")
_SQUARE = re.compile(r"(?:mm²|mm\^2|sq\.? ?mm|qmm|mm2)", re.IGNORECASE)
_BARE = re.compile(r"^(?:2 ?x ?)?[1-4]/0(?=$| \(apart\)$)")

Insulation = Literal[60, 70, 75, 80, 90, 105, 125, 200]
Terminal = Literal[60, 70, 75, 90, 105]
FuseClass = Literal["T", "MRBF", "ANL", "MEGA", "MIDI", "blade", "breaker"]
RulesName = Literal["us-rv", "eu-caravan", "boat"]


def _wire(text: str) -> str:
    """Write a conductor's size one way: '2/0 AWG' for '00 AWG' or '2/0', '35 mm2' for '35mm²'."""
    written = _SQUARE.sub("mm2", text.strip())
    if "mm2" in written:
        return written
    written = _ZEROS.sub(lambda zeros: f"{len(zeros[0])}/0", written)
    return _BARE.sub(r"\g<0> AWG", written)


# A conductor's size in the ways that people write it.
_Size = Annotated[str, AfterValidator(_wire)]


class CableRun(Record):
    """One run of two conductors, for `check`.

    What is left out is chosen by the check, or has a default there.
    """

    length_m: Annotated[Metres, Field(gt=0.0, le=60.0)] | None = None
    """Length of the run, one way; left out, a usual length is assumed and said so."""
    wire: _Size | None = None
    """Its size, such as '4 AWG', '2/0', '00 AWG', '35 mm2' or '2 x 70 mm2' for two in parallel,
    '2 x 70 mm2 (apart)' where each lies beside its own return, away from the other; left out,
    `check` picks it."""
    insulation_c: Insulation | None = None
    """Temperature rating of the insulation, from its print: 70 for PVC; left out, 105 C, by
    European rules 70 C."""
    terminal_c: Terminal | None = None
    """Temperature that the lugs' terminals are marked for; left out, 75 C by US rules, 70 C by
    European ones."""
    engine_space: bool | None = None
    """Whether any of it passes the engine space; left out, dcdc_in and second_alternator do."""
    ambient_c: Annotated[float, Field(ge=30.0, le=120.0)] | None = None
    """Hottest air that any of it lies in on a hot summer's day; left out, 30 C, in the engine space
    50 C, on the roof 40 C or the place's record."""
    bundled: Annotated[int, Field(ge=2, le=100)] = 2
    """Conductors that carry current in one bundle, sheath or conduit with it, its own two among
    them."""
    critical: bool | None = None
    """Whether it is held to 3 % voltage drop from source to end, else to 5 %, by boat law to 10 %;
    left out, by what hangs on it."""
    fused: bool = True
    """Whether a fuse or breaker stands at its source, or will, of the size that the check gives."""
    fuse_a: Annotated[float, Field(gt=0.0, le=2000.0)] | None = None
    """Rating of the fuse at its source; left out, `check` picks it."""
    fuse_interrupts_a: Annotated[float, Field(gt=0.0, le=500_000.0)] | None = None
    """Short-circuit current that the fuse at its source can break."""
    fuse_class: FuseClass | None = None
    """Kind of the fuse at its source: it tells what it breaks and up to which voltage, where the
    two keys beside it do not."""
    fuse_voltage_v: Annotated[float, Field(gt=0.0, le=1500.0)] | None = None
    """DC voltage that the fuse at its source is rated for."""
    fuse_from_source_m: Annotated[Metres, Field(ge=0.0, le=60.0)] | None = None
    """How much cable lies between the source and the fuse."""
    sheathed: bool = False
    """Whether the cable before the fuse runs in a sheath or conduit all the way."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.wire is not None and not _WIRE.fullmatch(self.wire.strip()):
            raise ValueError(
                "wire must be like '4 AWG', '2/0' (24 to 4/0), '35 mm2', or '2 x 70 mm2' for "
                f"two in parallel, not {self.wire!r}"
            )
        details = {"fuse_a", "fuse_class", "fuse_interrupts_a", "fuse_voltage_v"}
        details |= {"fuse_from_source_m"}
        given = sorted(name for name in details if getattr(self, name) is not None)
        if not self.fused and given:
            raise ValueError(f"{given[0]} needs fused = true")
        return self


class PanelsRun(CableRun):
    """The run of the panels, along the roof; ``ambient_c`` holds for every array on the roof.

    Its insulation is that of PV wire, 90 C when wet (NEC 690.31, from memory).
    """

    insulation_c: Insulation | None = 90
    """Temperature rating of the insulation, from its print."""


class Branch(CableRun):
    """One DC branch circuit from the fuse block."""

    name: Annotated[str, Field(min_length=1, max_length=100)]
    """What the circuit is called."""
    current_a: Annotated[float, Field(gt=0.0, le=500.0)]
    """What all on it draw at once."""
    load_v: Literal[12, 24, 48] | None = None
    """DC voltage that what hangs on it is made for; left out, the bank's. Where it is 12 V and the
    bank's is not, the branch hangs on the converter."""
    alarm: bool = False
    """Whether it feeds gas, smoke or CO alarms, which stay on."""
    unswitched: bool = False
    """Whether it stays on while the main switch is off, as gas, smoke and CO alarms must; then its
    fuse stands before the switch."""


class AcRun(Record):
    """One run of mains cable, for `check`."""

    length_m: Annotated[Metres, Field(gt=0.0, le=60.0)] | None = None
    """Length of the run; left out, a usual length is assumed and said so."""
    wire: _Size | None = None
    """Its size, such as '12 AWG' or '2.5 mm2'; left out, that of the rules for the breaker."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.wire is not None and not re.fullmatch(_ONE, self.wire.strip(), re.IGNORECASE):
            raise ValueError(f"wire must be like '12 AWG' or '2.5 mm2', not {self.wire!r}")
        return self


class Wiring(Record):
    """Every run of the van, and what stands between them, for `check`.

    Each run is a table of its own, such as ``[wiring.bank_inverter]``. The bank feeds its positive
    bus through the main fuse and the main switch; all else hangs on that bus.
    """

    rules: RulesName | None = None
    """Which rules the van is built by; left out, those of the country where the stay is. 'boat' is
    boat law, which lets fuses go above the cable's ampacity."""
    main: CableRun = CableRun()
    """From the bank's positive terminal through main fuse and main switch to the positive bus."""
    bank_string: CableRun = CableRun()
    """From each of several batteries (or strings of them) in parallel to the bank's terminals."""
    bank_inverter: CableRun = CableRun()
    """From the bank's positive bus to the inverter."""
    bank_bus: CableRun = CableRun()
    """From the bank's positive bus to the DC fuse block."""
    converter: CableRun = CableRun()
    """From the DC fuse block to the converter to 12 V, in a van of 24 or 48 V."""
    alternator: CableRun = CableRun()
    """From the alternator to the starter battery; looked at where its wire is given."""
    dcdc_in: CableRun = CableRun()
    """From the starter battery to the DC-DC charger."""
    dcdc_out: CableRun = CableRun()
    """From the DC-DC charger to the bank's positive bus."""
    generator_bank: CableRun = CableRun()
    """From a charger that the generator alone feeds to the bank's positive bus."""
    second_alternator: CableRun = CableRun()
    """From a second alternator to the bank's positive bus, at the bank's voltage."""
    controller_bank: CableRun = CableRun()
    """From the solar controller to the bank's positive bus."""
    charger_bank: CableRun = CableRun()
    """From the shore charger to the bank's positive bus."""
    panels_controller: PanelsRun = PanelsRun()
    """From the panels, or from where their strings join, to the solar controller."""
    panels_string: PanelsRun = PanelsRun()
    """From each of several strings of panels to where they join."""
    ac_inlet: AcRun = AcRun()
    """From the shore inlet to its breaker and residual-current device."""
    ac_charger: AcRun = AcRun()
    """From there to the shore charger."""
    ac_transfer: AcRun = AcRun()
    """From there to the transfer switch."""
    ac_inverter: AcRun = AcRun()
    """From the inverter's output to the transfer switch, or to the outlets where there is none."""
    ac_outlets: AcRun = AcRun()
    """From the transfer switch to the outlets."""
    main_switch: bool | None = None
    """Whether a main switch cuts the bank off; left out, one is planned."""
    main_switch_a: Amperes | None = None
    """Continuous current of the main switch; left out, it bears what the check asks for."""
    shunt: bool | None = None
    """Whether a shunt measures the bank's current; left out, one is planned."""
    shunt_a: Amperes | None = None
    """Rated current of the shunt; left out, it bears what the check asks for."""
    bus_a: Amperes | None = None
    """Continuous current of the positive and negative bus; left out, they bear what the check asks
    for."""
    solar_isolator: bool | None = None
    """Whether each array can be cut off from its controller; left out, a switch is planned."""
    transfer_switch: bool | None = None
    """Whether a transfer switch keeps inverter and shore power apart; left out, one is planned."""
    chassis_return: bool = False
    """Whether the chassis carries the current back instead of a second conductor."""
    chassis_bond: bool | None = None
    """Whether the negative bus and the mains' earth are bonded to the chassis, each at one point;
    left out, it is planned."""
    rcd: bool | None = None
    """Whether a residual-current device (RCD, GFCI) guards the shore inlet and the outlets; left
    out, one is planned."""
    branches: Annotated[tuple[Branch, ...], Field(strict=False)] = ()
    """DC branch circuits; without any, one is assumed for each DC appliance of the profile."""
    together: Annotated[
        tuple[Annotated[tuple[str, ...], Field(strict=False, min_length=2)], ...],
        Field(strict=False),
    ] = ()
    """Sets of appliances that do run at once, such as `[["kettle", "toaster"]]`."""
    bank_fuses: Annotated[int, Field(ge=0, le=96)] | None = None
    """How many of the bank's batteries (or strings of them) in parallel have a fuse of their own;
    left out, as many as the rules ask for."""
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
        if self.main_switch is False and self.main_switch_a is not None:
            raise ValueError("main_switch_a needs a main switch")
        if self.shunt is False and self.shunt_a is not None:
            raise ValueError("shunt_a needs a shunt")
        if not self.string_fused and self.string_fuse_a is not None:
            raise ValueError("string_fuse_a needs string_fused = true")
        return self
