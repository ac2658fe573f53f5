"""Figures as they stand large on the page."""

from __future__ import annotations

import streamlit as st

from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.app.translate import tr, tr_count
from solarsim.app.units.chosen import digits
from solarsim.app.worded import worded
from solarsim.inputs.percent import chance_text

__all__ = ["big_days", "show_days"]


def big_days(days: float, follow_days: int) -> str:
    """Days with one decimal; those followed and beyond as "30+".

    Examples
    --------
    >>> big_days(4.04, 30), big_days(30.0, 30)
    ('4.0', '30+')
    """
    return f"{follow_days}+" if days >= follow_days else digits(f"{days:.1f}")


def show_days(
    days: DaysUnplugged,
    chance: float,
    stay_days: int,
    *,
    side_by_side: bool = True,
    medical: bool = False,
) -> None:
    """Put the figures of an answer side by side as far as there is room, or in a column.

    Where someone's health depends on a device, what 99 runs in 100 reach stands first.
    """
    worst = tr("not known") if days.p1 is None else big_days(days.p1, days.follow_days)
    first = (
        tr("Days, 99 in 100"),
        worst,
        tr("99 runs in 100 last longer; no other days are safe."),
    )
    with st.container(horizontal=side_by_side, gap="medium" if side_by_side else "small"):
        for label, figure, about in (
            *((first,) if medical else ()),
            (
                tr("Days, 9 in 10"),
                big_days(days.p10, days.follow_days),
                tr("Nine runs in ten last longer."),
            ),
            (
                tr("Days, middle"),
                big_days(days.p50, days.follow_days),
                tr("Half of the runs last longer."),
            ),
            (
                tr_count("{number} day", "{number} days", stay_days),
                worded(chance_text(chance)),
                tr_count(
                    "Chance of lasting {number} day.",
                    "Chance of lasting {number} days.",
                    stay_days,
                ),
            ),
        ):
            st.metric(label, figure, help=about, width="content")
