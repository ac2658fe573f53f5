"""Parts of the sheet in words: what runs, what recharges, the roof, the levers, the notes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from solarsim.present.sheet.forms import Texts, date_text, month_name, number, plural, written
from solarsim.present.sheet.texts import (
    Units,
    alone_text,
    both,
    days_number,
    energy_text,
    hours_text,
    joined,
    percent_text,
    roof_size,
    whole,
)
from solarsim.present.stay.fuel import at_most_text

__all__ = [
    "fuel_words",
    "levers_part",
    "notes_part",
    "recharge_part",
    "roof_part",
    "runs_part",
    "small_print",
]

Clean = Callable[[str, str], str]
_ROWS = 10
# Less a day, in litres or kilograms, is written as nothing.
_LEAST_FUEL = 0.005
# What takes less of every way's energy is only named.
_LITTLE_SHARE = 0.02
_GAINS = 4
_LOSSES = 2
_LEAST_DAYS = 0.1
_OBSTACLES_NAMED = 8
_ALSO_NAMED = 8


def runs_part(document: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any]:
    """Rows of appliances by the way of living, the most demanding first."""
    words = texts["runs"]
    ways = document["ways"]
    rows: dict[str, dict[str, Any]] = {}
    for way in reversed(ways):
        total_wh = max(way["winter_wh_per_day"], way["summer_wh_per_day"], 1e-9)
        for use in way["appliances"]:
            most_wh = max(use["winter_wh_per_day"], use["summer_wh_per_day"])
            row = rows.setdefault(use["name"], {"alone": use, "most_wh": 0.0, "share": 0.0})
            row["most_wh"] = max(row["most_wh"], most_wh)
            row["share"] = max(row["share"], most_wh / total_wh)
            row[way["way"]] = _used(use, texts)
        for one in way["left_out"]:
            row = rows.setdefault(one["name"], {"alone": None, "most_wh": 0.0, "share": 1.0})
            row[way["way"]] = words["left_out"]
    # First of all what this van cannot run, which a buyer must not overlook; then by energy.
    ranked = sorted(
        rows, key=lambda name: (rows[name]["alone"] is not None, -rows[name]["most_wh"])
    )
    shown = [name for name in ranked if rows[name]["share"] >= _LITTLE_SHARE][:_ROWS]
    rest = [clean(name, "appliances") for name in ranked if name not in shown]
    if len(rest) > _ALSO_NAMED:
        rest[_ALSO_NAMED:] = [words["more"].format(number=len(rest) - _ALSO_NAMED)]
    return {
        "title": words["title"],
        "note": " ".join(
            [
                words["alone_note"],
                *([words["left_out_note"]] if any(way["left_out"] for way in ways) else []),
            ]
        ),
        "head": [words["appliance"], *(texts["ways"][way["way"]] for way in ways), words["alone"]],
        "rows": [
            [
                _capital(clean(name, "appliances")),
                *(rows[name].get(way["way"], words["not_used"]) for way in ways),
                words["not_used"]
                if rows[name]["alone"] is None
                else alone_text(
                    texts, rows[name]["alone"]["alone_h"], rows[name]["alone"]["alone_most_h"]
                ),
            ]
            for name in sorted(shown, key=lambda name: -rows[name]["most_wh"])
        ],
        "also": words["also"].format(names=", ".join(rest)) if rest else "",
    }


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _used(use: dict[str, Any], texts: Texts) -> str:
    if use["hours_per_day"] is None:
        return str(texts["runs"]["as_needed"])
    if use["hours_per_day"] >= 24.0:
        return str(texts["runs"]["always"])
    time = hours_text(texts, use["hours_per_day"])
    if use["count"] == 1:
        return time
    return str(texts["units"]["pieces"].format(count=use["count"], time=time))


def recharge_part(document: dict[str, Any], texts: Texts, place: str) -> dict[str, Any]:
    """Shares of the battery that each source brings back."""
    words, got = texts["recharge"], document["recharge"]
    rows = (
        (words["sun_june"], got["sun_june_share"]),
        (words["sun_december"], got["sun_december_share"]),
        (words["drive"], got["drive_hour_share"]),
        (
            words["shore"].format(hours=number(texts, got["shore_night_h"], None)),
            got["shore_night_share"],
        ),
    )
    return {
        "title": words["title"],
        "rows": [
            {
                "label": label,
                "value": words["none"] if share is None else percent_text(texts, share),
                "share": 0.0 if share is None else min(share, 1.0),
            }
            for label, share in rows
        ],
        "note": " ".join(_recharge_note(document, texts, place)),
    }


def _recharge_note(document: dict[str, Any], texts: Texts, place: str) -> list[str]:
    """Say what the shares are of, what the cold leaves of it, and how the drive is counted."""
    words, van = texts["recharge"], document["van"]
    said = [words["note"].format(usable=energy_text(texts, van["usable_wh"]), place=place)]
    usable, cold = (energy_text(texts, van[key]) for key in ("usable_wh", "usable_wh_winter"))
    if cold != usable:
        temp = texts["units"]["celsius"].format(number=number(texts, van["winter_bank_temp_c"]))
        said.append(words["as_cold"].format(temp=temp.replace("-", "−"), usable=cold))
    share = van["dcdc_output_share"]
    if document["recharge"]["drive_hour_share"] is not None and share < 1.0:
        said.append(words["driven"].format(share=percent_text(texts, share)))
    return said


def roof_part(
    document: dict[str, Any], texts: Texts, units: Units, clean: Clean
) -> dict[str, Any] | None:
    """The roof's caption, its boxes with their names, and what stands for them in words."""
    plan = document["roof"]
    if plan is None:
        return None
    words, roof, van = texts["roof"], plan["roof"], document["van"]
    panels = plan["own"]["panels"]
    if panels is None:
        panels = plan["panels"] if van["panels"] else []
    size = roof_size(texts, roof["length_m"], roof["width_m"], units)
    said = words["panels_none"]
    if van["panels"]:
        each = whole(texts, van["panels_w"] / van["panels"])
        said = plural(texts, words["panels"], van["panels"]).format(count=van["panels"], each=each)
    if len(panels) < van["panels"]:
        said = f"{said} {words['not_all'].format(shown=len(panels))}"
    if van["more_roof_w"]:
        said = f"{said} {words['not_drawn'].format(watts=whole(texts, van['more_roof_w']))}"
    obstacles = [
        one | {"name": clean(one["name"], "roof"), "letter": _letter(index)}
        for index, one in enumerate(roof["obstacles"])
    ]
    names = ", ".join(one["name"] for one in obstacles if one["name"]) or words["nothing"]
    legend = ", ".join(
        words["letter"].format(letter=one["letter"], name=one["name"])
        for one in obstacles[:_OBSTACLES_NAMED]
    )
    if len(obstacles) > _OBSTACLES_NAMED:
        legend += words["more"].format(number=len(obstacles) - _OBSTACLES_NAMED)
    return {
        "title": words["title"],
        "caption": " ".join(
            part
            for part in (
                words["caption"].format(size=size, panels=said),
                legend and words["legend"].format(names=legend),
            )
            if part
        ),
        "alt": words["alt"].format(size=size, count=len(panels), obstacles=names),
        "front": words["front"],
        "length_m": roof["length_m"],
        "width_m": roof["width_m"],
        "outline": roof["outline"],
        "panels": panels,
        "obstacles": obstacles,
    }


def _letter(index: int) -> str:
    letters = "abcdefghijklmnopqrstuvwxyz"
    return letters[index] if index < len(letters) else str(index + 1)


def levers_part(document: dict[str, Any], texts: Texts, place: str, clean: Clean) -> dict[str, Any]:
    """What a person aboard can change, most days first, and what they had better not do."""
    words, levers = texts["longer"], document["levers"]
    season = texts["in_seasons"][levers["season"]]
    way = texts["with_ways"][levers["way"]]
    part = {
        "title": words["title"],
        "intro": words["intro"].format(way=way, place=place, season=season),
        "gains": [],
        "costs_title": words["costs"],
        "costs": [],
    }
    if levers["p50"] >= levers["follow_days"]:
        days = levers["follow_days"]
        return part | {"intro": words["none"].format(days=days, place=place, way=way)}
    told = [
        (text, lever["days_gained"])
        for lever in levers["levers"]
        if lever["skipped"] is None
        and not lever["needed"]
        and not lever["stopped"]
        and abs(lever["days_gained"]) > 2.0 * lever["standard_error"]
        and abs(lever["days_gained"]) >= _LEAST_DAYS
        and (text := _lever_text(lever["name"], texts, clean)) is not None
    ]
    for kind, sign, most in (("gains", 1.0, _GAINS), ("costs", -1.0, _LOSSES)):
        ranked = sorted((row for row in told if sign * row[1] > 0.0), key=lambda row: -abs(row[1]))
        number = words["gain" if kind == "gains" else "loss"]
        part[kind] = [
            {
                "text": text,
                "days": number.format(number=days_number(texts, abs(days), levers["follow_days"])),
            }
            for text, days in ranked[:most]
        ]
    if not part["gains"]:
        part["intro"] = words["little"]
    return part


def _lever_text(name: str, texts: Texts, clean: Clean) -> str | None:
    words = texts["levers"]
    before = "without: "
    if name.startswith(before):
        return str(words["without"].format(name=clean(name.removeprefix(before), "appliances")))
    # What stands in brackets tells the builder how it is reckoned.
    text = words.get(name.partition(" (")[0])
    if text is None:
        return None
    kelvin = texts["units"]["kelvin"].format(number=2)
    rankine = texts["units"]["rankine"].format(number=4)
    return str(text.format(kelvin=both(texts, kelvin, rankine, "metric")))


def notes_part(document: dict[str, Any], texts: Texts, units: Units) -> dict[str, Any]:
    """Winter, care and cautions, as they concern this van."""
    van = document["van"]
    words, care, cautions = texts["winter"], texts["care"], texts["cautions"]
    freezing = both(
        texts,
        texts["units"]["celsius"].format(number=0),
        texts["units"]["fahrenheit"].format(number=32),
        units,
    )
    lithium = van["chemistry"] == "lfp"
    got = document["recharge"]
    winter = []
    if van["panels_w"] + van["more_roof_w"] + van["portable_w"]:
        if max(got["sun_june_share"], got["sun_december_share"]) > 0.0:
            dark, bright = sorted(("june", "december"), key=lambda month: got[f"sun_{month}_share"])
            share = got[f"sun_{dark}_share"] / got[f"sun_{bright}_share"]
            winter.append(
                words["short_days"].format(
                    dark=words[dark], bright=words[bright], share=percent_text(texts, share)
                )
            )
        winter.append(words["snow_flat"])
    battery = ("lfp_heated" if van["self_heating"] else "lfp") if lithium else "lead"
    winter.append(words[battery].format(freezing=freezing))
    winter.append(words["inside" if van["bank_location"] == "inside" else "outside"])
    cared = [care["panels"]] if van["panels_w"] + van["more_roof_w"] else []
    cared.append(care["lfp" if lithium else "lead"])
    if van["chemistry"] == "flooded":
        cared.append(care["flooded"])
    cared.append(care["test"])
    warned = [cautions["expected"], cautions["current"]]
    if document["medical"]:
        warned.insert(0, texts["medical"]["short"])
    if van["inverter_w"] is not None or van["charger_a"]:
        warned.append(cautions["mains"])
    if "generator_hours" in van:
        warned.append(cautions["generator"])
    warned += [cautions["roof"], cautions["gas"]]
    return {
        "winter": {"title": words["title"], "items": winter},
        "care": {"title": care["title"], "items": cared},
        "cautions": {"title": cautions["title"], "items": warned},
    }


def fuel_words(way: dict[str, Any], texts: Texts) -> str:
    """What is burnt a day in winter and in summer; empty where nothing is."""
    seasons = {
        season: joined(
            texts,
            [
                texts["fuel"][kind].format(number=written(texts, at_most_text(per_day["p90"])))
                for kind, per_day in fuels.items()
                # What is not burnt in a season is left out, unless nothing is.
                if per_day["p90"] >= _LEAST_FUEL or most < _LEAST_FUEL
            ],
        )
        for season, fuels in way.get("fuel", {}).items()
        for most in (max((per_day["p90"] for per_day in fuels.values()), default=0.0),)
    }
    return f" {texts['needs']['fuel'].format(**seasons)}" if any(seasons.values()) else ""


def small_print(document: dict[str, Any], texts: Texts, clean: Clean) -> str:
    """What the figures stand on."""
    words, stay, van = texts["small"], document["stay"], document["van"]
    sources = dict.fromkeys(clean(region["source"], "weather") for region in document["regions"])
    months: dict[int, None] = {}
    for region in document["regions"]:
        months |= dict.fromkeys(row["month"] for row in region["days"]["typical"])
    parking = texts["parking"][stay["parking"]]
    return str(
        words["line"].format(
            weather=" ".join(words["weather"].format(source=source) for source in sources),
            runs=whole(texts, min(region["runs"] for region in document["regions"])),
            seed=document["seed"],
            months=", ".join(month_name(texts, month) for month in sorted(months)),
            follow_days=document["follow_days"],
            parking=words["parking_given"] if stay["horizon_given"] else parking,
            snow=words["brushed" if stay["brush_snow"] == "morning" else "left"],
            soiling=percent_text(texts, van["soiling_share"]),
            floor=percent_text(texts, van["floor_soc"]),
            version=document["version"],
            date=date_text(texts, dt.date.fromisoformat(document["date"])),
        )
    )
