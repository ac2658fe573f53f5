"""The answer of `bank` in Python."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from solarsim.answers.bank import BankAnswer, units_text
from solarsim.cards import Card
from solarsim.inputs.percent import chance_text
from solarsim.present.bars import bars_figure
from solarsim.present.faces.rows import notes_row, weather_row
from solarsim.present.palette import LIGHT
from solarsim.present.stay.documents import bank_document
from solarsim.present.words import days_text

__all__ = ["card", "document", "figure", "frame"]

document = bank_document


def card(answer: BankAnswer) -> Card:
    """Return the choice, the banks around it, and the figure by hand."""
    units = answer.recommended.units
    lead = "No bank will do" if units is None else f"Bank that holds: {units_text(units)}"
    counts = [option.units for option in answer.options]
    at = len(counts) - 1 if units is None else counts.index(units)
    hand = answer.by_hand
    return Card(
        f"{lead}: {answer.recommended.reason}.",
        [
            *(
                (
                    units_text(option.units),
                    f"{option.capacity_ah:g} Ah, {option.usable_wh:,.0f} Wh usable: "
                    f"{chance_text(option.chance_lasts)}, P50 "
                    f"{days_text(option.days.p50, option.days.follow_days)}",
                )
                for option in answer.options[max(at - 1, 0) : at + 2]
            ),
            (
                "by hand, no sun",
                f"{hand.load_ah_per_day:.0f} Ah a day; lasts "
                f"{f'{hand.days:.1f} days' if math.isfinite(hand.days) else 'for ever'}",
            ),
            *(("would do it", remedy) for remedy in answer.remedies[:2]),
            weather_row(answer.conditions),
            *notes_row(answer.conditions.notes),
        ],
    )


def frame(answer: BankAnswer) -> pd.DataFrame:
    """Return one row a bank, smallest first."""
    return pd.DataFrame(
        {
            "battery_units": option.units,
            "capacity_ah": option.capacity_ah,
            "usable_wh": option.usable_wh,
            "chance_lasts_share": option.chance_lasts,
            "p10_days": option.days.p10,
            "p50_days": option.days.p50,
            "p90_days": option.days.p90,
            "recommended": option.units == answer.recommended.units,
        }
        for option in answer.options
    )


def figure(answer: BankAnswer) -> Any:
    """Return the chance of each bank as bars, the recommended one in its own colour and words."""
    chosen = [option.units == answer.recommended.units for option in answer.options]
    return bars_figure(
        labels=[
            f"{units_text(option.units)}, {option.capacity_ah:g} Ah{' (recommended)' if it else ''}"
            for option, it in zip(answer.options, chosen, strict=True)
        ],
        values=[100.0 * option.chance_lasts for option in answer.options],
        texts=[chance_text(option.chance_lasts) for option in answer.options],
        colours=[LIGHT.green if it else LIGHT.blue for it in chosen],
    )
