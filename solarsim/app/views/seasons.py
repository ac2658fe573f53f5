"""The same van in every month."""

from __future__ import annotations

import streamlit as st

from solarsim.app.answering import seasons_answer
from solarsim.app.draft import Draft
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.plain import plain
from solarsim.inputs.percent import chance_text, percent
from solarsim.present.compare.charts import seasons_figure
from solarsim.present.words import month_name

__all__ = ["show"]


def show(design: Draft) -> None:
    """Draw the view."""
    answer = seasons_answer(design)
    worst = answer.months[answer.worst_month - 1]
    target = design.van.stay.target_chance
    good = [month_name(m.month) for m in answer.months if m.chance_lasts >= target]
    hardest = f"{month_name(worst.month)} is the hardest month"
    if answer.worst_by == "reserve":
        hardest = (
            f"No month is harder by its days; the bank comes lowest in {month_name(worst.month)}"
        )
    st.subheader(hardest, anchor=False)
    with st.container(horizontal=True, gap="medium"):
        st.metric(
            f"{design.van.stay.days} days in {month_name(worst.month)}",
            chance_text(worst.chance_lasts),
            width="content",
        )
        st.metric(f"Months with {percent(target)}", f"{len(good)} of 12", width="content")
    st.markdown(f"It lasts in {', '.join(good)}." if good else "It lasts in no month.")
    show_figure(
        seasons_figure(answer, page_palette()),
        key="seasons",
        alt="Chance of lasting the stay and days unplugged for each month. The table below holds "
        "the numbers.",
    )
    st.caption(
        "As many runs a month as for the stay itself, each month's stay centred on its middle"
        + (
            ""
            if design.van.stay.start is None
            else f": not on the first day that the van has, {design.van.stay.start}"
        )
        + "."
    )
    show_table(
        "Months as a table",
        {
            "month": [month_name(row.month) for row in answer.months],
            "chance, %": [round(100.0 * row.chance_lasts, 1) for row in answer.months],
            "P10 days": [round(row.days.p10, 1) for row in answer.months],
            "P50 days": [round(row.days.p50, 1) for row in answer.months],
            "P90 days": [round(row.days.p90, 1) for row in answer.months],
            "light, kWh/m² a day": [round(row.ghi_kwh_m2_day, 2) for row in answer.months],
            "air, °C": [round(row.temp_air_c, 1) for row in answer.months],
            "load, Wh a day": [round(row.demand_wh_per_day) for row in answer.months],
        },
    )
    if answer.notes:
        with st.expander("Taken as given"):
            st.markdown("".join(f"- {plain(note)}\n" for note in answer.notes))
