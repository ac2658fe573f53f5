"""What each thing on the roof costs: panels that have no room, and light that its shadow takes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from solarsim.answers.roof import RoofAnswer
from solarsim.app.pictures import show_table
from solarsim.app.plain import one_line, plain
from solarsim.app.translate import tr
from solarsim.app.units.chosen import digits, shown
from solarsim.app.widgets.widgets import month

__all__ = ["show_costs"]


def show_costs(answer: RoofAnswer) -> None:
    """Draw what would fit more without each thing, and what its shadow takes."""
    st.header(tr("What each thing up there costs"), anchor=False)
    if not answer.costs:
        st.markdown(tr("Nothing stands on the roof."))
        return
    shades = [cost.shade_wh_per_day for cost in answer.costs]
    st.dataframe(
        {
            "without": [one_line(cost.name) for cost in answer.costs],
            "panels": [f"{cost.panels_gained:+d}" for cost in answer.costs],
            "W": [digits(f"{cost.gained_w:+,.0f}") for cost in answer.costs],
            "shade": ["–" if wh is None else digits(f"{wh:,.0f}") for wh in shades],
        },
        hide_index=True,
        column_config={
            "without": st.column_config.TextColumn(tr("without"), width=130),
            "panels": st.column_config.TextColumn(tr("panels"), width=62),
            "W": st.column_config.TextColumn(width=62),
            "shade": st.column_config.TextColumn(tr("shade"), width=78, alignment="right"),
        },
    )
    st.caption(
        tr(
            "What would fit more if it were taken away; shade: Wh a day that its shadow takes, "
            "mean over the year."
        )
    )
    moves = [(cost, cost.move) for cost in answer.costs if cost.move is not None]
    if moves:
        lines = (
            tr(
                "The {name} costs less at {place}: {energy} Wh a day more, mean over the year, "
                "the panels staying.",
                name=plain(cost.name),
                place=shown(f"x {move.x_m:.2f}, y {move.y_m:.2f} m"),
                energy=digits(f"{move.gained_wh_per_day:,.0f}"),
            )
            for cost, move in moves
        )
        st.markdown("".join(f"- {line}\n" for line in lines))
    shares = answer.shade_share_by_month
    if shares is None:
        return
    columns: dict[str, Sequence[Any]] = {
        tr("month"): [month(number) for number in range(1, 13)],
        tr("lost, %"): [round(100.0 * share, 1) for share in shares],
    }
    for number, cost in enumerate(answer.costs, start=1):
        if cost.month_shade_wh_per_day is not None:
            name = tr("{number}: {name}, Wh a day", number=number, name=one_line(cost.name))
            columns[name] = [round(wh) for wh in cost.month_shade_wh_per_day]
    show_table("Lost to shade of what stands on the roof, by month", columns)
