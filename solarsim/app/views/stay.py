"""How many days the van lasts: the first view."""

from __future__ import annotations

import streamlit as st

from solarsim.answers.stay import StayAnswer
from solarsim.app.answering import levers_answer, stay_answer
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.plain import plain
from solarsim.app.stops import stops
from solarsim.app.translate import ENGLISH, catalogue, tr, tr_count
from solarsim.app.units.chosen import digits, shown, told, units
from solarsim.app.units.words import in_signs
from solarsim.app.views.levers import gained_text
from solarsim.app.worded import worded, worded_each
from solarsim.present.compare.text import LEVER_TITLES
from solarsim.present.stay.charts import ledger_figure, soc_figure
from solarsim.present.stay.cut_off import energy_words, shed_text, soc_words
from solarsim.present.stay.fuel import NO_FUEL, fuel_lines
from solarsim.present.words import (
    bank_text,
    circumstances_text,
    counted_text,
    ledger_rows,
    real_years_text,
)

__all__ = ["fuel_line", "show"]

_FIRST_CHANGES = 3


def show(design: Draft) -> None:
    """Draw the view."""
    answer = stay_answer(design)
    held = circumstances_text(answer)
    st.title(f"{told(counted_text(answer))} :small[{plain(worded(held))}]", anchor=False)
    _numbers(answer)
    stopped = stops(design)
    for warning in answer.warnings:
        # What is stopped stands above the answer already.
        if not warning.startswith(stopped):
            st.warning(told(warning))
    st.header(tr("State of charge"), anchor=False)
    show_figure(
        soc_figure(answer, page_palette()),
        key="soc",
        alt=_alt(soc_words(answer)),
    )
    shed = shed_text(answer)
    st.caption(
        tr("Nights are shaded. Dashed: the worst of all runs. Hours in local standard time.")
        + (f" {worded(shed)}" if shed else "")
    )
    _days_table(answer)
    st.header(tr("Where the energy goes, a day"), anchor=False)
    rows = ledger_rows(answer)
    show_figure(
        ledger_figure(answer, page_palette()),
        key="ledger",
        alt=_alt(energy_words(rows)),
    )
    show_table(
        "Energy a day as a table",
        {
            "": [group for group, _, _ in rows],
            "what": [label for _, label, _ in rows],
            "Wh a day": [round(wh) for _, _, wh in rows],
        },
    )
    _first_changes(design)
    _taken_as_given(answer)


def _taken_as_given(answer: StayAnswer) -> None:
    with st.expander(tr("Taken as given")):
        conditions = answer.conditions
        errors = answer.standard_errors
        fuel_notes = (NO_FUEL,) if answer.fuel is None else answer.fuel.notes
        st.markdown(
            f"- {told(conditions.source)}\n"
            + shown(
                tr(
                    "- {runs} runs; light {light} kWh/m² a day, air {air} °C, bank {bank} °C",
                    runs=conditions.runs,
                    light=f"{conditions.ghi_kwh_m2_day:.2f}",
                    air=f"{conditions.temp_air_c:z.1f}",
                    bank=f"{conditions.bank_temp_c:z.1f}",
                )
                + "\n"
                + tr(
                    "- with so many runs the median is certain to ±{days} days, the chance to "
                    "±{points} points",
                    days=digits(f"{errors.p50:.2f}"),
                    points=digits(f"{100.0 * errors.chance_lasts:.1f}"),
                )
                + "\n"
            )
            + "".join(f"- {plain(worded(note))}\n" for note in answer.notes + fuel_notes)
        )


def _alt(words: str) -> str:
    """What a chart shows in words, sentence by sentence, and where its numbers are."""
    if catalogue()["language"] != ENGLISH:
        words = worded_each(words)
    return f"{words} {tr('The table below holds the numbers.')}"


def _numbers(answer: StayAnswer) -> None:
    depended = answer.medical is not None
    show_days(answer.days, answer.chance_lasts, answer.dates.days, medical=depended)
    recommended = answer.recommended
    lead = (
        tr("No bank alone will do")
        if recommended.units is None
        else tr(
            "Bank that holds: {units}, {capacity} Ah",
            units=tr_count("{number} unit", "{number} units", recommended.units),
            capacity=f"{recommended.capacity_ah:g}",
        )
    )
    st.markdown(f"**{lead}**: {plain(worded(recommended.reason))}.")
    st.markdown(tr("Bank now: {bank}.", bank=worded(bank_text(answer))))
    if answer.fuel is not None:
        st.markdown("  \n".join(fuel_line(line) for line in fuel_lines(answer.fuel)))
    beside = real_years_text(answer)
    if beside is not None:
        st.caption(plain(worded(beside)))


def fuel_line(line: str) -> str:
    """Return a line of `fuel_lines` as Markdown to the letter."""
    # It says a unit once and means it for numbers further on.
    if catalogue()["language"] == ENGLISH:
        return plain(in_signs(line, units()))
    return plain(worded_each(line))


def _days_table(answer: StayAnswer) -> None:
    soc = answer.soc
    days = range(answer.dates.days)
    hours = [slice(24 * day, 24 * (day + 1) + 1) for day in days]
    show_table(
        "Lowest state of charge of each day as a table",
        {
            "24 h from": [f"{soc.times[24 * day]:%a %d %b %H:%M}" for day in days],
            "P10, %": [round(100.0 * float(soc.p10[part].min())) for part in hours],
            "P50, %": [round(100.0 * float(soc.p50[part].min())) for part in hours],
            "P90, %": [round(100.0 * float(soc.p90[part].min())) for part in hours],
            "worst run, %": [round(100.0 * float(soc.worst[part].min())) for part in hours],
        },
    )


def _first_changes(design: Draft) -> None:
    st.header(tr("What to change first"), anchor=False)
    # They take as long as the answer itself, and would at every change of an input.
    box = st.expander(
        tr("Work out which changes gain most"), key="first_changes", on_change="rerun"
    )
    if not box.open:
        return
    with box:
        _best_changes(design)


def _best_changes(design: Draft) -> None:
    answer = levers_answer(design)
    if answer.chance_lasts >= 1.0 and answer.days.p10 >= answer.days.follow_days:
        st.markdown(tr("Nothing: it lasts as long as the answer looks ahead, in nine runs of ten."))
        return
    # More days than what the few runs leave uncertain, twice over; nothing that the check stops or
    # that nobody likes to live without.
    better = [
        lever
        for lever in answer.levers
        if not (lever.skipped or lever.stopped or lever.needed)
        and lever.days_gained > 2.0 * lever.standard_error
    ]
    if not better:
        st.markdown(tr("No single change gains days."))
        return
    for kind, title in LEVER_TITLES.items():
        found = [lever for lever in better if lever.kind == kind][:_FIRST_CHANGES]
        if not found:
            continue
        st.subheader(tr(title), anchor=False)
        with st.container(horizontal=True, gap="medium"):
            for lever in found:
                st.metric(
                    plain(worded(lever.name)), gained_text(lever.days_gained), width="content"
                )
    st.caption(
        tr(
            "Mean days gained over {runs} runs on the same weather. All of them: under Compare, "
            "Changes.",
            runs=answer.conditions.runs,
        )
    )
