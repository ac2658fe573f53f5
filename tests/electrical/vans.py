"""A plain van that keeps every rule, as tables to spoil, and people who ask little of it."""

from __future__ import annotations

import copy

from solarsim.electrical.check import Check
from solarsim.electrical.check import check_van as check_one
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.inputs.van import Van
from solarsim.weather.record import Place

__all__ = ["HERE", "VAN", "checked", "people", "van"]

HERE = Place("Salzburg", 47.8, 13.04, 430.0, "Europe/Vienna", 1.0)

VAN = {
    "van": {"name": "right"},
    "panels": {"part": "200 W rigid", "count": 2},
    "controller": {"max_input_v": 100.0, "max_output_a": 30.0},
    "battery": {"part": "100 Ah LFP", "units": 2},
    "inverter": {"power_w": 1200.0, "surge_w": 2400.0, "idle_w": 8.0},
    "alternator": {"dcdc_a": 30.0},
    "shore": {"charger_a": 20.0, "breaker_a": 16.0, "mains_voltage_v": 230.0},
}
LOADS = [
    {"name": "fridge", "power_w": 50.0, "response": "fridge"},
    {"name": "heater", "power_w": 30.0, "heat_w": 2000.0, "response": "heater"},
    {"name": "lights", "power_w": 15.0, "hours_per_day": 4.0, "windows": [[18, 22]]},
    {
        "name": "kettle",
        "current": "ac",
        "power_w": 900.0,
        "minutes_per_day": 10.0,
        "windows": [[7, 8]],
    },
    {
        "name": "mixer",
        "current": "ac",
        "power_w": 400.0,
        "surge_w": 1200.0,
        "minutes_per_day": 5.0,
        "windows": [[12, 13]],
    },
]


def people(*more: dict[str, object], heated: bool = True) -> Profile:
    """The usual loads and more; without a heater nobody warms the bank."""
    cabin = {"heater_set_point_c": 18.0} if heated else {}
    loads = [load for load in LOADS if heated or load["name"] != "heater"]
    data = {"profile": {"name": "people"}, "cabin": cabin, "appliances": [*loads, *more]}
    return profile_from_data(data, source="people")


def van(*settings: str, **tables: object) -> Van:
    """The right van with tables put in place of its own and settings over them.

    By boat law, where nothing else is named: its tables are published, and finer in insulation.
    """
    data = copy.deepcopy(VAN) | copy.deepcopy(tables)
    wiring = {"rules": "boat"} | data.get("wiring", {})
    return van_from_data(data | {"wiring": wiring}, source="van", settings=settings)


def checked(*settings: str, profile: Profile | None = None, **tables: object) -> Check:
    """Check the right van with changes."""
    return check_one(van(*settings, **tables), profile or people(), HERE)
