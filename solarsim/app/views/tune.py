"""Panels against battery units: pick a cell and it becomes the design."""

from __future__ import annotations

import dataclasses

import streamlit as st

from solarsim.answers.bank import units_text
from solarsim.answers.tune.built import design_stops
from solarsim.answers.tune.designs import TuneAnswer, TunedDesign
from solarsim.answers.tune.rows import units_worth_showing
from solarsim.app import state
from solarsim.app.answering import tune_answer
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.pictures import show_figure, show_table
from solarsim.app.plain import plain
from solarsim.app.widgets.building import built
from solarsim.inputs.counts import count_text
from solarsim.present.compare.heat_map import heat_map_figure
from solarsim.present.compare.tune_text import one_more_text

__all__ = ["show"]


def show(design: Draft) -> None:
    """Draw the view."""
    answer = tune_answer(design)
    choice = answer.choice
    lead = (
        "No design here will do"
        if choice is None
        else f"Build {count_text(choice.panels, 'panel')} and {units_text(choice.units)}"
    )
    st.title(lead, anchor=False)
    st.markdown(f"{plain(answer.reason[:1].upper() + answer.reason[1:])}.")
    for more in answer.one_more:
        st.markdown(plain(one_more_text(more)))
    panels = list(dict.fromkeys(tried.panels for tried in answer.designs))
    units, left_out = units_worth_showing(answer.designs)
    figure = heat_map_figure(answer)
    figure.update_layout(height=440, margin={"l": 50, "r": 4, "t": 10, "b": 44})
    figure.update_traces(showscale=False, hoverinfo="skip", hovertemplate=None)
    show_figure(
        figure,
        key="tune",
        alt="Chance of lasting the stay by number of panels and of battery units. The table below "
        "holds the numbers.",
    )
    st.caption(
        f"Chance of {design.van.stay.days} days, from {answer.conditions.runs} runs on the same "
        "weather. The outlined cell is the choice."
        + (f" Not shown: {left_out} larger banks, which add nothing." if left_out else "")
    )
    for note in answer.notes:
        st.caption(plain(note))
    _pick(design, answer, panels, units)
    show_table(
        "Designs as a table",
        {
            "panels": [tried.panels for tried in answer.designs],
            "units": [tried.units for tried in answer.designs],
            "Ah": [round(tried.capacity_ah) for tried in answer.designs],
            "chance, %": [round(100.0 * tried.chance_lasts, 1) for tried in answer.designs],
            "P10 days": [round(tried.days.p10, 1) for tried in answer.designs],
            "P50 days": [round(tried.days.p50, 1) for tried in answer.designs],
            "cost": [tried.cost for tried in answer.designs],
        },
    )


def _pick(
    design: Draft,
    answer: TuneAnswer,
    panels: list[int],
    units: list[int],
) -> None:
    st.header("Take one of them", anchor=False)
    left, right = st.columns(2)
    shown = [tried for tried in answer.designs if tried.units in units]
    start = answer.choice or shown[-1]
    chosen_panels = left.selectbox(
        "Panels in the cell", panels, index=panels.index(start.panels), key="tune_panels"
    )
    chosen_units = right.selectbox(
        "Units in the cell", units, index=units.index(start.units), key="tune_units"
    )
    picked = next(
        tried for tried in shown if (tried.panels, tried.units) == (chosen_panels, chosen_units)
    )
    show_days(
        picked.days,
        picked.chance_lasts,
        design.van.stay.days,
        medical=bool(design.profile.medical),
    )
    for reason in design_stops(answer.question)(picked):
        st.warning(f"May not be built: {plain(reason)}.")
    if picked.controller_a > design.van.controller.max_output_a:
        st.caption(f"Needs a controller of {picked.controller_a:g} A; it comes with the design.")
    st.button(
        f"Build {count_text(picked.panels, 'panel')} and {units_text(picked.units)}",
        key="tune_take",
        on_click=_take,
        args=(picked,),
    )


def _take(picked: TunedDesign) -> None:
    design = state.design()
    changes = {
        "panels.count": picked.panels,
        "battery.units": picked.units,
        "controller.max_output_a": picked.controller_a,
    }
    found, problems = built(design, changes, design.weather, design.horizon)
    for problem in problems:
        state.say(problem.message, refused=True)
    if not problems:
        state.adopt(dataclasses.replace(found))
        panels = count_text(picked.panels, "panel")
        state.say(f"The design has {panels} and {units_text(picked.units)} now.")
