"""Panels against battery units: pick a cell and it becomes the design."""

from __future__ import annotations

import dataclasses
from typing import Any

import streamlit as st

from solarsim.answers.tune.built import design_stops
from solarsim.answers.tune.designs import TuneAnswer, TunedDesign
from solarsim.answers.tune.rows import units_worth_showing
from solarsim.app import state
from solarsim.app.answering import tune_answer
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.pictures import show_figure, show_table
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_count
from solarsim.app.widgets.building import built
from solarsim.app.widgets.view_inputs import take_typed
from solarsim.app.worded import capital, worded
from solarsim.present.compare.heat_map import cells_to_click, heat_map_figure, mark_cell
from solarsim.present.compare.tune_text import one_more_text

__all__ = ["show"]

_PANELS, _UNITS = "tune_panels", "tune_units"


def show(design: Draft) -> None:
    """Draw the view."""
    answer = tune_answer(design)
    choice = answer.choice
    lead = (
        tr("No design here will do")
        if choice is None
        else tr("Build {design}", design=_counted(choice.panels, choice.units))
    )
    st.title(lead, anchor=False)
    st.markdown(f"{plain(capital(answer.reason))}.")
    for more in answer.one_more:
        st.markdown(plain(worded(one_more_text(more))))
    panels = list(dict.fromkeys(tried.panels for tried in answer.designs))
    units, left_out = units_worth_showing(answer.designs, answer.choice)
    picked = _picked(answer, panels, units)
    figure = heat_map_figure(answer)
    van = design.van
    here = _outline(figure, answer, van.panels.count, van.battery.units, "dot")
    _outline(figure, answer, picked.panels, picked.units, "solid")
    cells_to_click(figure, answer)
    figure.update_layout(height=440, margin={"l": 50, "r": 4, "t": 10, "b": 44})
    figure.update_traces(
        selector={"type": "heatmap"}, showscale=False, hoverinfo="skip", hovertemplate=None
    )
    show_figure(
        figure,
        key="tune",
        alt=tr(
            "Chance of lasting the stay by number of panels and of battery units. {lead}. The "
            "table below holds the numbers.",
            lead=lead,
        ),
        on_pick=_pick_clicked,
    )
    st.caption(_legend(answer, van.stay.days, left_out, dotted=here))
    for note in answer.notes:
        st.caption(plain(worded(note)))
    _pick(design, answer, panels, units, picked)
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


def _legend(answer: TuneAnswer, days: int, left_out: int, *, dotted: bool) -> str:
    larger = tr_count(
        "Not shown: {number} larger bank, which adds nothing.",
        "Not shown: {number} larger banks, which add nothing.",
        left_out,
    )
    return (
        tr(
            "Chance of {days} days, from {runs} runs on the same weather. The orange cell is the "
            "choice, the black and white one is picked: click another to pick it.",
            days=days,
            runs=answer.conditions.runs,
        )
        + (f" {tr('Dotted: the present design.')}" if dotted else "")
        + (f" {larger}" if left_out else "")
    )


def _outline(figure: Any, answer: TuneAnswer, panels: int, units: int, dash: str) -> bool:
    """Outline a cell inside the choice's own line, in black on white: seen on every colour."""
    return all(
        mark_cell(figure, answer, panels, units, line, inside=0.04)
        for line in ({"color": "white", "width": 5}, {"color": "black", "width": 2, "dash": dash})
    )


def _pick_clicked() -> None:
    """Take the clicked cell over into the boxes, before they are drawn."""
    points = st.session_state["tune"].selection.points
    if points:
        st.session_state[_PANELS] = int(points[0]["x"])
        st.session_state[_UNITS] = int(points[0]["y"])


def _picked(answer: TuneAnswer, panels: list[int], units: list[int]) -> TunedDesign:
    """The picked design: the choice, until a cell or a box says otherwise."""
    shown = [tried for tried in answer.designs if tried.units in units]
    start = answer.choice or shown[-1]
    # Another van has other cells.
    for key, counts, first in ((_PANELS, panels, start.panels), (_UNITS, units, start.units)):
        if st.session_state.get(key) not in counts:
            st.session_state[key] = first
    wanted = (st.session_state[_PANELS], st.session_state[_UNITS])
    return next(tried for tried in shown if (tried.panels, tried.units) == wanted)


def _pick(
    design: Draft,
    answer: TuneAnswer,
    panels: list[int],
    units: list[int],
    picked: TunedDesign,
) -> None:
    st.header(tr("Take one of them"), anchor=False)
    left, right = st.columns(2)
    left.selectbox(tr("Panels in the cell"), panels, key=_PANELS)
    right.selectbox(tr("Units in the cell"), units, key=_UNITS)
    show_days(
        picked.days,
        picked.chance_lasts,
        design.van.stay.days,
        medical=bool(design.profile.medical),
    )
    for reason in design_stops(answer.question)(picked):
        st.warning(tr("May not be built: {reason}.", reason=plain(worded(reason))))
    if picked.controller_a > design.van.controller.max_output_a:
        st.caption(
            tr(
                "Needs a controller of {amps} A; it comes with the design.",
                amps=f"{picked.controller_a:g}",
            )
        )
    st.button(
        tr("Build {design}", design=_counted(picked.panels, picked.units)),
        key="tune_take",
        on_click=_take,
        args=(picked,),
    )


def _take(picked: TunedDesign) -> None:
    take_typed()
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
        counted = _counted(picked.panels, picked.units)
        state.say(tr("The design has {design} now.", design=counted))


def _counted(panels: int, units: int) -> str:
    return tr(
        "{panels} and {units}",
        panels=tr_count("{number} panel", "{number} panels", panels),
        units=tr_count("{number} unit", "{number} units", units),
    )
