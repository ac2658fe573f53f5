"""Days that the sheet calls safe: nine times in ten, 99 in 100 where health depends on them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from solarsim.present.sheet.forms import Texts
from solarsim.present.sheet.texts import days_phrase, joined

__all__ = ["medical_text", "often", "safe_days"]


def safe_days(document: dict[str, Any], row: dict[str, Any]) -> float:
    """Return the days of a season that are reached as often as `often` says."""
    days: float = row["p1"] if document["medical"] else row["p10"]
    return days


def often(document: dict[str, Any], texts: Texts, *, short: bool = False) -> str:
    """Return how often what is called safe is reached, in words."""
    kind = "medical" if document["medical"] else "usual"
    return str(texts["often"][f"{kind}_short" if short else kind])


def medical_text(document: dict[str, Any], texts: Texts, clean: Callable[[str], str]) -> str:
    """Return what stands first where someone's health depends on a device; empty elsewhere.

    `clean` makes a device's name safe to set.
    """
    if not document["medical"]:
        return ""
    rows = {row["season"]: row for row in document["regions"][0]["days"]["typical"]}
    days = {
        season: days_phrase(
            texts,
            safe_days(document, rows[season]),
            rows[season]["follow_days"],
            at_least=True,
        )
        for season in ("winter", "summer")
    }
    names = [name for device in document["medical"] if (name := clean(device))]
    devices = joined(texts, names or [texts["medical"]["device"]])
    return str(
        texts["medical"]["text"].format(devices=devices, way=texts["with_ways"]["typical"], **days)
    )
