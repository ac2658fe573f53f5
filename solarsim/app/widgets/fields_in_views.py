"""The inputs that stand where they are looked at: datasheets, the roof, runs and ratings."""

from __future__ import annotations

from solarsim.app.widgets.field import Field
from solarsim.electrical.rules import rule

__all__ = ["DATASHEETS", "RATINGS", "ROOF", "RULES", "RUNS"]

_PANEL = (
    Field(
        "panels.power_w",
        "roof",
        "Power, W",
        "At standard test conditions. It must agree with Vmp x Imp within 5 %.",
        places=1,
    ),
    Field("panels.vmp_v", "roof", "Vmp, V", "Voltage at full power: 17 to 41.", places=2),
    Field("panels.imp_a", "roof", "Imp, A", "Current at full power: 5 to 13.", places=2),
    Field(
        "panels.voc_v",
        "roof",
        "Voc, V",
        "Voltage of the open circuit: about a fifth above Vmp.",
        places=2,
    ),
    Field(
        "panels.isc_a",
        "roof",
        "Isc, A",
        "Current of the short circuit: 5 to 8 % above Imp.",
        places=2,
    ),
    Field(
        "panels.alpha_isc_pct_k",
        "roof",
        "Isc by heat, %/K",
        "Temperature coefficient of Isc: 0.03 to 0.06.",
        places=3,
    ),
    Field(
        "panels.beta_voc_pct_k",
        "roof",
        "Voc by heat, %/K",
        "Temperature coefficient of Voc: "
        "-0.25 to -0.33. The coldest morning's voltage hangs on it.",
        places=3,
    ),
    Field(
        "panels.gamma_pmp_pct_k",
        "roof",
        "Power by heat, %/K",
        "Temperature coefficient of the power: -0.29 to -0.43.",
        places=3,
    ),
    Field(
        "panels.cells_in_series",
        "roof",
        "Cells in series",
        "36 of a 12 V class panel, 60 or 72 of a house panel. Half cells: those of one half.",
    ),
    Field(
        "panels.length_m", "roof", "Panel's length, m", "Over the frame, its longer side.", places=3
    ),
    Field(
        "panels.width_m", "roof", "Panel's width, m", "Over the frame, its shorter side.", places=3
    ),
    Field(
        "panels.mounting",
        "roof",
        "Mounted",
        "With air below it stays cooler than close to the roof, and glued on it gets hottest.",
    ),
)
_BATTERY = (
    Field(
        "battery.chemistry",
        "bank",
        "Chemistry",
        "LFP is lithium iron phosphate; the others are lead-acid.",
    ),
    Field(
        "battery.unit_capacity_ah",
        "bank",
        "Capacity of one unit, Ah",
        "At the 20-hour rate: 50 to 300.",
    ),
    Field(
        "battery.unit_voltage_v",
        "bank",
        "Voltage of one unit, V",
        "Nominal. Units are put in series up to the system's voltage.",
    ),
    Field(
        "battery.self_heating",
        "bank",
        "Heats itself",
        "A lithium unit that warms itself before it takes charge below freezing.",
    ),
)
DATASHEETS = {"panels": _PANEL, "battery": _BATTERY}

RATINGS: tuple[Field, ...] = (
    Field(
        "battery.bms_discharge_a",
        "bank",
        "BMS discharge, A",
        "What one unit's battery management system lets out for hours: 50 to 200.",
        optional=True,
        empty="the chemistry's usual",
    ),
    Field(
        "battery.bms_charge_a",
        "bank",
        "BMS charge, A",
        "What one unit's battery management system takes in for hours: 50 to 100.",
        optional=True,
        empty="the chemistry's usual",
    ),
    Field(
        "alternator.rating_a",
        "bank",
        "Alternator, A",
        "What its label says: 90 to 240.",
        optional=True,
        empty=f"{rule('alternator_rating_a').value:g}, usual",
    ),
)

RULES: tuple[Field, ...] = (
    Field(
        "wiring.rules",
        "bank",
        "Rules",
        "What the wiring is held to. Boat law is for boats: it lets a fuse exceed its cable.",
        optional=True,
        empty="by the stay's country",
    ),
)
_AT_THE_BANK = "Within arm's length: 0.5 to 2 m."
RUNS: tuple[Field, ...] = tuple(
    Field(
        f"wiring.{run}.length_m",
        "bank",
        f"{label}, m",
        f"{usual} One way, along the cable's path.",
        places=1,
        optional=True,
        empty=f"{rule(f'length_{run}_m').value:g} m, usual",
    )
    for run, label, usual in (
        ("main", "Bank to positive bus", _AT_THE_BANK),
        ("bank_inverter", "Bus to inverter", _AT_THE_BANK),
        ("bank_bus", "Bus to fuse block", _AT_THE_BANK),
        ("converter", "Fuse block to converter to 12 V", _AT_THE_BANK),
        ("controller_bank", "Solar controller to bus", _AT_THE_BANK),
        ("dcdc_out", "DC-DC charger to bus", _AT_THE_BANK),
        ("charger_bank", "Shore charger to bus", _AT_THE_BANK),
        ("dcdc_in", "Starter battery to DC-DC", "From the engine to the living space: 4 to 8 m."),
        ("panels_controller", "Panels to controller", "From the roof down to it: 3 to 8 m."),
    )
)

ROOF: tuple[Field, ...] = (
    Field(
        "roof.length_m",
        "roof",
        "Length, m",
        "Of the flat part, along the van: 3 to 5 m on vans, 6 "
        "to 12 m on buses. Measure it before anything is drilled.",
        places=2,
    ),
    Field("roof.width_m", "roof", "Width, m", "Of the flat part: 1.4 to 2.3 m.", places=2),
    Field(
        "roof.margin_m",
        "roof",
        "Free along the edge, m",
        "0.05 to 0.1 m: wind pulls most at the edges.",
        places=2,
    ),
    Field(
        "roof.gap_m",
        "roof",
        "Between panels, m",
        "Room for brackets and for heat: 0.02 m.",
        places=2,
    ),
    Field(
        "roof.walkway_m",
        "roof",
        "Walkway, m",
        "A strip over the whole length to step on: 0 for none, 0.4 m to stand in.",
        places=2,
    ),
    Field(
        "roof.walkway",
        "roof",
        "Walkway's side",
        "In the middle, or along a side as one looks forwards.",
    ),
)
