"""A trip on the sheet: one line and one picture."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from solarsim.present.sheet.texts import Texts, chance_words

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
    return {
        "title": words["title"],
        "text": " ".join(
            [
                words["text"].format(
                    name=name,
                    stops=_counted(words["one_stop"], words["many_stops"], len(stops)),
                    nights=_counted(
                        words["one_night"], words["many_nights"], trip["trip"]["nights"]
                    ),
                    start=_day(trip["trip"]["start"], texts),
                    chance=chance_words(texts, trip["chance_lasts"]),
                ),
                _fails(trip, words, texts, names),
            ]
        ),
        "legend": words["legend"].format(stops="; ".join(names)),
        "alt": words["alt"].format(name=name),
        "hours": stops[-1]["ends_h"],
        "marks": [{"number": str(s["number"]), "begin": s["begins_h"]} for s in stops],
        "p10": trip["soc"]["p10"][::_EVERY_H],
        "p50": trip["soc"]["p50"][::_EVERY_H],
        "step_h": _EVERY_H,
    }


def _fails(trip: dict[str, Any], words: Texts, texts: Texts, names: list[str]) -> str:
    chances = [stop["fail_chance"] for stop in trip["stops"]]
    worst = max(range(len(chances)), key=chances.__getitem__)
    if chances[worst] == 0.0:
        return str(words["never"])
    return str(words["fails"].format(stop=names[worst], chance=chance_words(texts, chances[worst])))


def _counted(one: str, many: str, count: int) -> str:
    return one if count == 1 else many.format(number=count)


def _day(text: str, texts: Texts) -> str:
    day = dt.date.fromisoformat(text)
    month = texts["months"]["names"][day.month - 1]
    return str(texts["trip"]["date"].format(day=day.day, month=month, year=day.year))
