"""The matrix of deliberately wrong vans: what is changed in the right one, and what is found."""

from __future__ import annotations

__all__ = ["COLD_CABIN", "OUTSIDE", "WRONG"]

COLD_CABIN = "lithium in a van that nobody heats"
OUTSIDE = "battery.location=outside"
LEAD = {"chemistry": "agm", "unit_capacity_ah": 100.0, "units": 4, "vented": True}
# What the branch that is looked at leaves of the loads.
REST = {"name": "rest", "current_a": 40.0}
FLOODED = LEAD | {"chemistry": "flooded", "vented": False}
GEL = LEAD | {"chemistry": "gel"}
FAST_KETTLE = {"name": "big kettle", "current": "ac", "power_w": 1500.0, "minutes_per_day": 5.0}
TOASTER = {
    "name": "toaster",
    "current": "ac",
    "power_w": 800.0,
    "minutes_per_day": 5.0,
    "windows": [[7.5, 9]],
}
DRILL = {
    "name": "drill",
    "current": "ac",
    "power_w": 700.0,
    "surge_w": 2600.0,
    "minutes_per_day": 5.0,
    "windows": [[14, 15]],
}

# A bank that bears any inverter of 12 V.
LARGE = ["battery.units=4", "battery.unit_capacity_ah=400", "inverter.surge_w=12000"]
LARGE += ["battery.short_circuit_a=5000"]

PORTABLE = {"name": "portable", "kind": "ground", "part": "200 W rigid", "count": 1}
ROOMY = ["controller.max_output_a=45", "shore.charger_a=10"]
SMALL = {"kind": "mppt", "max_input_v": 40.0, "max_output_a": 10.0}


def wiring(run, **fields):
    return {"wiring": {run: fields}}


# name: (settings, tables, more loads...), findings as {id: severity}.
WRONG = {
    # Array.
    "three in series": (
        (
            [
                "panels.count=3",
                "panels.series=3",
                "controller.max_input_v=75",
                "controller.max_output_a=45",
                "shore.charger_a=10",
            ],
            {},
        ),
        {"array-voltage-cold": "stop", "array-touch": "note"},
    ),
    "too few cells": (
        ([], {"panels": {"part": "100 W flexible", "count": 4}}),
        {"array-voltage-hot": "warn"},
    ),
    "PWM on a residential panel": (
        (
            ["controller.kind=pwm"],
            {"panels": {"part": "330 W residential 60 cells", "count": 1}},
        ),
        {"array-voltage-wasted": "warn"},
    ),
    "more than the input takes": (
        (["controller.max_input_a=20"], {}),
        {"array-current-input": "stop"},
    ),
    "PWM below the array's current": (
        (["controller.kind=pwm", "controller.max_output_a=20"], {}),
        {"array-current-pwm": "stop"},
    ),
    "twice the controller": (
        (["controller.max_output_a=15"], {}),
        {"array-oversize": "warn", "array-current-unknown": "warn"},
    ),
    "three strings, no fuses": (
        (
            ["panels.count=3", "controller.max_output_a=40", "wiring.string_fused=false"],
            {},
        ),
        {"array-string-fuse": "stop"},
    ),
    "string fuses too small": (
        (
            ["panels.count=3", "controller.max_output_a=40", "wiring.string_fuse_a=10"],
            {},
        ),
        {"array-string-fuse-small": "warn"},
    ),
    "string fuses above the panel's": (
        (["panels.count=3", "controller.max_output_a=40", "panels.max_series_fuse_a=15"], {}),
        {"array-string-fuse-large": "stop"},
    ),
    "portable panel on a controller that is full": (
        ([*ROOMY, "controller.max_input_a=30"], {"arrays": [PORTABLE]}),
        {"array-current-input": "stop"},
    ),
    "three strings of two arrays, no fuses": (
        ([*ROOMY, "wiring.string_fused=false"], {"arrays": [PORTABLE]}),
        {"array-string-fuse": "stop"},
    ),
    "unlike strings on one controller": (
        (
            [*ROOMY, "panels.count=1"],
            {"arrays": [{"name": "old", "kind": "roof", "part": "330 W residential 60 cells"}]},
        ),
        {"array-unlike": "warn"},
    ),
    "portable panels in series on a small controller": (
        ([], {"arrays": [PORTABLE | {"count": 2, "series": 2, "controller": SMALL}]}),
        {
            "array-voltage-cold": "stop",
            "array-oversize": "warn",
            "array-current-unknown": "warn",
        },
    ),
    # Bank.
    "one small lithium battery": (
        (["battery.units=1"], {}),
        {"bank-discharge": "stop", "bank-charge": "stop"},
    ),
    "weak BMS": (
        (["battery.bms_discharge_a=50", "battery.bms_charge_a=80"], {}),
        {"bank-discharge": "stop"},
    ),
    "BMS without surge": (
        (["battery.bms_surge_a=110", "battery.bms_discharge_a=100"], {}),
        {"bank-surge": "warn"},
    ),
    "small lead-acid bank under a large inverter": (
        (["battery.units=2", "shore.charger_a=5", "alternator.dcdc_a=10"], {"battery": LEAD}),
        {"bank-c-rate": "warn"},
    ),
    "cells harder than their BMS": (
        (["battery.bms_discharge_a=200", "battery.bms_surge_a=400", "inverter.power_w=1900"], {}),
        {"bank-c-rate": "warn"},
    ),
    "cells charged harder than their BMS": (
        (["battery.bms_charge_a=100", "shore.charger_a=75"], {}),
        {"bank-charge-rate": "warn"},
    ),
    "lithium to the last": (
        (["battery.floor_soc=0.02"], {}),
        {"bank-floor": "note"},
    ),
    "sun and shore power at once": (
        (["shore.charger_a=65"], {}),
        {"bank-charge": "stop"},
    ),
    "gel charged too fast": (
        ([], {"battery": GEL | {"units": 3}}),
        {"bank-charge": "warn"},
    ),
    "five in parallel": (
        (["battery.units=5"], {}),
        {"bank-parallel": "warn"},
    ),
    "drop-ins in series": (
        (
            [
                "van.system_voltage_v=24",
                "panels.series=2",
                "battery.units=4",
                "battery.max_in_series=1",
                "alternator.dcdc_a=20",
            ],
            {},
        ),
        {"bank-series": "stop"},
    ),
    "lithium of 2 V": (
        (["battery.unit_voltage_v=2", "battery.units=12"], {}),
        {"bank-unit-voltage": "stop"},
    ),
    "48 V": (
        (
            [
                "van.system_voltage_v=48",
                "panels.series=3",
                "controller.max_input_v=150",
                "battery.unit_voltage_v=48",
                "shore.charger_a=10",
                "alternator.dcdc_a=10",
            ],
            {"panels": {"part": "400 W rigid", "count": 3}},
        ),
        {"bank-voltage": "note", "array-touch": "note"},
    ),
    "lithium outside in the Alps": (([OUTSIDE], {}), {"bank-cold-charging": "warn"}),
    "lead-acid outside in the Alps, used down to a fifth": (
        ([OUTSIDE, "battery.floor_soc=0.2"], {"battery": LEAD}),
        {"bank-freezing": "stop", "bank-floor": "warn"},
    ),
    COLD_CABIN: (([], {}), {"bank-cold-charging": "warn"}),
    "no protection from the cold": (
        (["battery.bms_cold_cutoff=false"], {}),
        {"bank-cold-unprotected": "stop"},
    ),
    "lead-acid to a fifth": (
        (["battery.floor_soc=0.2"], {"battery": LEAD}),
        {"bank-floor": "warn"},
    ),
    "flooded in the cabin": (
        (["battery.units=5", "battery.unit_capacity_ah=220"], {"battery": FLOODED}),
        {"bank-gas": "stop", "bank-parallel": "warn"},
    ),
    # Set-points.
    "lithium at 15 V": (
        (["battery.charger_absorption_v=15"], {}),
        {"charger-absorption-high": "stop"},
    ),
    "gel at an AGM's voltage": (
        (["battery.charger_absorption_v=14.7", "shore.charger_a=5"], {"battery": GEL}),
        {"charger-absorption-high": "stop"},
    ),
    "lithium never full": (
        (["battery.charger_absorption_v=13.6"], {}),
        {"charger-absorption-low": "warn"},
    ),
    "float too high": (
        (["battery.charger_float_v=14.2"], {}),
        {"charger-float-high": "warn"},
    ),
    "lithium equalised": (
        (["battery.charger_equalize_v=15.5"], {}),
        {"charger-equalize": "stop"},
    ),
    "lithium compensated": (
        (["battery.charger_compensated=true"], {}),
        {"charger-compensation": "warn"},
    ),
    "lead-acid not compensated": (
        (["battery.charger_compensated=false"], {"battery": LEAD}),
        {"charger-compensation": "warn"},
    ),
    # Inverter and shore.
    "kettle above the inverter": (
        ([], {}, FAST_KETTLE),
        {"inverter-single": "stop"},
    ),
    "kettle and toaster in one hour": (
        ([], {}, TOASTER),
        {"inverter-together": "warn"},
    ),
    "kettle and mixer together, as marked": (
        ([], {"wiring": {"together": [["kettle", "mixer"]]}}),
        {"inverter-pair": "stop"},
    ),
    "marked by a name that nobody has": (
        ([], {"wiring": {"together": [["ketle", "mixer"]]}}),
        {"together-unknown": "note"},
    ),
    "drill that does not start": (
        ([], {}, DRILL),
        {"inverter-surge": "warn"},
    ),
    "idle all day": (
        (["inverter.always_on=true", "inverter.idle_w=25"], {}),
        {"inverter-idle": "warn"},
    ),
    "kettle and charger on a 6 A post": (
        (["shore.breaker_a=6", "shore.charger_a=40"], {"battery": {"part": "200 Ah LFP"}}),
        {"shore-breaker": "warn"},
    ),
    "25 A post": ((["shore.breaker_a=25"], {}), {"shore-breaker-size": "note"}),
    "small transfer switch": (
        (["inverter.transfer_a=10"], {}),
        {"transfer-switch": "stop"},
    ),
    # Alternator.
    "small alternator": ((["alternator.rating_a=70"], {}), {"alternator-load": "warn"}),
    "drains the starter battery": (
        (["alternator.starter_protected=false"], {}),
        {"alternator-starter": "warn"},
    ),
    # Cables and fuses.
    "inverter on 8 AWG": (
        ([], wiring("bank_inverter", wire="8 AWG")),
        {"cable-ampacity": "stop", "cable-drop": "warn"},
    ),
    "inverter on thin metric cable": (
        ([], wiring("bank_inverter", wire="16 mm2", fuse_a=175.0)),
        {"cable-ampacity": "stop", "cable-drop": "warn"},
    ),
    "main cable with cool insulation": (
        ([], wiring("main", wire="25 mm2", insulation_c=60)),
        {"cable-ampacity": "stop", "cable-drop": "warn"},
    ),
    "long thin run to the fridge": (
        (
            [],
            {
                "wiring": {
                    "branches": [
                        {"name": "fridge", "current_a": 5.0, "length_m": 8.0, "wire": "16 AWG"},
                        REST,
                    ]
                }
            },
        ),
        {"cable-drop": "warn"},
    ),
    "doorbell wire": (
        (
            [],
            {
                "wiring": {
                    "branches": [
                        {"name": "lamp", "current_a": 0.5, "length_m": 1.0, "wire": "20 AWG"},
                        REST,
                    ]
                }
            },
        ),
        {"cable-ampacity": "stop", "cable-thin": "warn"},
    ),
    "through the engine space": (
        ([], wiring("dcdc_in", wire="8 AWG", length_m=1.0, insulation_c=60)),
        {"cable-ampacity": "stop"},
    ),
    "no fuse at the bank": (
        ([], wiring("bank_bus", fused=False)),
        {"cable-fuse-missing": "stop"},
    ),
    "no fuse at the starter battery": (
        ([], wiring("dcdc_in", fused=False)),
        {"cable-fuse-missing": "stop"},
    ),
    "fuse that blows": (
        ([], wiring("bank_inverter", fuse_a=125.0)),
        {"cable-fuse-small": "warn"},
    ),
    "fuse that protects nothing": (
        ([], wiring("controller_bank", wire="10 AWG", fuse_a=100.0)),
        {"cable-fuse-large": "stop"},
    ),
    "fuse far from the bank": (
        ([], wiring("bank_inverter", fuse_from_source_m=0.5)),
        {"cable-fuse-place": "stop"},
    ),
    "sheathed, and still too far": (
        ([], wiring("bank_inverter", fuse_from_source_m=1.2, sheathed=True)),
        {"cable-fuse-place": "stop"},
    ),
    "fuse that cannot break lithium": (
        ([], wiring("bank_inverter", fuse_interrupts_a=2000.0)),
        {"cable-fuse-interrupting": "stop"},
    ),
    "panels' cable of cool insulation on the roof": (
        (
            [],
            wiring("panels_controller", wire="10 AWG", length_m=3.0, insulation_c=75),
        ),
        {"cable-hot": "stop"},
    ),
    "no cable of that insulation bears the roof": (
        ([], wiring("panels_controller", insulation_c=60)),
        {"cable-hot": "stop"},
    ),
    "main cable beside something hot": (
        ([], wiring("main", wire="1/0 AWG", ambient_c=90.0)),
        {"cable-hot": "stop"},
    ),
    "panels' cable too thin in any air": (
        ([], wiring("panels_controller", wire="14 AWG", length_m=1.0, ambient_c=30.0)),
        {"cable-ampacity": "stop"},
    ),
    "sixteen wires in one loom": (
        ([], wiring("main", wire="1/0 AWG", bundled=16)),
        {"cable-ampacity": "stop"},
    ),
    "thin cables in parallel": (
        ([], wiring("bank_inverter", wire="2 x 4 AWG")),
        {"cable-parallel-thin": "stop"},
    ),
    "two cables in parallel": (
        ([*LARGE, "inverter.power_w=3700"], {}),
        {"cable-parallel": "warn"},
    ),
    "no cable is thick enough": (
        ([*LARGE, "inverter.power_w=6600"], {}),
        {"cable-none": "stop"},
    ),
    "no fuse is large enough": (
        ([*LARGE, "inverter.power_w=9000"], {}),
        {"cable-none": "stop", "cable-fuse-none": "stop"},
    ),
}
