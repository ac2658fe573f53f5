"""Invented documents of a sheet, that together meet every case of its page."""

from __future__ import annotations

import functools

from solarsim.answers.region.islets import islets_note
from solarsim.answers.roof import roof
from solarsim.inputs.files.van import read_van
from solarsim.present.roof.document import roof_document
from solarsim.present.sheet.texts import load_texts
from solarsim.weather.climate import bundle

SEASONS = ("winter", "spring", "summer", "autumn")
WAYS = ("light", "typical", "heavy")


@functools.cache
def plan():
    return roof_document(roof(read_van("weekender")))


def day_rows(*days):
    return [
        {"season": season, "month": 1 + 3 * at, "p1": p1, "p10": p10, "p50": p50, "follow_days": 30}
        for at, (season, (p1, p10, p50)) in enumerate(zip(SEASONS, days, strict=True))
    ]


ROWS = day_rows((0.03, 0.99, 1.0), (0.5, 3.0, 4.55), (9.96, 12.0, 29.7), (1.0, 30.0, 30.0))
SOUTH = [row | {"month": (row["month"] + 5) % 12 + 1} for row in ROWS]


def use(name, hours=None, count=1, energy=400.0, alone=26.0):
    wh = {"winter_wh_per_day": energy, "summer_wh_per_day": energy}
    return wh | {
        "name": name,
        "count": count,
        "hours_per_day": hours,
        "alone_h": alone,
        "alone_most_h": 720,
    }


def living(way, *uses, left_out=()):
    return {
        "way": way,
        "name": way.capitalize(),
        "description": "",
        "winter_wh_per_day": 900.0,
        "summer_wh_per_day": 700.0,
        "appliances": list(uses),
        "left_out": [{"name": name} for name in left_out],
    }


def lever(name, gain):
    flags = {"skipped": None, "needed": False, "stopped": False, "standard_error": 0.01}
    return flags | {"name": name, "days_gained": gain}


def document(**changed):
    """An invented sheet's document; figures are any."""
    names = ("laptop", "kettle", *(f"own {index}" for index in range(12)))
    return {
        "date": "2026-03-01",
        "version": "1",
        "seed": 1,
        "van": van(),
        "stay": {
            "parking": "open field",
            "horizon_given": False,
            "start_soc": 1.0,
            "brush_snow": "morning",
            "days": 7,
        },
        "follow_days": 30,
        "medical": [],
        "ways": [
            living("light", use("roof fan", 24.0), use("water pump", 0.1)),
            living("typical", *(use(name, 1.5, energy=5.0) for name in names), use("kettle", 0.5)),
            living("heavy", use("compressor fridge 65 L"), use("laptop", 6.0, 2, alone=1.76)),
        ],
        "own_people": None,
        "ways_left_out": [],
        "regions": [
            place("Salzburg, AT", ROWS),
            place("Hobart, TAS, AU", SOUTH),
        ],
        "recharge": {
            "sun_june_share": 0.887,
            "sun_december_share": 0.0123,
            "drive_hour_share": 0.094,
            "shore_night_h": 8,
            "shore_night_share": 0.884,
        },
        "roof": plan(),
        "levers": {"way": "typical", "season": "winter", "p50": 3.0, "follow_days": 30}
        | {"levers": [lever("panels washed", 0.5), lever("without: laptop", 1.5)]},
        "trip": None,
        "map": None,
        "annex": None,
    } | changed


def van(**changed):
    return {
        "name": "Lark",
        "description": "",
        "system_voltage_v": 12,
        "panels_w": 1320.0,
        "panels": 2,
        "more_roof_w": 0.0,
        "portable_w": 0.0,
        "soiling_share": 0.04,
        "chemistry": "lfp",
        "capacity_ah": 400.0,
        "nominal_wh": 4800.0,
        "floor_soc": 0.1,
        "bank_location": "inside",
        "self_heating": False,
        "inverter_w": 3000.0,
        "dcdc_a": 40.0,
        "dcdc_output_share": 0.85,
        "drive_h": 1.5,
        "drive_every_days": 3,
        "charger_a": 40.0,
        "plugged_h": 8.0,
        "plugged_every_days": 1,
        "usable_wh": 4345.6,
        "usable_wh_winter": 4012.0,
        "winter_bank_temp_c": -3.2,
    } | changed


def place(name, rows):
    return {
        "place": {"name": name},
        "source": bundle._SOURCE.format(""),
        "runs": 1200,
        "days": dict.fromkeys(WAYS, rows),
    }


def trip(chance, *fails, nights=12):
    stops = [
        {
            "number": number,
            "place": {"name": f"Stop {number}"},
            "begins_h": 12.0 * number,
            "ends_h": 12.0 * number + 12.0,
            "fail_chance": fail,
        }
        for number, fail in enumerate(fails, start=1)
    ]
    return {
        "trip": {"name": "", "start": "2026-03-14", "nights": nights},
        "chance_lasts": chance,
        "stops": stops,
        "soc": {"p10": [1.0, 0.5], "p50": [1.0, 0.7]},
    }


def region_map(*days, warnings=("caution",), apart_deg=0.25):
    """Cells in the southern Indian Ocean, where no land has to be drawn."""
    cells = [
        {
            "latitude": -40.0 + index * apart_deg,
            "longitude": 85.0 + index * apart_deg,
            "vans": [{"months": [{"p50": lasts}]}],
        }
        for index, lasts in enumerate(days)
    ]
    return {
        "region": {"name": "Switzerland", "code": "CH", "west": 84.0, "step_deg": 0.25},
        "stay": {"days": 7, "target_chance": 0.9},
        "weather": {"follow_days": 14},
        "land": [{"month": 1, "target_met_share": 0.123}],
        "cells": cells,
        "towns": [],
        "warnings": list(warnings),
    }


def variants():
    """Documents that together meet every case of the page."""
    lead = {"inverter_w": None, "dcdc_a": 0.0, "charger_a": 0.0, "panels": 0, "panels_w": 0.0}
    ways = document()["ways"]
    nothing = {"sun_june_share": 0.0, "sun_december_share": 0.0, "shore_night_h": 8}
    yield document()
    burnt = {"diesel": {"p90": 3.46}, "propane": {"p90": 0.09}, "petrol": {"p90": 0.5}}
    yield document(
        ways=[*ways[:1], ways[1] | {"fuel": {"winter": burnt, "summer": burnt}}, *ways[2:]],
        medical=["breathing device"],
        own_people="Mine",
        ways_left_out=["light", "heavy"],
        trip=trip(0.997, 0.003, 0.0)
        | {"soc": {"p1": [1.0, 0.4], "p10": [1.0, 0.5], "p50": [1.0, 0.7]}},
        map=region_map(1.2, 3.0, 14.0, warnings=(islets_note(3, 12.0), "caution")),
        van=van(system_voltage_v=24, self_heating=True, bank_location="outside", panels=9)
        | {"generator_hours": [(9.0, 11.0), (17.5, 19.0)]},
        stay=document()["stay"] | {"start_soc": 0.8, "brush_snow": "never"},
    )
    yield document(
        medical=["\u200b"],
        trip=trip(0.001, 0.0, nights=1),
        map=region_map(1.0, 9.0, apart_deg=12.0),
        van=van(chemistry="flooded", name="", usable_wh=640.0, **lead),
        regions=[place("Oslo, NO", day_rows(*[(1.0, 2.0, 30.0)] * 4))],
        recharge=nothing | {"drive_hour_share": None, "shore_night_share": None},
        roof=plan() | {"roof": plan()["roof"] | {"obstacles": []}},
        ways=[living("light"), living("typical", left_out=["kettle"]), living("heavy")],
        levers=document()["levers"] | {"p50": 30.0},
    )
    levers = list(load_texts()["levers"])
    cases = (
        ("agm", "scattered trees", ("inverter left on", "parked at a forest's edge")),
        ("gel", "forest edge", ()),
        *(("lfp", "street canyon", levers[at : at + 4]) for at in (0, 4, 8, 12)),
        ("lfp", "street canyon", levers[16:-1]),
    )
    for index, (chemistry, parking, names) in enumerate(cases):
        gain = -1.0 if len(names) == 2 else 2.0
        obstacles = plan()["roof"]["obstacles"] * (12 if not names else 1)
        yield document(
            van=van(chemistry=chemistry, portable_w=120.0, more_roof_w=100.0, panels=1),
            stay=document()["stay"] | {"parking": parking, "horizon_given": not names},
            roof=plan() | {"roof": plan()["roof"] | {"obstacles": obstacles}},
            levers=document()["levers"]
            | {"season": SEASONS[index % 4], "way": WAYS[index % 3]}
            | {"levers": [lever(name, gain) for name in names]},
        )
