"""Which appliances follow from which answer, with their pieces and hours."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

from solarsim.inputs.appliance import Appliance
from solarsim.inputs.crew import scaled_use
from solarsim.inputs.interview import ClientAnswers
from solarsim.inputs.parts import part_table, part_tables

__all__ = ["Traced", "cabin_table", "traced_appliances"]

# The library's hours of what each person uses are those of two.
_FOR_PEOPLE = 2
_WEEKDAYS = ["mon", "tue", "wed", "thu", "fri"]
_HOME = {
    "evenings and nights": [[17.0, 10.0]],
    "half the day": [[14.0, 11.0]],
    "all day": [[0.0, 24.0]],
}
# On an hour before somebody comes home, as in the shipped profiles.
_HEATED = {"evenings and nights": [[16.0, 10.0]], "half the day": [[13.0, 11.0]]}
_LIGHT_H = {"evenings and nights": 4.0, "half the day": 4.5, "all day": 5.0}
_KEEPS_C = {"cool": (16.0, 8.0), "warm": (19.0, 13.0), "warm all night": (21.0, 16.0)}
_FRIDGES = {
    "small": ("compressor fridge 40 L",),
    "medium": ("compressor fridge 65 L",),
    "large": ("compressor fridge 90 L",),
    "medium and freezer": ("compressor fridge 65 L", "compressor freezer 40 L"),
}
_COOKED = {
    "induction": "induction hob",
    "kettle": "kettle",
    "coffee machine": "coffee machine",
    "microwave": "microwave, 700 W of heat",
}
_EXTRAS = {
    "television": "television",
    "e-bike": "e-bike charger",
    "electric blanket": "electric blanket",
    "toilet fan": "composting toilet fan",
    "evaporative cooler": "evaporative cooler",
    "air conditioner": "roof air conditioner",
}
# A stove's heat; it takes no electricity. Common practice, no source.
_STOVE = {
    "name": "stove without electricity",
    "power_w": 0.0,
    "heat_w": 3000.0,
    "response": "heater",
    "priority": 1,
}


@dataclasses.dataclass(frozen=True)
class Traced:
    """An appliance and the answer that it follows from.

    Attributes
    ----------
    table : dict
        As in a profile's file.
    key : str
        Of the answer.
    source : str
        Where its watts and hours are from.
    """

    table: dict[str, Any]
    key: str
    source: str

    @property
    def name(self) -> str:
        """What the profile calls it."""
        return str(self.table.get("name", self.table.get("part")))


def cabin_table(answers: ClientAnswers) -> dict[str, Any]:
    """Return the cabin that follows from the answers: people, hours inside, warmth."""
    table: dict[str, Any] = {"people": answers.people, "home": _HOME[answers.inside]}
    if answers.heater != "none":
        day_c, night_c = _KEEPS_C[answers.warmth]
        table |= {"heater_set_point_c": day_c, "night_set_point_c": night_c}
    return table


def traced_appliances(answers: ClientAnswers) -> tuple[Traced, ...]:
    """Return every appliance that follows from the answers, in the order of the questions."""
    found: dict[str, Traced] = {}
    for traced in _all_of(answers):
        # A roof fan may follow from two answers; it is there once.
        found.setdefault(traced.name, traced)
    return tuple(found.values())


def _all_of(answers: ClientAnswers) -> Iterator[Traced]:
    yield _each(answers, "people", "USB charging")
    for part in ("roof fan", "CO and propane alarm", "battery monitor"):
        yield _part("people", part)
    yield _part("inside", "LED lights, dimmable", hours_per_day=_LIGHT_H[answers.inside])
    for cooked in answers.cooking:
        if cooked in _COOKED:
            yield _each(answers, "cooking", _COOKED[cooked])
    yield from _work(answers)
    if answers.internet != "phone":
        part = {"router": "router", "satellite": "satellite terminal"}[answers.internet]
        yield _part("internet", part)
    yield from _heat(answers)
    for part in _FRIDGES.get(answers.fridge, ()):
        yield _part("fridge", part)
    yield _each(answers, "water", "water pump")
    if answers.water == "sink and showers":
        for part in ("heat-exchange water heater pump", "shower light"):
            yield _each(answers, "water", part)
    if answers.pets == "alone by day":
        yield _part("pets", "circulation fan")
    for device in answers.medical:
        yield from _medical(device)
    for extra in answers.extras:
        yield _part("extras", _EXTRAS[extra])


def _work(answers: ClientAnswers) -> Iterator[Traced]:
    if answers.work == "one laptop in the evening":
        yield _part("work", "laptop", hours_per_day=2.0, windows=[[19.0, 22.0]])
    elif answers.work != "none":
        count = answers.people if answers.work == "everyone works" else 1
        pieces = {"count": count} if count > 1 else {}
        working = {"hours_per_day": 7.0, "windows": [[8.0, 18.0]], "weekdays": _WEEKDAYS}
        yield _part("work", "laptop", **pieces, **working, variation_share=0.15, priority=1)


def _heat(answers: ClientAnswers) -> Iterator[Traced]:
    # Off while nobody is in, unless an animal is.
    windows = None if answers.pets == "alone by day" else _HEATED.get(answers.inside)
    only = {} if windows is None else {"windows": windows}
    if answers.heater == "stove":
        yield Traced(_STOVE | only, "heater", "common practice, no source")
    elif answers.heater != "none":
        part = {"diesel": "diesel heater 2 kW", "propane": "propane furnace"}[answers.heater]
        yield _part("heater", part, **only)


def _medical(device: str) -> Iterator[Traced]:
    if device == "medicine fridge":
        # As the smallest fridge of the library; medicine is kept at 2 to 8 C.
        yield _part("medical", "compressor fridge 40 L", name=device, set_point_c=5.0)
    else:
        yield _part("medical", device)


def _part(key: str, part: str, **given: Any) -> Traced:
    name = {"name": given.pop("name")} if "name" in given else {}
    source = part_tables("appliances")[part]["source"]
    return Traced({**name, "part": part, **given}, key, source)


def _each(answers: ClientAnswers, key: str, part: str) -> Traced:
    """A part that each person uses, for as many as there are."""
    if answers.people == _FOR_PEOPLE:
        return _part(key, part)
    library = Appliance(name=part, **part_table("appliances", part))
    hours, count = scaled_use(library, answers.people / _FOR_PEOPLE)
    pieces = {} if count == library.count else {"count": count}
    if library.minutes_per_day is not None:
        return _part(key, part, **pieces, minutes_per_day=round(hours * 60.0, 6))
    return _part(key, part, **pieces, hours_per_day=hours)
