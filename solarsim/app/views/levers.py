"""What single changes are worth."""

from __future__ import annotations

import streamlit as st

from solarsim.app.answering import levers_answer, stay_answer
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.plain import plain
from solarsim.app.translate import tr
from solarsim.app.units.chosen import told
from solarsim.app.worded import worded
from solarsim.present.compare.charts import levers_figure
from solarsim.present.compare.text import LEVER_TITLES

__all__ = ["gained_text", "show"]


def gained_text(days: float) -> str:
    """Return days gained with their sign."""
    return worded(f"{days:+z.1f} days")


def show(design: Draft) -> None:
    """Draw the view."""
    answer = levers_answer(design)
    now = stay_answer(design)
    st.title(tr("What one change is worth"), anchor=False)
    depended = bool(design.profile.medical)
    show_days(now.days, now.chance_lasts, now.dates.days, medical=depended)
    tried = [lever for lever in answer.levers if lever.skipped is None]
    for kind, title in LEVER_TITLES.items():
        st.header(tr(title), anchor=False)
        show_figure(
            levers_figure(answer.of_kind(kind), page_palette(), by=answer.ranked_by),
            key=f"levers_{kind}",
            alt=tr(
                "{title}: what each single change gains or costs. The table below holds the "
                "numbers.",
                title=tr(title),
            ),
        )
    by_days = answer.ranked_by == "days"
    gained = tr("days gained") if by_days else tr("Wh more left at the stay's lowest hour")
    st.caption(
        tr(
            "Mean {gained} over {runs} runs, each change by itself on the same weather; whiskers "
            "are one standard error. Days past the {days} that the answer looks ahead do not "
            "count.",
            gained=gained,
            runs=answer.conditions.runs,
            days=now.days.follow_days,
        )
    )
    show_table(
        "Changes as a table",
        {
            "change": [lever.name for lever in tried],
            "list": [lever.kind for lever in tried],
            "check": ["STOP" if lever.stopped else "ok" for lever in tried],
            "days gained": [round(lever.days_gained, 2) for lever in tried],
            "standard error": [round(lever.standard_error, 2) for lever in tried],
            "points of chance": [round(100.0 * lever.chance_gained, 1) for lever in tried],
            "left in the bank, Wh": [round(lever.reserve_gained_wh) for lever in tried],
        },
    )
    broken = [f"- {plain(worded(v.name))}: {told(said)}\n" for v in tried for said in v.warnings]
    if broken:
        with st.expander(tr("What a change would overload or break")):
            st.markdown("".join(broken))
    skipped = [lever for lever in answer.levers if lever.skipped is not None]
    with st.expander(tr("Changes that do not apply")):
        lines = (f"- {plain(worded(v.name))}: {plain(worded(v.skipped or ''))}\n" for v in skipped)
        st.markdown("".join(lines))
