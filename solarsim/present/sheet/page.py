"""The sheet in words: every string of the page, from the document and the catalogue alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from solarsim.present.sheet.forms import Texts, given, month_name, number, plural, written
from solarsim.present.sheet.glyphs import BREAK
from solarsim.present.sheet.map_part import map_part
from solarsim.present.sheet.page_parts import (
    fuel_words,
    levers_part,
    notes_part,
    recharge_part,
    roof_part,
    runs_part,
    small_print,
)
from solarsim.present.sheet.safe import medical_text, often, safe_days
from solarsim.present.sheet.texts import (
    Units,
    days_phrase,
    hours_text,
    joined,
    lasts_cell,
    lasts_parts,
    percent_text,
    whole,
)
from solarsim.present.sheet.trip_part import trip_part

__all__ = ["Clean", "plan_text", "sheet_page", "start_text", "van_line"]

Clean = Callable[[str, str], str]


def sheet_page(
    document: dict[str, Any], texts: Texts, *, units: Units, clean: Clean
) -> dict[str, Any]:
    """Return the page's strings.

    Parameters
    ----------
    document : dict
        From `sheet_document`.
    texts : dict
        The catalogue.
    units : str
        Which units stand first where both are shown.
    clean : callable
        Makes a person's text safe to set; called with the text and its field.
    """
    clean = _in_language(texts, clean)
    place = clean(document["regions"][0]["place"]["name"], "places")
    name = clean(document["van"]["name"], "van") or texts["title"]["unnamed"]
    page = {
        "language": texts["language"],
        "title": texts["title"]["sheet"].format(van=name.replace(BREAK, "")),
        "name": name,
        "line": van_line(document["van"], texts),
        "description": clean(document["van"]["description"], "description"),
        "place": place,
        "near": texts["days"]["near"].format(place=place),
        "hero": _hero(document, texts),
        "medical": medical_text(document, texts, lambda one: clean(one, "appliances")),
        "days": _days(document, texts, clean),
        "ways": _ways(document, texts, clean),
        "runs": runs_part(document, texts, clean),
        "recharge": recharge_part(document, texts, place),
        "roof": roof_part(document, texts, units, clean),
        "longer": levers_part(document, texts, place, clean),
        "trip": trip_part(document, texts, clean),
        "map": map_part(document, texts, clean),
        **notes_part(document, texts, units),
        "photo_alt": texts["photo"]["alt"],
        "card": _card(document, texts, place),
    }
    page["small"] = small_print(document, texts, clean)
    return page


def _in_language(texts: Texts, clean: Clean) -> Clean:
    """Have what comes with the package said in the language before it is made safe."""
    return lambda text, field: clean(given(texts, field, text), field)


def van_line(van: dict[str, Any], texts: Texts) -> str:
    """What the van has, in one line."""
    words = texts["van"]
    roof_w = van["panels_w"] + van["more_roof_w"]
    parts = [
        words["solar"].format(watts=whole(texts, roof_w)) if roof_w else words["no_solar"],
        # Ampere-hours are compared at 12 V; of another voltage the energy tells the size.
        words["battery" if van["system_voltage_v"] == 12 else "battery_kwh"].format(
            ah=whole(texts, van["capacity_ah"]),
            kwh=number(texts, van["nominal_wh"] / 1000.0, 1),
            volts=van["system_voltage_v"],
            chemistry=texts["chemistry"][van["chemistry"]],
        ),
        words["no_inverter"]
        if van["inverter_w"] is None
        else words["inverter"].format(watts=whole(texts, van["inverter_w"])),
    ]
    if van["portable_w"]:
        parts.insert(1, words["portable"].format(watts=whole(texts, van["portable_w"])))
    if van["dcdc_a"]:
        parts.append(words["drive"])
    if van["charger_a"]:
        parts.append(words["shore"])
    if "generator_hours" in van:
        parts.append(words["generator"])
    return "\u00a0· ".join(parts)


def _hero(document: dict[str, Any], texts: Texts) -> list[dict[str, str]]:
    """The numbers that matter: summer, winter, and what an hour's drive brings."""
    rows = {row["season"]: row for row in document["regions"][0]["days"]["typical"]}
    way = texts["with_ways"]["typical"]
    found = []
    for season in ("summer", "winter"):
        row = rows[season]
        number, unit = lasts_parts(texts, row["p50"], row["follow_days"])
        note = _at_least(document, row, texts)
        if document["medical"]:
            # What is not safe must not stand large.
            number, unit = lasts_parts(
                texts, safe_days(document, row), row["follow_days"], at_least=True
            )
            note = texts["hero"]["reached"].format(often=often(document, texts))
        found.append(
            {
                "value": number,
                "unit": unit,
                "label": texts["hero"]["expected"].format(
                    season=texts["in_seasons"][season], way=way
                ),
                "label_short": texts["in_seasons"][season],
                "note": note,
            }
        )
    recharge = document["recharge"]
    driven = recharge["drive_hour_share"]
    if driven is None:
        share, unit, label = recharge["sun_june_share"], "sun", "sun_label"
    else:
        share, unit, label = driven, "drive", "drive_label"
    found.append(
        {
            "value": percent_text(texts, share),
            "unit": texts["hero"][unit],
            "label": texts["hero"][label],
            "label_short": texts["hero"][label],
            "note": "",
        }
    )
    return found


def _at_least(document: dict[str, Any], row: dict[str, Any], texts: Texts) -> str:
    days = days_phrase(texts, safe_days(document, row), row["follow_days"], at_least=True)
    return str(texts["hero"]["at_least"].format(days=days, often=often(document, texts)))


def _days(document: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any]:
    words = texts["days"]
    follow_days = document["follow_days"]
    regions: list[dict[str, Any]] = []
    for region in document["regions"]:
        place = clean(region["place"]["name"], "places")
        ways = region["days"]
        regions.append(
            {
                "place": place,
                "note": _other_months(region, document, texts),
                "rows": [
                    {
                        "way": texts["ways"][way],
                        "cells": [
                            {
                                "expected": lasts_cell(texts, row["p50"], row["follow_days"]),
                                "at_least": words["at_least"].format(
                                    number=lasts_cell(
                                        texts,
                                        safe_days(document, row),
                                        row["follow_days"],
                                        at_least=True,
                                    )
                                ),
                                "p50": row["p50"],
                                "safe": safe_days(document, row),
                            }
                            for row in rows
                        ],
                    }
                    for way, rows in ways.items()
                ],
            }
        )
    return {
        "title": words["title"],
        "intro": " ".join(
            [
                words["intro"].format(
                    start=start_text(document, texts),
                    plan=plan_text(document, texts),
                    often=often(document, texts),
                ),
                words["more"].format(number=follow_days),
                *_people(document, texts, clean),
            ]
        ),
        "head": [words["region"], words["way"], *_season_heads(document, texts)],
        "seasons": [texts["seasons"][row["season"]] for row in _typical(document["regions"][0])],
        "regions": regions,
        "follow_days": follow_days,
        "legend": words["chart_legend"].format(
            often=often(document, texts),
            ways=joined(texts, [texts["in_ways"][way["way"]] for way in document["ways"]]),
        ),
        "alt": words["chart_alt"].format(places=joined(texts, [r["place"] for r in regions])),
    }


def _people(document: dict[str, Any], texts: Texts, clean: Clean) -> list[str]:
    """Say whose use is not the typical one, and which use has no row."""
    words = texts["days"]
    said = []
    typical = next(way for way in document["ways"] if way["way"] == "typical")
    if typical["left_out"]:
        names = [clean(one["name"], "appliances") for one in typical["left_out"]]
        said.append(words["without"].format(names=joined(texts, names)))
    if document["own_people"] is not None:
        said.append(
            words["other_people"].format(
                name=clean(typical["name"], "ways"), own=clean(document["own_people"], "ways")
            )
        )
    left_out = {"light": words["no_light"], "heavy": words["no_heavy"]}
    said += [left_out[way] for way in document["ways_left_out"]]
    return said


def _typical(region: dict[str, Any]) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = region["days"]["typical"]
    return rows


def _season_heads(document: dict[str, Any], texts: Texts) -> list[str]:
    """Seasons with the months of the first place."""
    words = texts["days"]["month_head"]
    return [
        str(
            words.format(
                season=texts["seasons"][row["season"]],
                month=month_name(texts, row["month"]),
            )
        )
        for row in _typical(document["regions"][0])
    ]


def _other_months(region: dict[str, Any], document: dict[str, Any], texts: Texts) -> str:
    """Say where a place's seasons lie half a year from those of the first."""
    first, here = (_typical(one)[0]["month"] for one in (document["regions"][0], region))
    if first == here:
        return ""
    return str(texts["days"]["other_months"].format(month=month_name(texts, here, in_text=True)))


def start_text(document: dict[str, Any], texts: Texts) -> str:
    """With what battery the van arrives."""
    soc = document["stay"]["start_soc"]
    if soc >= 1.0:
        return str(texts["days"]["full"])
    return str(texts["days"]["charged"].format(percent=percent_text(texts, soc)))


def plan_text(document: dict[str, Any], texts: Texts, *, brief: bool = False) -> str:
    """Say what charges the van meanwhile besides the sun; in brief without a generator's hours."""
    van, words = document["van"], texts["days"]
    parts = []
    for kind, hours, every in (
        ("driving", van["drive_h"] if van["dcdc_a"] else 0.0, van["drive_every_days"]),
        ("plugging", van["plugged_h"] if van["charger_a"] else 0.0, van["plugged_every_days"]),
    ):
        if hours:
            days = plural(texts, words["every"], every).format(number=number(texts, every))
            parts.append(words[kind].format(hours=hours_text(texts, hours), every=days))
    if "generator_hours" in van:
        hours = (
            "\u2013".join(written(texts, f"{hour:g}") for hour in window)
            for window in van["generator_hours"]
        )
        parts.append(
            words["generating_brief" if brief else "generating"].format(hours=", ".join(hours))
        )
    parts = parts or [str(words["parked"])]
    if van["portable_w"]:
        parts.append(str(words["portable"]))
    return joined(texts, parts)


def _ways(document: dict[str, Any], texts: Texts, clean: Clean) -> list[dict[str, str]]:
    usable_wh = document["van"]["usable_wh"]
    return [
        {
            "name": texts["ways"][way["way"]],
            "text": texts["needs"]["share"].format(
                description=clean(way["description"] or way["name"], "ways"),
                winter=percent_text(texts, way["winter_wh_per_day"] / usable_wh),
                summer=percent_text(texts, way["summer_wh_per_day"] / usable_wh),
            )
            + (fuel_words(way, texts) if way["way"] == "typical" else ""),
        }
        for way in document["ways"]
    ]


def _card(document: dict[str, Any], texts: Texts, place: str) -> dict[str, Any]:
    words = texts["card"]
    return {
        "heading": words["heading"],
        "living": words["living"].format(
            way=texts["with_ways"]["typical"], place=place, plan=plan_text(document, texts)
        ),
        "footer": " ".join(
            [words["footer"], *([texts["medical"]["short"]] if document["medical"] else [])]
        ),
    }
