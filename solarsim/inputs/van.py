"""What the builder describes: the van's roof, panels, bank, chargers and inverter."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.lengths import Metres
from solarsim.inputs.roof import FACING_DEG, Facing, Roof
from solarsim.inputs.stay import Stay
from solarsim.inputs.wiring import Wiring

__all__ = [
    "Alternator",
    "Array",
    "Battery",
    "Controller",
    "Identity",
    "Inverter",
    "Panels",
    "Shore",
    "Van",
]

Share = Annotated[float, Field(ge=0.0, le=1.0)]
Amperes = Annotated[float, Field(gt=0.0, le=100_000.0)]
SetPoint = Annotated[float, Field(gt=5.0, le=80.0)]
ClockHour = Annotated[float, Field(ge=0.0, lt=24.0)]

# Two ways of telling one heading may differ by rounding.
_SAME_WAY_DEG = 1.0
# Propped up after breakfast, put away before dusk: common practice, no source.
_GROUND_DEFAULTS = {"tilt_deg": 40.0, "from_hour": 9.0, "to_hour": 17.0}


class Identity(Record):
    """The van's name and the voltage of its house system."""

    name: Annotated[str, Field(min_length=1, max_length=200)]
    system_voltage_v: Literal[12, 24, 48] = 12
    description: str = ""


class Panels(Record):
    """One array of like panels, by its datasheet at standard test conditions (IEC 60904-3).

    Tilted panels face the side ``facing`` of the van. ``azimuth_deg`` is where that side looks,
    clockwise from north; left out, it follows from ``stay.heading_deg`` or, where that is unknown
    too, a tilted array is averaged over headings.
    """

    part: str | None = None
    power_w: Annotated[float, Field(gt=0.0, le=1000.0)]
    vmp_v: Annotated[float, Field(gt=1.0, le=150.0)]
    imp_a: Annotated[float, Field(gt=0.05, le=30.0)]
    voc_v: Annotated[float, Field(gt=1.0, le=200.0)]
    isc_a: Annotated[float, Field(gt=0.05, le=35.0)]
    alpha_isc_pct_k: Annotated[float, Field(ge=-0.05, le=0.2)] = 0.05
    beta_voc_pct_k: Annotated[float, Field(ge=-0.6, lt=0.0)] = -0.28
    gamma_pmp_pct_k: Annotated[float, Field(ge=-0.8, lt=0.0)] = -0.36
    cells_in_series: Annotated[int, Field(ge=1, le=300)]
    length_m: Annotated[Metres, Field(gt=0.0, le=3.0)]
    width_m: Annotated[Metres, Field(gt=0.0, le=2.0)]
    mounting: Literal["gap", "close", "glued"] = "gap"
    count: Annotated[int, Field(ge=0, le=60)] = 1
    series: Annotated[int, Field(ge=1, le=20)] = 1
    tilt_deg: Annotated[float, Field(ge=0.0, le=90.0)] = 0.0
    azimuth_deg: Annotated[float, Field(ge=0.0, le=360.0)] | None = None
    # Panels on legs mostly tip over a long edge of the roof: common practice, no source.
    facing: Facing = "right"
    soiling_share: Share = 0.04
    degradation_share_per_year: Annotated[float, Field(ge=0.0, le=0.05)] = 0.005
    age_years: Annotated[float, Field(ge=0.0, le=40.0)] = 0.0
    max_series_fuse_a: Amperes | None = None
    cost: Annotated[float, Field(ge=0.0)] | None = None

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.vmp_v >= self.voc_v:
            raise ValueError(f"vmp_v ({self.vmp_v}) must be below voc_v ({self.voc_v})")
        if self.imp_a >= self.isc_a:
            raise ValueError(f"imp_a ({self.imp_a}) must be below isc_a ({self.isc_a})")
        product_w = self.vmp_v * self.imp_a
        if abs(product_w / self.power_w - 1.0) > 0.05:
            raise ValueError(
                f"power_w ({self.power_w}) must agree with vmp_v x imp_a ({product_w:.1f} W) "
                "within 5 %"
            )
        if self.count % self.series:
            raise ValueError(f"count ({self.count}) must be a multiple of series ({self.series})")
        return self


class Controller(Record):
    """Solar charge controller; ``start_margin_v`` is how far Vmp must stand above the bank.

    ``max_input_a`` is the largest short-circuit current of the array that its maker allows.
    """

    kind: Literal["mppt", "pwm"] = "mppt"
    max_input_v: Annotated[float, Field(gt=5.0, le=1000.0)] = 100.0
    max_input_a: Amperes | None = None
    max_output_a: Annotated[float, Field(gt=0.0, le=500.0)] = 30.0
    efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.96
    start_margin_v: Annotated[float, Field(ge=0.0, le=10.0)] = 1.0


class Array(Panels):
    """A further array of like panels, on the van's controller or on one of its own.

    Of ``kind`` ``"ground"`` it stands beside the van ``from_hour`` to ``to_hour`` by the local
    clock, every ``every_days`` from the first whole day on. It faces ``azimuth_deg``, by default
    the equator; with the ``aim`` ``"morning and afternoon"`` it is turned at solar noon, from 45
    degrees east of the equator's direction to 45 degrees west of it. On the van's own MPPT
    controller its strings lie in parallel to the others and share their voltage.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    kind: Literal["roof", "ground"] = "roof"
    aim: Literal["fixed", "morning and afternoon"] = "fixed"
    from_hour: ClockHour = 0.0
    to_hour: Annotated[float, Field(gt=0.0, le=24.0)] = 24.0
    every_days: Annotated[int, Field(ge=1, le=365)] = 1
    controller: Controller | None = None

    @model_validator(mode="before")
    @classmethod
    def _of_its_kind(cls, data: Any) -> Any:
        if isinstance(data, dict) and data.get("kind") == "ground":
            return _GROUND_DEFAULTS | data
        return data

    @model_validator(mode="after")
    def _used(self) -> Self:
        if self.to_hour <= self.from_hour:
            raise ValueError(f"to_hour ({self.to_hour:g}) must be after from_hour")
        always = (self.from_hour, self.to_hour, self.every_days) == (0.0, 24.0, 1)
        if self.kind == "roof" and not always:
            raise ValueError("from_hour, to_hour and every_days are for an array of kind 'ground'")
        if self.aim != "fixed" and (self.kind == "roof" or self.azimuth_deg is not None):
            raise ValueError(f"aim '{self.aim}' is for a ground array without azimuth_deg")
        return self


class Battery(Record):
    """The house bank: like units in series to the system's voltage and in parallel.

    What follows ``location`` serves the electrical check alone; left out, the chemistry's ordinary
    figures stand in. ``bms_*`` and ``short_circuit_a`` are one unit's. ``max_in_series`` is how
    many units its maker lets stand in series, ``bms_cold_cutoff`` whether the BMS itself stops
    charging below freezing. The chargers' set-points are at the system's voltage, at 25 C.
    ``vented`` means a box or a room of its own with a vent to the outside.
    """

    part: str | None = None
    chemistry: Literal["lfp", "agm", "gel", "flooded"]
    unit_capacity_ah: Annotated[float, Field(gt=0.0, le=2000.0)]
    unit_voltage_v: Literal[2, 6, 12, 24, 48] = 12
    units: Annotated[int, Field(ge=1, le=96)] = 1
    floor_soc: Share | None = None
    self_heating: bool = False
    heater_w: Annotated[float, Field(ge=0.0, le=500.0)] = 30.0
    location: Literal["inside", "outside"] = "inside"
    vented: bool = False
    bms_discharge_a: Amperes | None = None
    bms_surge_a: Amperes | None = None
    bms_charge_a: Amperes | None = None
    bms_cold_cutoff: bool = True
    max_in_series: Annotated[int, Field(ge=1, le=24)] | None = None
    short_circuit_a: Amperes | None = None
    charger_absorption_v: SetPoint | None = None
    charger_float_v: SetPoint | None = None
    charger_equalize_v: SetPoint | None = None
    charger_compensated: bool | None = None
    cost: Annotated[float, Field(ge=0.0)] | None = None


class Inverter(Record):
    """Battery inverter; efficiencies are the datasheet's, with the idle draw in them.

    ``cutoff_v`` is the battery voltage at which it stops, ``transfer_a`` what its transfer switch
    carries from shore.
    """

    power_w: Annotated[float, Field(gt=0.0, le=20000.0)]
    surge_w: Annotated[float, Field(gt=0.0, le=60000.0)] | None = None
    idle_w: Annotated[float, Field(ge=0.0, le=200.0)] = 10.0
    always_on: bool = False
    peak_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.94
    full_load_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.88
    cutoff_v: SetPoint | None = None
    transfer_a: Amperes | None = None

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.full_load_efficiency > self.peak_efficiency:
            raise ValueError("full_load_efficiency must not exceed peak_efficiency")
        if self.surge_w is not None and self.surge_w < self.power_w:
            raise ValueError("surge_w must not be below power_w")
        return self


class Alternator(Record):
    """DC-DC charger and the drive plan: `drive_h` hours from `start_hour`, every `every_days`.

    ``rating_a`` is the alternator's own, at ``vehicle_voltage_v``. ``starter_protected`` says that
    the charger stops by itself before it drains the starter battery.
    """

    dcdc_a: Annotated[float, Field(ge=0.0, le=400.0)]
    drive_h: Annotated[float, Field(ge=0.0, le=24.0)] = 0.0
    every_days: Annotated[int, Field(ge=1, le=365)] = 1
    start_hour: ClockHour = 10.0
    derating_share: Share = 0.85
    rating_a: Amperes | None = None
    vehicle_voltage_v: Literal[12, 24] = 12
    starter_protected: bool = True


class Shore(Record):
    """Shore charger, the post's breaker, and the plug-in plan."""

    charger_a: Annotated[float, Field(ge=0.0, le=400.0)]
    breaker_a: Annotated[float, Field(gt=0.0, le=100.0)] = 15.0
    mains_voltage_v: Annotated[float, Field(ge=100.0, le=250.0)] = 120.0
    charger_efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.9
    plugged_h: Annotated[float, Field(ge=0.0, le=24.0)] = 0.0
    every_days: Annotated[int, Field(ge=1, le=365)] = 1
    start_hour: ClockHour = 18.0


class Van(Record):
    """One van file: every table of it, with the stay it is asked about."""

    van: Identity
    roof: Roof | None = None
    panels: Panels
    controller: Controller = Controller()
    arrays: Annotated[tuple[Array, ...], Field(strict=False, max_length=8)] = ()
    battery: Battery
    inverter: Inverter | None = None
    alternator: Alternator | None = None
    shore: Shore | None = None
    wiring: Wiring = Wiring()
    stay: Stay = Stay()

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        system_v = self.van.system_voltage_v
        unit_v = self.battery.unit_voltage_v
        if system_v % unit_v:
            raise ValueError(
                f"battery.unit_voltage_v ({unit_v}) must divide van.system_voltage_v ({system_v})"
            )
        if self.battery.units % self.units_in_series:
            raise ValueError(
                f"battery.units ({self.battery.units}) must be a multiple of "
                f"{self.units_in_series}, the units in series for {system_v} V"
            )
        strings = [("panels", self.panels, self.controller)]
        for index, array in enumerate(self.arrays):
            strings.append((f"arrays.{index}", array, array.controller or self.controller))
        for where, panels, controller in strings:
            string_vmp_v = panels.vmp_v * panels.series
            needed_v = system_v + controller.start_margin_v
            if panels.count and string_vmp_v < needed_v:
                raise ValueError(
                    f"{where}.vmp_v x {where}.series ({string_vmp_v:.1f} V) is below what charges "
                    f"a {system_v} V bank (at least {needed_v:.1f} V); put more panels in series"
                )
        heading_deg, azimuth_deg = self.stay.heading_deg, self.panels.azimuth_deg
        if self.panels.tilt_deg > 0.0 and heading_deg is not None and azimuth_deg is not None:
            faces_deg = (heading_deg + FACING_DEG[self.panels.facing]) % 360.0
            if abs((azimuth_deg - faces_deg + 180.0) % 360.0 - 180.0) > _SAME_WAY_DEG:
                raise ValueError(
                    f"panels.azimuth_deg ({azimuth_deg:g}) is not where the {self.panels.facing} "
                    f"of a van with stay.heading_deg {heading_deg:g} looks ({faces_deg:g}); leave "
                    "one of them out"
                )
        return self

    @property
    def heading_deg(self) -> float | None:
        """Compass direction of the van's front, also as its panels tell it; None if unknown."""
        if self.stay.heading_deg is not None or self.panels.azimuth_deg is None:
            return self.stay.heading_deg
        return (self.panels.azimuth_deg - FACING_DEG[self.panels.facing]) % 360.0

    def faces_deg(self, panels: Panels) -> float | None:
        """Where tilted panels on this roof face, clockwise from north; None if unknown."""
        if panels.azimuth_deg is not None or self.heading_deg is None:
            return panels.azimuth_deg
        return (self.heading_deg + FACING_DEG[panels.facing]) % 360.0

    @property
    def units_in_series(self) -> int:
        """Battery units in one series string."""
        return self.van.system_voltage_v // self.battery.unit_voltage_v

    @property
    def bank_capacity_ah(self) -> float:
        """Rated (20-hour) capacity of the whole bank at the system's voltage, in Ah."""
        return self.battery.unit_capacity_ah * (self.battery.units // self.units_in_series)
