"""Vans that an electrician would not sign, by US or European rules, and what must be said of each.

Each is the right van of `vans.py` with changes. What is expected may come with more.
"""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["FOOLISH", "Foolish"]

US, EU = "us-rv", "eu-caravan"
LEAD = {"chemistry": "agm", "unit_capacity_ah": 100.0, "units": 4, "vented": True}
FLOODED = {"chemistry": "flooded", "unit_capacity_ah": 100.0, "units": 4}
FOUR = ["battery.units=4", "shore.charger_a=10"]
HOUSE = {"part": "400 W rigid", "count": 4, "series": 4}
BUS_24 = ["van.system_voltage_v=24", "panels.series=2", "battery.units=4", "alternator.dcdc_a=15"]
BUS_48 = [
    *("van.system_voltage_v=48", "battery.unit_voltage_v=48", "shore.charger_a=10"),
    *("alternator.dcdc_a=10", "controller.max_input_v=250"),
]
SECOND = {"name": "second", "part": "200 W rigid", "count": 1}
OWN = {"kind": "mppt", "max_input_v": 60.0, "max_output_a": 15.0, "max_input_a": 20.0}
REST = {"name": "rest", "current_a": 40.0}
KETTLE = {"name": "hob", "current": "ac", "power_w": 1800.0, "minutes_per_day": 20.0}


def ac(name, power_w, **more):
    return {"name": name, "current": "ac", "power_w": power_w, "minutes_per_day": 10.0} | more


def branch(**fields):
    return {"branches": [{"name": "pump", "current_a": 10.0, "length_m": 2.0} | fields, REST]}


def run(key, **fields):
    return {key: fields}


class Foolish(NamedTuple):
    """One van: rules, settings, its wiring, other tables, more loads, and what is said of it."""

    rules: str
    settings: list[str]
    wiring: dict[str, object]
    tables: dict[str, object]
    loads: tuple[dict[str, object], ...]
    said: dict[str, str]


def foolish(said, *settings, rules=US, wiring=None, loads=(), **tables):
    return Foolish(rules, list(settings), wiring or {}, tables, tuple(loads), said)


STOP, WARN, NOTE = "stop", "warn", "note"
FOOLISH = {
    # --- fuses and cables ---
    "30 A fuse on a 14 AWG branch": foolish(
        {"cable-fuse-large": STOP}, wiring=branch(wire="14 AWG", fuse_a=30.0)
    ),
    "15 A fuse on 1.5 mm2, which counts as 16 AWG": foolish(
        {"cable-fuse-large": STOP}, rules=US, wiring=branch(wire="1.5 mm2", fuse_a=15.0)
    ),
    "25 A fuse on 1.5 mm2 of PVC": foolish(
        {"cable-fuse-large": STOP}, rules=EU, wiring=branch(wire="1.5 mm2", fuse_a=25.0)
    ),
    "400 A fuse on 70 mm2": foolish(
        {"cable-fuse-large": STOP}, rules=EU, wiring=run("main", wire="70 mm2", fuse_a=400.0)
    ),
    "300 A fuse on 2/0 with lugs of 75 C": foolish(
        {"cable-fuse-large": STOP}, wiring=run("main", wire="2/0", fuse_a=300.0)
    ),
    "no main fuse": foolish({"cable-fuse-missing": STOP}, wiring=run("main", fused=False)),
    "no fuse at the starter battery": foolish(
        {"cable-fuse-missing": STOP}, wiring=run("dcdc_in", fused=False)
    ),
    "a branch without a fuse": foolish(
        {"cable-fuse-missing": STOP}, rules=EU, wiring=branch(fused=False)
    ),
    "main fuse a metre from the bank": foolish(
        {"cable-fuse-place": STOP}, wiring=run("main", length_m=2.0, fuse_from_source_m=1.0)
    ),
    "fuse that trips under the inverter": foolish(
        {"cable-fuse-small": WARN}, wiring=run("bank_inverter", fuse_a=130.0)
    ),
    "inverter on 10 mm2": foolish(
        {"cable-ampacity": STOP}, rules=EU, wiring=run("bank_inverter", wire="10 mm2")
    ),
    "90 C cable held to its terminals of 60 C": foolish(
        {"cable-ampacity": STOP},
        wiring=run("bank_inverter", wire="2 AWG", insulation_c=90, terminal_c=60),
    ),
    "PVC through the engine space": foolish(
        {"cable-hot": STOP}, rules=EU, wiring=run("dcdc_in", wire="10 mm2", length_m=1.5)
    ),
    "PVC cable on a roof in the sun": foolish(
        {"cable-hot": STOP},
        rules=EU,
        wiring=run("panels_controller", wire="6 mm2", insulation_c=70),
    ),
    "sixteen wires in one loom": foolish(
        {"cable-ampacity": STOP}, wiring=run("main", wire="4/0 AWG", bundled=16)
    ),
    "eight circuits in one sheath": foolish(
        {"cable-ampacity": STOP}, rules=EU, wiring=run("main", wire="95 mm2", bundled=16)
    ),
    "fridge at the end of 8 m of 18 AWG": foolish(
        {"cable-drop": WARN},
        wiring=branch(name="fridge", current_a=5.0, length_m=8.0, wire="18 AWG"),
    ),
    "long main cable takes the fridge's voltage": foolish(
        {"cable-drop": WARN}, wiring=run("main", wire="4/0 AWG", length_m=6.0)
    ),
    "doorbell wire": foolish(
        {"cable-thin": WARN}, rules=EU, wiring=branch(current_a=0.5, wire="0.5 mm2")
    ),
    "thin cables in parallel": foolish(
        {"cable-parallel-thin": STOP}, wiring=run("bank_inverter", wire="2 x 4 AWG")
    ),
    "5,600 W at 12 V": foolish(
        {"cable-none": STOP, "bank-discharge": STOP},
        "inverter.power_w=5600",
        "inverter.surge_w=9000",
    ),
    "32 V fuse in a 48 V bank": foolish(
        {"cable-fuse-voltage": STOP},
        *BUS_48,
        wiring=run("main", fuse_class="ANL"),
        panels=HOUSE | {"series": 2},
        battery={"part": "100 Ah LFP", "units": 2},
    ),
    "MEGA fuse at a lithium bank": foolish(
        {"cable-fuse-interrupting": STOP}, rules=EU, wiring=run("main", fuse_class="MEGA")
    ),
    "breaker of 3,000 A at a lithium bank": foolish(
        {"cable-fuse-interrupting": STOP}, wiring=run("main", fuse_interrupts_a=3000.0)
    ),
    "AGM with a 1,500 A breaker": foolish(
        {"cable-fuse-interrupting": STOP},
        wiring=run("main", fuse_interrupts_a=1500.0),
        battery=LEAD,
    ),
    # --- array ---
    "four 400 W panels in series on 150 V": foolish(
        {"array-voltage-cold": STOP, "array-touch": NOTE},
        *("controller.max_input_v=150", "controller.max_output_a=100", "shore.charger_a=5"),
        panels=HOUSE,
    ),
    "62 A of short circuit on 30 A without its datasheet": foolish(
        {"array-current-unknown": WARN}, "panels.count=6"
    ),
    "more than the datasheet's input": foolish(
        {"array-current-input": STOP}, "controller.max_input_a=20"
    ),
    "60 A string fuses": foolish(
        {"array-string-fuse-large": STOP}, "panels.count=3", "wiring.string_fuse_a=60"
    ),
    "20 A string fuse on 14 AWG": foolish(
        {"cable-fuse-large": STOP},
        *("panels.count=3", "controller.max_input_a=40"),
        wiring=run("panels_string", wire="14 AWG", length_m=1.0),
    ),
    "string fuses above the panel's rating": foolish(
        {"array-string-fuse-large": STOP},
        *("panels.count=3", "panels.max_series_fuse_a=15", "wiring.string_fuse_a=20"),
        rules=EU,
    ),
    "four strings, no fuses, panels for 20 A": foolish(
        {"array-string-fuse": STOP},
        *("panels.count=4", "panels.max_series_fuse_a=20", "wiring.string_fused=false"),
        rules=EU,
    ),
    "house panel beside small ones": foolish(
        {"array-unlike": WARN},
        "panels.count=1",
        arrays=[SECOND | {"part": "330 W residential 60 cells"}],
    ),
    "house panel on PWM": foolish(
        {"array-voltage-wasted": WARN},
        "controller.kind=pwm",
        panels={"part": "330 W residential 60 cells", "count": 1},
    ),
    "second array's controller without a fuse": foolish(
        {"cable-fuse-missing": STOP},
        arrays=[SECOND | {"controller": OWN, "controller_bank": {"fused": False}}],
    ),
    "second array on doorbell wire": foolish(
        {"cable-ampacity": STOP},
        arrays=[SECOND | {"controller": OWN, "panels_controller": {"wire": "18 AWG"}}],
    ),
    "panels that cannot be cut off": foolish(
        {"solar-isolator": WARN}, "wiring.solar_isolator=false", rules=EU
    ),
    # --- bank ---
    "one of four batteries fused": foolish({"bank-fuses": STOP}, *FOUR, "wiring.bank_fuses=1"),
    "lithium beside old AGM": foolish({"bank-mixed": STOP}, 'battery.mixed=["chemistry"]'),
    "a new battery beside old ones": foolish({"bank-mixed": WARN}, 'battery.mixed=["age"]'),
    "flooded in the cabin": foolish({"bank-gas": STOP}, "shore.charger_a=5", battery=FLOODED),
    "sealed lead-acid in a closed seat box": foolish(
        {"bank-gas": NOTE}, rules=EU, battery=LEAD | {"vented": False}
    ),
    "inverter above its one battery": foolish({"bank-discharge": STOP}, "battery.units=1"),
    "lithium that is charged in frost": foolish(
        {"bank-cold-unprotected": STOP}, "battery.bms_cold_cutoff=false"
    ),
    "drop-ins of 12 V in series against their maker": foolish(
        {"bank-series": STOP}, *BUS_24, "battery.max_in_series=1"
    ),
    "lithium at 15 V": foolish(
        {"charger-absorption-high": STOP}, "battery.charger_absorption_v=15"
    ),
    "AGM run down to a fifth, outside in the Alps": foolish(
        {"bank-freezing": STOP, "bank-floor": WARN},
        *("battery.floor_soc=0.2", "battery.location=outside"),
        battery=LEAD,
    ),
    # --- between the runs ---
    "no main switch": foolish({"main-switch": WARN}, "wiring.main_switch=false"),
    "100 A switch before a 1,200 W inverter": foolish(
        {"main-switch-small": STOP}, "wiring.main_switch_a=100"
    ),
    "shunt of 100 A": foolish({"shunt-small": STOP}, "wiring.shunt_a=100", rules=EU),
    "bus bars of 120 A": foolish({"bus-small": STOP}, "wiring.bus_a=120"),
    "chassis carries the current back": foolish(
        {"chassis-return": WARN}, "wiring.chassis_return=true", rules=EU
    ),
    "alarm behind the main switch": foolish(
        {"alarm-switched": WARN}, wiring=branch(name="gas alarm", current_a=0.2)
    ),
    "one 1 A branch for everything": foolish(
        {"branches-short": WARN}, wiring={"branches": [{"name": "all", "current_a": 1.0}]}
    ),
    "12 V pump on 24 V": foolish({"branch-voltage": STOP}, *BUS_24, wiring=branch(load_v=12)),
    # --- engine ---
    "split relay between a smart alternator and lithium": foolish(
        {"alternator-smart": WARN, "alternator-relay": WARN},
        *("alternator.coupling=split relay", "alternator.smart=true"),
    ),
    "180 A alternator on 16 mm2": foolish(
        {"cable-ampacity": STOP},
        "alternator.rating_a=180",
        rules=EU,
        wiring=run("alternator", wire="16 mm2", length_m=2.0),
    ),
    "60 A DC-DC on a 90 A alternator": foolish(
        {"alternator-load": WARN}, "alternator.dcdc_a=60", "alternator.rating_a=90", *FOUR
    ),
    # --- mains ---
    "230 V kettle on a 120 V inverter": foolish(
        {"mains-voltage": STOP},
        *("inverter.output_v=120", "shore.mains_voltage_v=120", "shore.breaker_a=30"),
        loads=[ac("travel kettle", 800.0, mains_v=230)],
    ),
    "120 V inverter behind a 230 V inlet": foolish(
        {"mains-voltage": STOP}, "inverter.output_v=120", rules=EU
    ),
    "kettle and hob together on 2,000 W": foolish(
        {"inverter-pair": STOP},
        *("inverter.power_w=2000", "inverter.surge_w=4000", *FOUR),
        wiring={"together": [["kettle", "hob"]]},
        loads=[KETTLE],
    ),
    "no residual-current device": foolish({"mains-rcd": STOP}, "wiring.rcd=false", rules=EU),
    "inverter and post on the same outlets": foolish(
        {"mains-transfer": STOP}, "wiring.transfer_switch=false"
    ),
    "chassis not bonded": foolish({"chassis-bond": STOP}, "wiring.chassis_bond=false", rules=EU),
    "inverter without earth": foolish(
        {"inverter-neutral": WARN}, "inverter.neutral_bonded=false", rules=EU
    ),
    "1 mm2 behind a 16 A post": foolish(
        {"mains-ampacity": STOP}, rules=EU, wiring=run("ac_inlet", wire="1 mm2")
    ),
    "1.5 mm2 behind a 16 A post": foolish(
        {"mains-cable": STOP}, rules=EU, wiring=run("ac_inlet", wire="1.5 mm2")
    ),
    "outlets at the end of 40 m of 2.5 mm2": foolish(
        {"mains-drop": WARN}, rules=EU, wiring=run("ac_outlets", wire="2.5 mm2", length_m=40.0)
    ),
    "20 kW beyond every breaker": foolish(
        {"mains-breaker": STOP},
        *("inverter.power_w=20000", "inverter.surge_w=40000", "inverter.output_v=120"),
        *("shore.mains_voltage_v=120", "shore.breaker_a=30"),
    ),
    # 3,000 W / 120 V x 1.25 = 31.25 A.
    "30 A transfer switch behind a 3 kW inverter": foolish(
        {"transfer-inverter": STOP},
        *("inverter.power_w=3000", "inverter.surge_w=3300", "inverter.output_v=120"),
        *("shore.mains_voltage_v=120", "shore.breaker_a=30", "inverter.transfer_a=30"),
        rules="us-rv",
    ),
    "10 A transfer switch behind a 16 A post": foolish(
        {"transfer-switch": STOP}, "inverter.transfer_a=10", rules=EU
    ),
}
