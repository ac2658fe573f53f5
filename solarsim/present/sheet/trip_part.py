"""A trip on the sheet: one line and one picture."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from solarsim.present.sheet.forms import Texts, date_text, number, plural
from solarsim.present.sheet.texts import chance_words

__all__ = ["trip_part"]

# A picture of three weeks needs no more than every third hour.
_EVERY_H = 3

Clean = Callable[[str, str], str]


def trip_part(document: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any] | None:
    """Return the trip's strings and the numbers of its picture; None where none was asked about.

    Parameters
    ----------
    document : dict
        From `sheet_document`.
    texts : dict
        The catalogue.
    clean : callable
        As for `sheet_page`.
    """
    trip = document["trip"]
    if trip is None:
        return None
    words, stops = texts["trip"], trip["stops"]
    names = [
        words["stop"].format(number=stop["number"], place=clean(stop["place"]["name"], "trip"))
        for stop in stops
    ]
    name = clean(trip["trip"]["name"], "trip") or words["unnamed"]
    # Told where someone's health depends on it: as the days, the shade then holds 99 in 100.
    rare = "p1" in trip["soc"]
    return {
        "title": words["title"],
        "text": " ".join(
            [
                words["text"].format(
                    name=name,
                    stops=_counted(texts, "stops", len(stops)),
                    nights=_counted(texts, "nights", trip["trip"]["nights"]),
                    start=date_text(texts, dt.date.fromisoformat(trip["trip"]["start"])),
                    chance=chance_words(texts, trip["chance_lasts"]),
                ),
                _fails(trip, words, texts, names),
            ]
        ),
        "legend": words["legend_medical" if rare else "legend"].format(stops="; ".join(names)),
        "alt": words["alt"].format(name=name),
        "hours": stops[-1]["ends_h"],
        "marks": [{"number": str(s["number"]), "begin": s["begins_h"]} for s in stops],
        "shade": trip["soc"]["p1" if rare else "p10"][::_EVERY_H],
        "p50": trip["soc"]["p50"][::_EVERY_H],
        "step_h": _EVERY_H,
    }


def _fails(trip: dict[str, Any], words: Texts, texts: Texts, names: list[str]) -> str:
    chances = [stop["fail_chance"] for stop in trip["stops"]]
    worst = max(range(len(chances)), key=chances.__getitem__)
    if chances[worst] == 0.0:
        return str(words["never"])
    return str(words["fails"].format(stop=names[worst], chance=chance_words(texts, chances[worst])))


def _counted(texts: Texts, noun: str, count: int) -> str:
    return plural(texts, texts["trip"][noun], count).format(number=number(texts, count))
