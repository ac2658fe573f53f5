"""What another number of people means for what they use."""

from __future__ import annotations

import math
from typing import Any

from solarsim.inputs.appliance import Appliance
from solarsim.inputs.base import record_data
from solarsim.inputs.profile import Profile, profile_from_data

__all__ = ["EACH_FOR_THEMSELVES", "for_people", "scaled_use", "with_people"]

# Parts of the library that each person uses: to charge, to work, to cook and to wash. Fridge,
# heater, fans, lights and what is always on are shared. Common practice, no source.
EACH_FOR_THEMSELVES = frozenset(
    {
        "USB charging",
        "laptop",
        "laptop on its AC adapter",
        "external screen",
        "e-bike charger",
        "electric blanket",
        "reading light",
        "induction hob",
        "microwave, 700 W of heat",
        "kettle",
        "coffee machine",
        "water pump",
        "heat-exchange water heater pump",
        "shower light",
    }
)


def for_people(profile: Profile, before: Profile) -> Profile:
    """Return the profile with what each person uses scaled from the people before to those now.

    The hours of each such appliance grow and shrink with the people; where they outgrow the hours
    within which it is used, it takes more pieces. The energy a day is in proportion.
    """
    now, then = max(profile.cabin.people, 1), max(before.cabin.people, 1)
    if now == then:
        return profile
    tables = record_data(profile)
    if "hourly" in tables:
        # The watts stand in the table itself, not in another file.
        hourly = tables["hourly"]
        tables["hourly"] = {k: v for k, v in hourly.items() if k not in {"file", "current"}}
    rows: list[dict[str, Any]] = list(tables.get("appliances", ()))
    for row, appliance in zip(rows, profile.appliances, strict=True):
        if appliance.part not in EACH_FOR_THEMSELVES or appliance.response != "none":
            continue
        row.pop("minutes_per_day", None)
        row["hours_per_day"], row["count"] = scaled_use(appliance, now / then)
    return profile_from_data(tables | {"appliances": rows}, source="input")


def scaled_use(appliance: Appliance, factor: float) -> tuple[float, int]:
    """Return hours a day of each piece, and pieces, for `factor` times the use of an appliance.

    More pieces only where the hours outgrow those within which it is used.
    """
    whole_h = appliance.use_h * appliance.count * factor
    count = max(appliance.count, math.ceil(round(whole_h / appliance.window_h, 9)))
    return round(whole_h / count, 9), count


def with_people(profile: Profile, people: int) -> Profile:
    """Return the profile with another number of people: their heat, and what each uses."""
    cabin = profile.cabin.model_copy(update={"people": people})
    return for_people(profile.model_copy(update={"cabin": cabin}), profile)
