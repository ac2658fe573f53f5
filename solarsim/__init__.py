"""Hourly solar-and-battery simulator for camper vans: how many days a van lasts off grid.

What the command line can ask, a script can::

    Van, Profile           records; `Van.build(...)`, `Profile.build(...)` make them from keywords
    read_van, read_profile TOML files or shipped examples -> Van, Profile
    parts                  the library of panels, batteries and appliances
    interview              a client's answers -> the profile; `.save("profile.toml")`
    find_place, Place      a town or coordinates
    climate                light and temperature of a place, month by month
    ask, Question          put a question together, everything checked; `Question.replace(...)`
    stay                   days, chance, state of charge, energy, the bank that would hold
    bank                   the smallest bank that lasts, with all that were looked at
    tune                   panel count against bank size: what to build
    search                 the best builds of many parts: price, weight, days
    levers                 what one change is worth in days
    seasons                all twelve months
    region                 days and chance over a country's or a box's land, cell by cell
    trip, Trip, read_trip  one bank through several stops: where it fails, and what would help
    roof                   what fits on the roof, and what each thing up there costs
    check                  voltages, currents, cables and fuses against published rules
    wiring                 the wiring plan, every run, the test sheet; `.save("plan.pdf")`
    history                the stay in real years
    read_log, calibrate    a battery monitor's log, and the van held against it
    buy, Prices            what it is built of, with the user's own prices; `.save("list.xlsx")`
    offer                  up to four vans side by side: days, checks, price, what a step buys
    sheet                  the buyer's sheet; `.save("sheet.pdf")`
    stock                  a folder of vans, one row each; all their sheets in one go
    InputError             anything given that cannot be used
    __version__            of this package

Every answering function takes a `Question`, or a van and the keywords of `ask`:
``stay("weekender", month=1)``. Keywords beside a question change it: ``stay(question, days=3)``.
An answer shows a short card; ``.frame()`` is a table, ``.to_json()`` what the command writes,
``.plot()`` a plotly figure where there is one, ``.hourly()`` the hours where there are any.

Importing this package reads no file, writes none and loads none of the heavy libraries.
"""

from __future__ import annotations

# As a name alone, and `importlib` where it is used: until they are loaded, nobody heeds Ctrl-C.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from solarsim.answers.question import Question, ask
    from solarsim.door.answers import (
        bank,
        check,
        climate,
        levers,
        parts,
        roof,
        seasons,
        stay,
        tune,
    )
    from solarsim.door.clients import interview
    from solarsim.door.logs import calibrate, history, read_log
    from solarsim.door.maps import region
    from solarsim.door.plans import buy, offer, wiring
    from solarsim.door.reading import find_place, read_profile, read_van
    from solarsim.door.searching import search
    from solarsim.door.sheets import sheet, stock
    from solarsim.door.travel import read_trip, trip
    from solarsim.door.version import __version__
    from solarsim.errors import InputError
    from solarsim.inputs.prices import Prices
    from solarsim.inputs.profile import Profile
    from solarsim.inputs.trip import Trip
    from solarsim.inputs.van import Van
    from solarsim.weather.record import Place

__all__ = [
    "InputError",
    "Place",
    "Prices",
    "Profile",
    "Question",
    "Trip",
    "Van",
    "__version__",
    "ask",
    "bank",
    "buy",
    "calibrate",
    "check",
    "climate",
    "find_place",
    "history",
    "interview",
    "levers",
    "offer",
    "parts",
    "read_log",
    "read_profile",
    "read_trip",
    "read_van",
    "region",
    "roof",
    "search",
    "seasons",
    "sheet",
    "stay",
    "stock",
    "trip",
    "tune",
    "wiring",
]

_HOMES = {
    "InputError": "errors",
    "Place": "weather.record",
    "Prices": "inputs.prices",
    "Profile": "inputs.profile",
    "Question": "answers.question",
    "Trip": "inputs.trip",
    "Van": "inputs.van",
    "__version__": "door.version",
    "ask": "answers.question",
    "bank": "door.answers",
    "buy": "door.plans",
    "calibrate": "door.logs",
    "check": "door.answers",
    "climate": "door.answers",
    "find_place": "door.reading",
    "history": "door.logs",
    "interview": "door.clients",
    "levers": "door.answers",
    "offer": "door.plans",
    "parts": "door.answers",
    "read_log": "door.logs",
    "read_profile": "door.reading",
    "read_trip": "door.travel",
    "read_van": "door.reading",
    "region": "door.maps",
    "roof": "door.answers",
    "search": "door.searching",
    "seasons": "door.answers",
    "sheet": "door.sheets",
    "stay": "door.answers",
    "stock": "door.sheets",
    "trip": "door.travel",
    "tune": "door.answers",
    "wiring": "door.plans",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        import difflib

        near = difflib.get_close_matches(name, __all__, n=1, cutoff=0.6)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        raise AttributeError(f"module 'solarsim' has no attribute {name!r}{hint}")
    import importlib

    return getattr(importlib.import_module(f"solarsim.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
