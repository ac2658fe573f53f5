"""The same van in every month."""

from __future__ import annotations

import streamlit as st

from solarsim.answers.seasons import SeasonsAnswer
from solarsim.app.answering import seasons_answer
from solarsim.app.dates import day_text, initial
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import big_days
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.translate import tr, tr_count
from solarsim.app.units.chosen import told
from solarsim.app.widgets.widgets import month
from solarsim.app.worded import worded
from solarsim.inputs.percent import chance_text, percent
from solarsim.present.compare.charts import seasons_figure

__all__ = ["show"]


def _dates(design: Draft) -> str:
    """Say which dates each month stands for, and how they differ from the present stay's."""
    stay = design.van.stay
    rule = tr("The present van, people and place; each month's stay is centred on its middle.")
    if stay.start is None:
        own = tr("{month} is the answer's own.", month=month(stay.month))
    else:
        own = tr(
            "The answer's own stay begins on {date}: it differs from {month} by its dates.",
            date=day_text(stay.start, year=True),
            month=month(stay.start.month),
        )
    return f"{rule} {own}"


def _days(days: float | None) -> float | None:
    return None if days is None else round(days, 1)


def _hardest(answer: SeasonsAnswer) -> str:
    if answer.worst_by == "reserve":
        return tr(
            "No month is harder by its days; the bank comes lowest in {month}",
            month=month(answer.worst_month),
        )
    return tr("{month} is the hardest month", month=month(answer.worst_month))


def show(design: Draft) -> None:
    """Draw the view."""
    answer = seasons_answer(design)
    worst = answer.months[answer.worst_month - 1]
    # That of the question: it is higher where someone's health depends on a device.
    target = answer.question.van.stay.target_chance
    medical = bool(answer.question.profile.medical)
    often = {"P1 days": [_days(row.days.p1) for row in answer.months]} if medical else {}
    good = [month(m.month) for m in answer.months if m.chance_lasts >= target]
    st.title(_hardest(answer), anchor=False)
    with st.container(horizontal=True, gap="medium"):
        st.metric(
            tr_count(
                "{number} day in {month}",
                "{number} days in {month}",
                design.van.stay.days,
                month=month(worst.month),
            ),
            worded(chance_text(worst.chance_lasts)),
            width="content",
        )
        if medical:
            p1 = worst.days.p1
            shown = tr("not known") if p1 is None else big_days(p1, worst.days.follow_days)
            st.metric(tr("Days, 99 in 100"), shown, width="content")
        st.metric(
            tr("Months with {chance}", chance=percent(target)),
            tr("{number} of 12", number=len(good)),
            width="content",
        )
    months = ", ".join(good)
    st.markdown(tr("It lasts in {months}.", months=months) if good else tr("It lasts in no month."))
    figure = seasons_figure(answer, page_palette())
    figure.update_xaxes(ticktext=[initial(row.month) for row in answer.months])
    show_figure(
        figure,
        key="seasons",
        alt=tr(
            "Chance of lasting the stay and days unplugged for each month. The table below holds "
            "the numbers."
        ),
    )
    st.caption(_dates(design))
    show_table(
        "Months as a table",
        {
            "month": [month(row.month) for row in answer.months],
            "chance, %": [round(100.0 * row.chance_lasts, 1) for row in answer.months],
            **often,
            "P10 days": [round(row.days.p10, 1) for row in answer.months],
            "P50 days": [round(row.days.p50, 1) for row in answer.months],
            "P90 days": [round(row.days.p90, 1) for row in answer.months],
            "light, kWh/m² a day": [round(row.ghi_kwh_m2_day, 2) for row in answer.months],
            "air, °C": [round(row.temp_air_c, 1) for row in answer.months],
            "load, Wh a day": [round(row.demand_wh_per_day) for row in answer.months],
        },
    )
    if answer.notes:
        with st.expander(tr("Taken as given")):
            st.markdown("".join(f"- {told(note)}\n" for note in answer.notes))
