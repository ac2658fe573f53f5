"""Where and when a stay is cut off, for its pictures, and what they say in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from solarsim.answers.stay import StayAnswer
from solarsim.inputs.percent import percent
from solarsim.power.chemistry import RATED_TEMP_C
from solarsim.power.design import design_of, floor_at, reconnect_at
from solarsim.present.words import days_text

__all__ = [
    "cut_off_level",
    "cut_off_marks",
    "cut_off_text",
    "energy_words",
    "shed_text",
    "soc_words",
]

_DAY_AND_HOUR = "%a %d %b %H:%M"


def cut_off_level(answer: StayAnswer) -> float:
    """State of charge at which the loads go off, at the bank's mean temperature of the stay."""
    return floor_at(design_of(answer.question.van), answer.conditions.bank_temp_c)


def cut_off_text(answer: StayAnswer) -> str:
    """Say at which charge the loads go off, and at which they would of a bank as rated."""
    rated, here = percent(design_of(answer.question.van).floor_soc), percent(cut_off_level(answer))
    return f"cut-off at {here}" + ("" if here == rated else f" ({rated} at {RATED_TEMP_C:g} °C)")


def cut_off_marks(answer: StayAnswer) -> list[tuple[pd.Timestamp, str]]:
    """When one run in ten, and when half of them have been cut off, as far as within the stay.

    Where someone's health depends on a device it is one in a hundred, if that is known.
    """
    start, all_days = answer.soc.times[0].tz_localize(None), answer.dates.days
    first, often = _first_cut_off(answer)
    return [
        (start + pd.Timedelta(days=days), text)
        for days, text in (
            (first, f"{often}\ncut off"),
            (answer.days.p50, "half\ncut off"),
        )
        if days < all_days
    ]


def _first_cut_off(answer: StayAnswer) -> tuple[float, str]:
    p1 = None if answer.medical is None else answer.medical.p1_days
    return (answer.days.p10, "1 in 10") if p1 is None else (p1, "1 in 100")


def shed_text(answer: StayAnswer) -> str | None:
    """Say why a run that was cut off may stand above the others; None where none was."""
    if answer.chance_lasts >= 1.0:
        return None
    back = reconnect_at(design_of(answer.question.van), answer.conditions.bank_temp_c)
    return (
        f"A run that is cut off leaves its loads off until the bank is back at {percent(back)}: "
        "without them it fills faster than the others and may stand above them."
    )


def soc_words(answer: StayAnswer) -> str:
    """What the picture of the state of charge shows, for those who do not see it."""
    soc, days = answer.soc, answer.days
    lowest = int(np.argmin(soc.p50))
    said = [
        f"State of charge over {answer.dates.days} days from "
        f"{soc.times[0]:{_DAY_AND_HOUR}}. The median of each hour begins at "
        f"{percent(float(soc.p50[0]))} and is lowest on {soc.times[lowest]:{_DAY_AND_HOUR}}, at "
        f"{percent(float(soc.p50[lowest]))}; the worst run comes down to "
        f"{percent(float(soc.worst.min()))}, with the {cut_off_text(answer)}."
    ]
    if soc.p1 is not None:
        said.append(f"99 in 100 runs keep {percent(float(soc.p1.min()))} or more in every hour.")
    if cut_off_marks(answer):
        first, often = _first_cut_off(answer)
        said.append(
            f"{often.replace('1', 'One run', 1)} is cut off within "
            f"{days_text(first, days.follow_days)}, half of them within "
            f"{days_text(days.p50, days.follow_days)}."
        )
    return " ".join(said)


def energy_words(rows: Sequence[tuple[str, str, float]]) -> str:
    """What the bars of the day's energy show; rows as of `ledger_rows`."""
    ways = {"in": "Comes in", "out": "Goes out", "missed": "Missed"}
    said: dict[str, Any] = {}
    for group, label, wh in rows:
        if wh >= 0.5:
            said.setdefault(ways[group], []).append(f"{label} {wh:,.0f} Wh")
    return "Energy a day. " + " ".join(f"{way}: {', '.join(all_)}." for way, all_ in said.items())
