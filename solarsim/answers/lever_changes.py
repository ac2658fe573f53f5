"""Single changes to a van, its people or its parking, each worth some days."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

from solarsim.answers.question import Question
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.chargers import Alternator
from solarsim.inputs.panels import FurtherArray
from solarsim.inputs.parts import part_table
from solarsim.inputs.percent import percent
from solarsim.inputs.van import Van
from solarsim.packing.fit import fitting_counts

__all__ = [
    "LARGEST_LOADS",
    "Change",
    "Skip",
    "build_changes",
    "lever_changes",
    "live_changes",
    "needed_load",
    "without_load",
]

LARGEST_LOADS = 3
_TILT_DEG = 30.0
_DRIVE_H = 0.5
_SHORE_H = 8.0
_SHORE_EVERY_DAYS = 3
_CLEAN_SHARE = 0.01
_SET_POINT_STEP_C = 2.0
_DCDC_STEP_A = 20.0
_ARRIVE_SOC = 0.8
# By the system's voltage: panels, and how many of them in series.
_PORTABLE = {12: ("200 W rigid", 1), 24: ("100 W rigid", 2)}
_PORTABLE_CONTROLLER_A = 20.0


@dataclasses.dataclass(frozen=True)
class Skip:
    """Why a change does not apply."""

    reason: str


Change = Callable[[Question], Question | Skip]


def lever_changes(van: Van) -> tuple[tuple[str, Change], ...]:
    """Every change by its name, what is built before how people live."""
    return (*build_changes(van), *live_changes(van))


def build_changes(van: Van) -> tuple[tuple[str, Change], ...]:
    """What a builder can build or fit, by its name; panels and batteries by the string."""
    panels, units = van.panels.series, van.units_in_series
    return (
        ("one more panel" if panels == 1 else f"{panels} more panels", lambda q: _panels(q, +1)),
        ("one panel fewer" if panels == 1 else f"{panels} panels fewer", lambda q: _panels(q, -1)),
        ("one more battery" if units == 1 else f"{units} more batteries", lambda q: _units(q, +1)),
        (
            "one battery fewer" if units == 1 else f"{units} batteries fewer",
            lambda q: _units(q, -1),
        ),
        ("a DC-DC charger with 20 A more", _dcdc),
        ("panels tilted 30 degrees to the sun", _tilt),
        ("a portable 200 W panel on the ground by day", _portable),
        ("lithium of the same rated Ah", lambda q: _chemistry(q, "lfp")),
        ("AGM of the same rated Ah", lambda q: _chemistry(q, "agm")),
        ("a bank that heats itself", _self_heating),
        ("bank outside the heated space", lambda q: _location(q, "outside")),
        ("bank inside the heated space", lambda q: _location(q, "inside")),
    )


def live_changes(van: Van) -> tuple[tuple[str, Change], ...]:
    """What the people aboard can do, by its name."""
    return (
        (_drive_name(van.alternator), _drive),
        ("a night on shore power every third day", _shore),
        ("inverter off when idle", lambda q: _inverter(q, always_on=False)),
        ("inverter left on", lambda q: _inverter(q, always_on=True)),
        ("cooking on gas", _gas),
        ("cooking on induction", _induction),
        ("a microwave meal a day", _microwave),
        ("snow brushed off every morning", lambda q: _snow(q, "morning")),
        ("snow left on the panels", lambda q: _snow(q, "never")),
        ("parked in the open", lambda q: _park(q, "open field")),
        ("parked among scattered trees", lambda q: _park(q, "scattered trees")),
        ("parked at a forest's edge", lambda q: _park(q, "forest edge")),
        ("panels washed", _wash),
        ("heater 2 C lower", lambda q: _heater(q, -_SET_POINT_STEP_C)),
        ("heater 2 C higher", lambda q: _heater(q, +_SET_POINT_STEP_C)),
        ("arriving with a full bank", lambda q: _arrive(q, 1.0)),
        ("arriving at 80 %", lambda q: _arrive(q, _ARRIVE_SOC)),
    )


def needed_load(appliance: Appliance) -> bool:
    """Whether it is the last to go without: heat, cold food, what is on day and night."""
    return appliance.response in {"heater", "fridge"} or appliance.use_h >= 24.0


def without_load(question: Question, name: str) -> Question:
    """Return the question with the appliances of that name switched off."""
    return _switched_off(question, lambda appliance: appliance.name == name)


def _panels(question: Question, step: int) -> Question | Skip:
    panels = question.van.panels
    count = panels.count + step * panels.series
    if count < 0:
        return Skip("there is none to take away")
    roof_full = question.van.roof is not None and count not in fitting_counts(question.van)
    if step > 0 and roof_full:
        return Skip(f"the roof as drawn has no room for {count}")
    controller = question.van.controller
    # More panels come with the controller that they need.
    grown = max(1.0, count / max(panels.count, 1))
    larger = {"max_output_a": controller.max_output_a * grown}
    if controller.max_input_a is not None:
        larger["max_input_a"] = controller.max_input_a * grown
    return _with(
        question,
        panels=panels.model_copy(update={"count": count}),
        controller=controller.model_copy(update=larger),
    )


def _units(question: Question, step: int) -> Question | Skip:
    battery = question.van.battery
    units = battery.units + step * question.van.units_in_series
    if units < 1:
        return Skip("it is the only one")
    return _with(question, battery=battery.model_copy(update={"units": units}))


def _drive(question: Question) -> Question | Skip:
    alternator = question.van.alternator
    if alternator is None or alternator.rated_a == 0.0:
        return Skip("no DC-DC charger aboard")
    if alternator.drive_h == 0.0:
        changed = {"drive_h": _DRIVE_H, "every_days": 1}
    else:
        changed = {"drive_h": alternator.drive_h + _more_drive_h(alternator)}
    if changed["drive_h"] == alternator.drive_h:
        return Skip("it drives all day already")
    return _with(question, alternator=alternator.model_copy(update=changed))


def _drive_name(alternator: Alternator | None) -> str:
    name = "half an hour more driving a day"
    if alternator is None or alternator.drive_h == 0.0 or alternator.every_days == 1:
        return name
    return f"{name} ({_more_drive_h(alternator):g} h more every {alternator.every_days} days)"


def _more_drive_h(alternator: Alternator) -> float:
    """Half an hour a day, taken on the days of the plan."""
    return min(_DRIVE_H * alternator.every_days, 24.0 - alternator.drive_h)


def _dcdc(question: Question) -> Question | Skip:
    alternator = question.van.alternator
    if alternator is None or alternator.dcdc_a == 0.0:
        return Skip("no DC-DC charger aboard")
    if alternator.drive_h == 0.0:
        return Skip("the van does not drive during the stay")
    larger = {"dcdc_a": alternator.dcdc_a + _DCDC_STEP_A}
    return _with(question, alternator=alternator.model_copy(update=larger))


def _shore(question: Question) -> Question | Skip:
    shore = question.van.shore
    if shore is None or shore.charger_a == 0.0:
        return Skip("no shore charger aboard")
    if shore.plugged_h > 0.0:
        return Skip("the plan has shore power already")
    plan = {"plugged_h": _SHORE_H, "every_days": _SHORE_EVERY_DAYS, "start_hour": 22.0}
    return _with(question, shore=shore.model_copy(update=plan))


def _inverter(question: Question, *, always_on: bool) -> Question | Skip:
    inverter = question.van.inverter
    if inverter is None:
        return Skip("no inverter aboard")
    if inverter.always_on == always_on:
        return Skip("it is so already")
    return _with(question, inverter=inverter.model_copy(update={"always_on": always_on}))


def _gas(question: Question) -> Question | Skip:
    if not any(a.cooking and a.enabled for a in question.profile.appliances):
        return Skip("nobody cooks on electricity")
    return _switched_off(question, lambda appliance: appliance.cooking)


def _induction(question: Question) -> Question | Skip:
    if any(a.cooking and a.enabled for a in question.profile.appliances):
        return Skip("somebody cooks on electricity already")
    return _with_part(question, "induction hob")


def _microwave(question: Question) -> Question | Skip:
    if any("microwave" in (a.part or a.name).lower() for a in question.profile.appliances):
        return Skip("there is one already")
    return _with_part(question, "microwave, 700 W of heat")


def _with_part(question: Question, part: str) -> Question | Skip:
    if question.van.inverter is None:
        return Skip("no inverter aboard")
    added = Appliance.model_validate({"name": part, **part_table("appliances", part)})
    # One of its name is there only switched off.
    others = (other for other in question.profile.appliances if other.name != part)
    appliances = (*others, added)
    profile = question.profile.model_copy(update={"appliances": appliances})
    return dataclasses.replace(question, profile=profile)


def _snow(question: Question, brush_snow: str) -> Question | Skip:
    return _stay(question, brush_snow=brush_snow)


def _tilt(question: Question) -> Question | Skip:
    panels = question.van.panels
    if panels.tilt_deg > 0.0:
        return Skip(f"they are tilted {panels.tilt_deg:g} degrees")
    to_the_sun = 180.0 if question.place.latitude_deg >= 0.0 else 0.0
    tilted = {"tilt_deg": _TILT_DEG, "azimuth_deg": to_the_sun}
    # The van is parked so that the side that they face looks there.
    parked = question.van.stay.model_copy(update={"heading_deg": None})
    return _with(question, panels=panels.model_copy(update=tilted), stay=parked)


def _portable(question: Question) -> Question | Skip:
    """On a controller of its own, so that it goes with any panels on the roof."""
    van = question.van
    if any(array.kind == "ground" and array.count for array in van.arrays):
        return Skip("there is one already")
    of_system = _PORTABLE.get(van.van.system_voltage_v)
    if of_system is None:
        return Skip(f"200 W of panels do not charge {van.van.system_voltage_v} V by themselves")
    part, count = of_system
    panels = part_table("panels", part) | {"part": part, "count": count, "series": count}
    controller = {"max_output_a": _PORTABLE_CONTROLLER_A}
    identity = {"name": "portable", "kind": "ground", "controller": controller}
    portable = FurtherArray.model_validate(panels | identity)
    return _with(question, arrays=(*van.arrays, portable))


def _park(question: Question, parking: str) -> Question | Skip:
    return _stay(question, parking=parking)


def _wash(question: Question) -> Question | Skip:
    panels = question.van.panels
    if panels.soiling_share <= _CLEAN_SHARE:
        return Skip("they are clean")
    return _with(question, panels=panels.model_copy(update={"soiling_share": _CLEAN_SHARE}))


def _heater(question: Question, step_c: float) -> Question | Skip:
    cabin = question.profile.cabin
    if cabin.heater_set_point_c is None:
        return Skip("no heater aboard")
    changed: dict[str, Any] = {"heater_set_point_c": cabin.heater_set_point_c + step_c}
    if cabin.night_set_point_c is not None:
        changed["night_set_point_c"] = cabin.night_set_point_c + step_c
    profile = question.profile.model_copy(update={"cabin": cabin.model_copy(update=changed)})
    return dataclasses.replace(question, profile=profile)


def _arrive(question: Question, soc: float) -> Question | Skip:
    start_soc = question.van.stay.start_soc
    if start_soc <= soc < 1.0:
        return Skip(f"it arrives at {percent(start_soc)}")
    return _stay(question, start_soc=soc)


def _chemistry(question: Question, chemistry: str) -> Question | Skip:
    battery = question.van.battery
    if battery.chemistry == chemistry:
        return Skip("it is so already")
    if chemistry == "agm" and battery.chemistry != "lfp":
        return Skip("the bank is lead-acid already")
    changed: dict[str, Any] = {"chemistry": chemistry, "floor_soc": None, "self_heating": False}
    return _with(question, battery=battery.model_copy(update=changed))


def _self_heating(question: Question) -> Question | Skip:
    battery = question.van.battery
    if battery.self_heating:
        return Skip("it is so already")
    if battery.chemistry != "lfp":
        return Skip("this chemistry charges in the cold")
    return _with(question, battery=battery.model_copy(update={"self_heating": True}))


def _location(question: Question, location: str) -> Question | Skip:
    battery = question.van.battery
    if battery.location == location:
        return Skip("it is so already")
    return _with(question, battery=battery.model_copy(update={"location": location}))


def _stay(question: Question, **changed: Any) -> Question | Skip:
    stay = question.van.stay
    if all(getattr(stay, name) == value for name, value in changed.items()):
        return Skip("it is so already")
    return _with(question, stay=stay.model_copy(update=changed))


def _switched_off(question: Question, chosen: Callable[[Any], bool]) -> Question:
    appliances = tuple(
        appliance.model_copy(update={"enabled": False}) if chosen(appliance) else appliance
        for appliance in question.profile.appliances
    )
    profile = question.profile.model_copy(update={"appliances": appliances})
    return dataclasses.replace(question, profile=profile)


def _with(question: Question, **changed: Any) -> Question:
    van: Van = question.van.model_copy(update=changed)
    return dataclasses.replace(question, van=van)
