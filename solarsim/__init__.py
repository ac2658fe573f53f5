"""Hourly solar-and-battery simulator for camper vans: how many days a van lasts off grid.

The ten names that a script needs::

    ask(van, ...)          put a question together, everything checked -> Question
    stay(question)         days, chance, state of charge, energy, the bank that would hold
    bank(question)         the smallest bank, with all that were looked at
    read_van, read_profile TOML files or shipped examples -> Van, Profile
    find_place             a town or coordinates -> Place
    InputError             anything given that cannot be used

Importing this package reads no file, writes none and loads none of the heavy libraries.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from solarsim.answers.bank import bank
    from solarsim.answers.question import ask
    from solarsim.answers.stay import stay
    from solarsim.errors import InputError
    from solarsim.inputs.files.van import read_van
    from solarsim.inputs.profile import Profile, read_profile
    from solarsim.inputs.van import Van
    from solarsim.weather.places import find_place
    from solarsim.weather.record import Place

__all__ = [
    "InputError",
    "Place",
    "Profile",
    "Van",
    "ask",
    "bank",
    "find_place",
    "read_profile",
    "read_van",
    "stay",
]

_HOMES = {
    "InputError": "errors",
    "Place": "weather.record",
    "Profile": "inputs.profile",
    "Van": "inputs.van",
    "ask": "answers.question",
    "bank": "answers.bank",
    "find_place": "weather.places",
    "read_profile": "inputs.profile",
    "read_van": "inputs.files.van",
    "stay": "answers.stay",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'solarsim' has no attribute {name!r}")
    return getattr(importlib.import_module(f"solarsim.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
