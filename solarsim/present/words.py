"""The words and rows that every front shows: headline, ledger, cautions."""

from __future__ import annotations

import calendar

from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.answers.stay import StayAnswer
from solarsim.inputs.percent import chance_text

__all__ = ["CAUTIONS", "days_text", "headline", "ledger_rows", "month_name"]

CAUTIONS = (
    "Expected, not guaranteed. Mains AC, high DC current, lithium batteries and work on roofs can "
    "injure or kill: fuse every source, follow the makers' manuals and local codes, and have the "
    "electrical work done or checked by a licensed electrician."
)


def month_name(month: int) -> str:
    """Return the month's English name."""
    return calendar.month_name[month]


def days_text(days: float, follow_days: int) -> str:
    """Days with one decimal; those followed or beyond as "30 or more".

    Examples
    --------
    >>> days_text(4.07, 30), days_text(30.0, 30), days_text(1.0, 30)
    ('4.1 days', '30 days or more', '1.0 day')
    """
    if days >= follow_days:
        return f"{follow_days} days or more"
    return f"{days:.1f} day" + ("" if f"{days:.1f}" == "1.0" else "s")


def headline(answer: StayAnswer) -> str:
    """Return the answer in one sentence."""
    days: DaysUnplugged = answer.days
    place = answer.question.place.name
    name = answer.question.van.van.name
    return (
        f"In {month_name(answer.dates.month)} near {place} the van '{name}' lasts "
        f"{days_text(days.p50, days.horizon)} on its own; nine times in ten it lasts "
        f"{days_text(days.p10, days.horizon)}{'' if days.p10 >= days.horizon else ' or more'}. "
        f"Chance of lasting all {answer.dates.days} days: {chance_text(answer.chance_lasts)}."
    )


def ledger_rows(answer: StayAnswer) -> tuple[tuple[str, str, float], ...]:
    """Return (group, label, Wh a day) in the order in which energy flows."""
    wh = answer.ledger_wh_per_day
    stored = wh["stored_change"]
    return (
        ("in", "sun, used", wh["solar_used"]),
        ("in", "alternator", wh["alternator"]),
        ("in", "shore power", wh["shore"]),
        ("in", "taken from the bank", max(-stored, 0.0)),
        ("out", "DC loads", wh["load_dc"]),
        ("out", "AC loads", wh["load_ac"]),
        ("out", "inverter's own use", wh["inverter_loss"]),
        ("out", "lost in the bank", wh["battery_loss"]),
        ("out", "put into the bank", max(stored, 0.0)),
        ("missed", "sun refused, bank full", wh["solar_refused_full"]),
        ("missed", "sun refused, bank too cold", wh["solar_refused_cold"]),
        ("missed", "sun clipped by the controller", wh["solar_clipped"]),
        ("missed", "alternator not taken, bank full or cold", wh["alternator_refused"]),
        ("missed", "shore power not taken, bank full or cold", wh["shore_refused"]),
        ("missed", "demand not served", wh["unserved"]),
    )
