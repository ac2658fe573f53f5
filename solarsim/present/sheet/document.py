"""The answer of `sheet` as a JSON document (schema 1), from which every form of it is made."""

from __future__ import annotations

import dataclasses
import datetime as dt
import importlib.metadata
from typing import Any

from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.sheet.annex import Annex
from solarsim.answers.sheet.bank import ALONE_HOURS, SHORE_NIGHT_H
from solarsim.answers.sheet.living import Living, Use
from solarsim.answers.sheet.sheet import Region, SeasonDays, SheetAnswer
from solarsim.inputs.van import Van
from solarsim.power.design import design_of
from solarsim.present.check.documents import check_document
from solarsim.present.compare.documents import seasons_document
from solarsim.present.region.document import region_document
from solarsim.present.region.picture import map_picture
from solarsim.present.roof.document import roof_document
from solarsim.present.sheet.listing import listing_texts
from solarsim.present.stay.documents import place_document, stay_document
from solarsim.present.trip.documents import trip_document
from solarsim.present.words import CAUTIONS

__all__ = ["in_language", "sheet_document", "van_document"]


def sheet_document(answer: SheetAnswer, *, date: dt.date) -> dict[str, Any]:
    """Return the document of `sheet`; energies in Wh, shares 0 to 1, days up to those followed.

    Parameters
    ----------
    answer : SheetAnswer
        From `solarsim.answers.sheet.sheet.sheet`.
    date : datetime.date
        The day that the sheet is made on; the same answer and date give the same document.
    """
    question = answer.question
    document = {
        "schema": 1,
        "date": date.isoformat(),
        "version": importlib.metadata.version("solarsim"),
        "seed": question.seed,
        "cautions": CAUTIONS,
        "van": van_document(question.van)
        | {
            "usable_wh": answer.usable_wh,
            "usable_wh_winter": answer.winter_usable_wh,
            "winter_bank_temp_c": next(
                living.winter_bank_c for living in answer.livings if living.way.name == "typical"
            ),
        },
        "stay": {
            "parking": question.van.stay.parking,
            "horizon_given": question.horizon is not None,
            "start_soc": question.van.stay.start_soc,
            "brush_snow": question.van.stay.brush_snow,
            "days": question.van.stay.days,
        },
        "follow_days": question.follow_days,
        # What someone's health depends on, in any way of living.
        "medical": list(
            dict.fromkeys(d for one in answer.livings for d in one.way.profile.medical)
        ),
        "ways": [_way(living) for living in answer.livings],
        "own_people": answer.own_people,
        "ways_left_out": list(answer.ways_left_out),
        "regions": [_region(region) for region in answer.regions],
        "recharge": {
            "sun_june_wh_per_day": answer.sun.june_wh_per_day,
            "sun_december_wh_per_day": answer.sun.december_wh_per_day,
            "sun_june_share": answer.sun.june_wh_per_day / answer.usable_wh,
            "sun_december_share": answer.sun.december_wh_per_day / answer.usable_wh,
            "drive_hour_share": answer.filled.drive_hour_share,
            "shore_night_h": SHORE_NIGHT_H,
            "shore_night_share": answer.filled.shore_night_share,
        },
        "roof": None if answer.roof is None else roof_document(answer.roof),
        "levers": {
            "way": answer.lever_way,
            **_season(answer.lever_season),
            "runs": answer.levers.conditions.runs,
            "levers": [
                dataclasses.asdict(lever) | {"stopped": lever.stopped}
                for lever in answer.levers.levers
            ],
        },
        "trip": None if answer.trip is None else trip_document(answer.trip),
        "map": None if answer.region is None else _map(answer.region),
        "warnings": _warnings(answer),
        "annex": None if answer.annex is None else _annex(answer.annex),
        "notes": list(answer.notes),
    }
    # The listing's texts say what the document says.
    return document | {"listing": listing_texts(document)}


def in_language(document: dict[str, Any], language: str) -> dict[str, Any]:
    """Return the document of `sheet` with the listing's texts in another language.

    Raises
    ------
    InputError
        No such catalogue.
    """
    return document | {"listing": listing_texts(document, language)}


def _map(answer: RegionAnswer) -> dict[str, Any]:
    """The document of `region`, with the towns that are named on the map."""
    towns = [
        {"name": town.name, "latitude": town.latitude_deg, "longitude": town.longitude_deg}
        for town in map_picture(answer).towns
    ]
    return region_document(answer) | {"towns": towns}


def _warnings(answer: SheetAnswer) -> list[str]:
    """Every warning once; one that not every way of living meets says whose it is."""
    ways: dict[str, list[str]] = {}
    for living in answer.livings:
        for text in living.warnings:
            ways.setdefault(text, []).append(living.way.name)
    return [
        text if len(names) == len(answer.livings) else f"with {' or '.join(names)} use: {text}"
        for text, names in ways.items()
    ]


def van_document(van: Van) -> dict[str, Any]:
    """Return what the page says of a van, in SI units and Ah; shares 0 to 1."""
    alternator, shore = van.alternator, van.shore
    return {
        "name": van.van.name,
        "description": van.van.description,
        "system_voltage_v": van.van.system_voltage_v,
        "panels_w": van.panels.count * van.panels.power_w,
        "panels": van.panels.count,
        "more_roof_w": _arrays_w(van, "roof"),
        "portable_w": _arrays_w(van, "ground"),
        "tilt_deg": van.panels.tilt_deg,
        "soiling_share": van.panels.soiling_share,
        "chemistry": van.battery.chemistry,
        "capacity_ah": van.bank_capacity_ah,
        "nominal_wh": van.bank_capacity_ah * van.van.system_voltage_v,
        "floor_soc": design_of(van).floor_soc,
        "bank_location": van.battery.location,
        "self_heating": van.battery.self_heating,
        "inverter_w": None if van.inverter is None else van.inverter.power_w,
        "dcdc_a": 0.0 if alternator is None else alternator.rated_a,
        "dcdc_output_share": None if alternator is None else alternator.driven_share,
        "drive_h": 0.0 if alternator is None else alternator.drive_h,
        "drive_every_days": 1 if alternator is None else alternator.every_days,
        "charger_a": 0.0 if shore is None else shore.charger_a,
        "plugged_h": 0.0 if shore is None else shore.plugged_h,
        "plugged_every_days": 1 if shore is None else shore.every_days,
    } | ({} if van.generator is None else {"generator_hours": list(van.generator.windows)})


def _arrays_w(van: Van, kind: str) -> float:
    return sum((a.count * a.power_w for a in van.arrays if a.kind == kind), 0.0)


def _way(living: Living) -> dict[str, Any]:
    profile = living.way.profile
    return {
        "way": living.way.name,
        "name": profile.profile.name,
        "description": profile.profile.description,
        "heater_set_point_c": profile.cabin.heater_set_point_c,
        "winter_wh_per_day": living.winter_wh_per_day,
        "summer_wh_per_day": living.summer_wh_per_day,
        "appliances": [_use(use) for use in living.uses],
        "left_out": [dataclasses.asdict(one) for one in living.way.left_out],
    } | _fuel(living)


def _fuel(living: Living) -> dict[str, Any]:
    """What is burnt a day in winter and in summer; a van that names no fuel has no such key."""
    if living.winter_fuel is None or living.summer_fuel is None:
        return {}
    by_season = {"winter": living.winter_fuel, "summer": living.summer_fuel}
    return {
        "fuel": {
            season: {one.kind: dataclasses.asdict(one.per_day) for one in fuel.fuels}
            for season, fuel in by_season.items()
        }
    }


def _use(use: Use) -> dict[str, Any]:
    return {
        "name": use.appliance.name,
        "count": use.appliance.count,
        "response": use.appliance.response,
        "hours_per_day": use.hours_per_day,
        "winter_wh_per_day": use.winter_wh_per_day,
        "summer_wh_per_day": use.summer_wh_per_day,
        "alone_h": use.alone_h,
        "alone_most_h": ALONE_HOURS,
    }


def _region(region: Region) -> dict[str, Any]:
    return {
        "place": place_document(region.place),
        "source": region.source,
        "runs": region.runs,
        "days": {way: [_season(one) for one in rows] for way, rows in region.days.items()},
    }


def _season(one: SeasonDays) -> dict[str, Any]:
    return {"season": one.season, "month": one.month, **dataclasses.asdict(one.days)}


def _annex(annex: Annex) -> dict[str, Any]:
    return {
        "stay": stay_document(annex.stay),
        "check_way": annex.check_way,
        "check": check_document(annex.check),
        "seasons": seasons_document(annex.seasons),
    }
