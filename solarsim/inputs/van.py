"""What the builder describes: the van, its bank, chargers and inverter, and all its tables."""

from __future__ import annotations

import calendar
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from solarsim.cards import Card, Carded
from solarsim.errors import InputError
from solarsim.inputs.base import Record, checked_record
from solarsim.inputs.body import Body, body_of_roof
from solarsim.inputs.chargers import Alternator, Shore
from solarsim.inputs.converter import Converter
from solarsim.inputs.fuel import Fuel
from solarsim.inputs.generator import START_ABOVE_FLOOR, Generator
from solarsim.inputs.identity import Identity
from solarsim.inputs.inverter import Inverter
from solarsim.inputs.limits import Amperes, SetPoint, Share
from solarsim.inputs.panels import Controller, FurtherArray, Panels
from solarsim.inputs.roof import FACING_DEG, Roof
from solarsim.inputs.stay import Stay
from solarsim.inputs.wiring import Wiring

__all__ = ["Battery", "Van"]

# Two ways of telling one heading may differ by rounding.
_SAME_WAY_DEG = 1.0
# As in the table of chemistries, to which a test holds them.
_LITHIUM_FLOOR, _LEAD_FLOOR = 0.1, 0.5


class Battery(Record):
    """The house bank: like units in series to the system's voltage and in parallel.

    What stands between ``location`` and ``cost`` serves the electrical check alone; left out, the
    chemistry's ordinary figures stand in. The chargers' set-points are at the system's voltage, at
    25 C.
    """

    part: str | None = None
    """A battery of the library by its name (`solarsim parts`), instead of the numbers that it
    fills in."""
    chemistry: Literal["lfp", "agm", "gel", "flooded"]
    """Lithium iron phosphate, or lead-acid: AGM, gel or flooded."""
    unit_capacity_ah: Annotated[float, Field(gt=0.0, le=2000.0)]
    """Rated capacity of one unit at the 20-hour rate."""
    unit_voltage_v: Literal[2, 6, 12, 24, 48] = 12
    """Nominal voltage of one unit; divides the system's voltage."""
    units: Annotated[int, Field(ge=1, le=96)] = 1
    """How many units the bank has, series and parallel together."""
    mixed: Annotated[
        tuple[Literal["chemistry", "capacity", "age", "maker"], ...], Field(strict=False)
    ] = ()
    """In what the units differ from one another, such as `["age"]`."""
    floor_soc: Share | None = None
    """State of charge at which the bank is cut off; left out, 0.1 for LFP and 0.5 for lead-acid
    (common practice, no source)."""
    self_heating: bool = False
    """Whether LFP units warm themselves in the cold before they are charged."""
    heater_w: Annotated[float, Field(ge=0.0, le=500.0)] = 30.0
    """Power of the heaters of a bank that heats itself."""
    location: Literal["inside", "outside"] = "inside"
    """Whether the bank lives in the cabin's warmth or in the outside air."""
    vented: bool = False
    """Whether the bank stands in a box or a room of its own with a vent to the outside."""
    bms_discharge_a: Amperes | None = None
    """Largest lasting current that one unit's BMS lets out."""
    bms_surge_a: Amperes | None = None
    """Largest current that one unit's BMS lets out for seconds."""
    bms_charge_a: Amperes | None = None
    """Largest lasting current that one unit's BMS lets in."""
    bms_cold_cutoff: bool = True
    """Whether the BMS itself stops charging below freezing."""
    max_in_series: Annotated[int, Field(ge=1, le=24)] | None = None
    """How many units their maker lets stand in series."""
    short_circuit_a: Amperes | None = None
    """Current of one unit when short-circuited, for the fuses' interrupting rating."""
    charger_absorption_v: SetPoint | None = None
    """Absorption voltage that the chargers are set to."""
    charger_float_v: SetPoint | None = None
    """Float voltage that the chargers are set to."""
    charger_equalize_v: SetPoint | None = None
    """Equalising voltage that the chargers are set to, where they equalise."""
    charger_compensated: bool | None = None
    """Whether the chargers follow the bank's temperature."""
    cost: Annotated[float, Field(ge=0.0)] | None = None
    """Price of one unit; with panels.cost, `tune` picks the cheapest
    design."""

    @property
    def cut_soc(self) -> float:
        """State of charge at which the bank is cut off: given, or usual for the chemistry."""
        if self.floor_soc is not None:
            return self.floor_soc
        return _LITHIUM_FLOOR if self.chemistry == "lfp" else _LEAD_FLOOR


class Van(Carded, Record):
    """One van file: every table of it, with the stay it is asked about."""

    van: Identity
    """Name and system voltage."""
    roof: Roof | None = None
    """The flat part of the roof and what stands on it; left out, nothing shades the panels."""
    panels: Panels
    """The main array."""
    controller: Controller = Controller()
    """The main array's charge controller."""
    arrays: Annotated[tuple[FurtherArray, ...], Field(strict=False, max_length=8)] = ()
    """Further arrays."""
    battery: Battery
    """The house bank."""
    converter: Converter | None = None
    """Converter to 12 V in a van of 24 or 48 V; left out, an ordinary one is assumed where an
    appliance needs it."""
    inverter: Inverter | None = None
    """The inverter; left out, the van has none and runs no AC loads."""
    alternator: Alternator | None = None
    """Charging while driving; left out, there is none."""
    shore: Shore | None = None
    """Charging from mains; left out, there is none."""
    generator: Generator | None = None
    """Charging from a generator; left out, there is none."""
    fuel: Fuel | None = None
    """What heat, hot water and cooking burn; left out, no fuel is counted."""
    wiring: Wiring = Wiring()
    """Lengths, wires and fuses, for `check`."""
    stay: Stay = Stay()
    """Where, when and how long the van stands."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        system_v = self.van.system_voltage_v
        unit_v = self.battery.unit_voltage_v
        if system_v % unit_v:
            raise ValueError(
                f"battery.unit_voltage_v ({unit_v}) must divide van.system_voltage_v ({system_v})"
            )
        if self.converter is not None and system_v == 12:
            raise ValueError(
                "converter: nothing needs one where van.system_voltage_v is 12; leave the table out"
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
        self._check_generator()
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

    def _check_generator(self) -> None:
        generator = self.generator
        if generator is None:
            return
        if generator.charger_a is None and (self.shore is None or self.shore.charger_a == 0.0):
            raise ValueError(
                "generator.charger_a is needed: there is no shore charger that it could feed"
            )
        start_soc, floor_soc = self.generator_start_soc, self.battery.cut_soc
        if not floor_soc < start_soc < generator.stop_soc:
            raise ValueError(
                f"generator.start_soc ({start_soc:g}) must lie above the bank's floor "
                f"({floor_soc:g}) and below generator.stop_soc ({generator.stop_soc:g})"
            )

    @property
    def generator_start_soc(self) -> float:
        """State of charge at which a generator is started, 0 to 1."""
        given = None if self.generator is None else self.generator.start_soc
        return round(self.battery.cut_soc + START_ABOVE_FLOOR, 9) if given is None else given

    @classmethod
    def build(
        cls,
        name: str | None = None,
        *,
        panels: str | Mapping[str, Any] | None = None,
        battery: str | Mapping[str, Any] | None = None,
        panel_count: int | None = None,
        panels_in_series: int | None = None,
        tilt_deg: float | None = None,
        controller_a: float | None = None,
        battery_units: int | None = None,
        system_voltage_v: int | None = None,
        inverter_w: float | None = None,
        dcdc_a: float | None = None,
        drive_h: float | None = None,
        shore_charger_a: float | None = None,
        place: str | tuple[float, float] | None = None,
        month: int | None = None,
        days: int | None = None,
        profile: str | Path | None = None,
        **tables: Any,
    ) -> Van:
        """Build a van from keywords; parts are filled in and everything is checked as in a file.

        Parameters
        ----------
        name : str
            What the van is called; required.
        panels, battery : str or mapping
            A part of the library by its name, or the table as in a van's file; required.
        panel_count, panels_in_series, tilt_deg
            ``count``, ``series`` and ``tilt_deg`` of the table ``panels``.
        controller_a : float, optional
            ``max_output_a`` of the table ``controller``.
        battery_units : int, optional
            ``units`` of the table ``battery``.
        system_voltage_v : int, optional
            12, 24 or 48.
        inverter_w : float, optional
            ``power_w`` of the table ``inverter``; without that table the van has none.
        dcdc_a, drive_h
            DC-DC charger and hours of driving a day, of the table ``alternator``.
        shore_charger_a : float, optional
            ``charger_a`` of the table ``shore``.
        place, month, days, profile
            Of the table ``stay``; `ask` may say otherwise.
        **tables
            Any table of a van's file as a mapping: ``roof``, ``controller``, ``arrays``,
            ``inverter``, ``alternator``, ``shore``, ``wiring``, ``stay``.

        Raises
        ------
        InputError
            A name, panels or battery left out, an unknown keyword, key or part, a field that is
            given twice, a value out of range or at odds with another; the table and the field are
            named.

        Examples
        --------
        >>> van = Van.build("Lark", panels="200 W rigid", panel_count=2, battery="100 Ah LFP",
        ...     battery_units=2, inverter_w=1200, roof={"length_m": 3.4, "width_m": 1.6})
        >>> van.bank_capacity_ah, van.inverter.power_w
        (200.0, 1200.0)
        """
        from solarsim.inputs.build import built_van

        short: dict[str, dict[str, Any]] = {
            "van": {"name": name, "system_voltage_v": system_voltage_v},
            "panels": {"count": panel_count, "series": panels_in_series, "tilt_deg": tilt_deg},
            "controller": {"max_output_a": controller_a},
            "battery": {"units": battery_units},
            "inverter": {"power_w": inverter_w},
            "alternator": {"dcdc_a": dcdc_a, "drive_h": drive_h},
            "shore": {"charger_a": shore_charger_a},
            "stay": {"place": place, "month": month, "days": days, "profile": profile},
        }
        return built_van({"panels": panels, "battery": battery} | tables, short)

    def card(self) -> Card:
        """Return what the van is made of."""
        try:
            checked_record(self, source="")
        except InputError as error:
            return Card("A van that cannot be: changed, not checked", [("fault", str(error))])
        return Card(f"Van '{self.van.name}', {self.van.system_voltage_v} V", _card_rows(self))

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
    def body(self) -> Body:
        """The size of the living space with its cab: given, or told from the roof."""
        of = self.van
        return body_of_roof(
            self.roof, length_m=of.length_m, width_m=of.width_m, height_m=of.height_m
        )

    @property
    def units_in_series(self) -> int:
        """Battery units in one series string."""
        return self.van.system_voltage_v // self.battery.unit_voltage_v

    @property
    def bank_capacity_ah(self) -> float:
        """Rated (20-hour) capacity of the whole bank at the system's voltage, in Ah."""
        return self.battery.unit_capacity_ah * (self.battery.units // self.units_in_series)


def _card_rows(van: Van) -> list[tuple[str, str]]:
    panels, battery, stay = van.panels, van.battery, van.stay
    flat = f"tilted {panels.tilt_deg:g} degrees" if panels.tilt_deg else "flat"
    rows = [
        ("panels", f"{panels.count} x {panels.power_w:g} W, {flat}; {panels.part or 'no part'}"),
        ("controller", f"{van.controller.kind.upper()}, {van.controller.max_output_a:g} A"),
        (
            "bank",
            f"{battery.units} x {battery.unit_capacity_ah:g} Ah {battery.chemistry.upper()} of "
            f"{battery.unit_voltage_v} V: {van.bank_capacity_ah:g} Ah",
        ),
    ]
    if van.arrays:
        rows.append(("arrays", ", ".join(f"{a.count} x {a.power_w:g} W" for a in van.arrays)))
    if van.inverter is not None:
        rows.append(("inverter", f"{van.inverter.power_w:,g} W"))
    if van.alternator is not None:
        rows.append(
            ("alternator", f"{van.alternator.dcdc_a:g} A, driving {van.alternator.drive_h:g} h")
        )
    if van.shore is not None:
        rows.append(("shore", f"{van.shore.charger_a:g} A, plugged in {van.shore.plugged_h:g} h"))
    if van.generator is not None:
        rows.append(("generator", f"{van.generator.power_w:,g} W"))
    if van.roof is not None:
        rows.append(
            (
                "roof",
                f"{van.roof.length_m:g} x {van.roof.width_m:g} m, "
                f"obstacles: {len(van.roof.obstacles)}",
            )
        )
    dates = calendar.month_name[stay.month] if stay.start is None else f"from {stay.start}"
    rows.append(("stay", f"{stay.place}, {dates}, {stay.days} days, profile {stay.profile}"))
    return rows
