"""What the people aboard use: a table to type over."""

from __future__ import annotations

import dataclasses

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import check, stay_answer
from solarsim.app.appliance_table import (
    COLUMNS,
    appliance_frame,
    library,
    with_appliance,
    with_edits,
)
from solarsim.app.building import problem_of
from solarsim.app.design import Design
from solarsim.app.plain import plain
from solarsim.errors import InputError
from solarsim.spec.profile import Profile
from solarsim.spec.watts_file import MAX_WATTS

__all__ = ["show"]


def show(design: Design) -> None:
    """Draw the view."""
    st.subheader("What they use", anchor=False)
    answer = stay_answer(design)
    demand = answer.conditions.demand_wh_per_day
    with st.container(horizontal=True, gap="medium"):
        st.metric("Wh a day", f"{sum(demand.values()):,.0f}", width="content")
        if demand:
            largest = max(demand, key=lambda name: demand[name])
            st.metric(f"of it {plain(largest)}", f"{demand[largest]:,.0f}", width="content")
    key = f"appliances_{state.version()}"
    if key not in st.session_state:
        # While the table lives it shows its own edits over the rows that it began with.
        st.session_state.rows_of = design.profile
    began: Profile = st.session_state.rows_of
    problem = st.session_state.pop("appliance_problem", None)
    st.data_editor(
        appliance_frame(began),
        key=key,
        hide_index=True,
        on_change=_take,
        args=(key,),
        column_order=COLUMNS,
        alt="Appliances: on or off, name, watts, hours a day, pieces, current, priority",
        column_config={
            "on": st.column_config.CheckboxColumn("on", width=56, help="Untick to leave it out."),
            "appliance": st.column_config.TextColumn("appliance", width=122, max_chars=100),
            "W": st.column_config.NumberColumn(
                "W",
                width=62,
                min_value=0.0,
                max_value=MAX_WATTS,
                help="What one piece draws while it runs. Lights 5 to 20, fridge 45 to 60, laptop "
                "50 to 90, kettle 800 to 1,500, induction 1,200 to 2,000.",
            ),
            "h a day": st.column_config.NumberColumn(
                "h a day",
                width=72,
                min_value=0.0,
                max_value=24.0,
                format="%.2f",
                help="Hours in which it draws that. Empty: the cabin's temperature sets them.",
            ),
            "pieces": st.column_config.NumberColumn("pieces", width=62, min_value=1, max_value=100),
            "current": st.column_config.SelectboxColumn(
                "current",
                width=70,
                options=["dc", "ac"],
                required=True,
                help="AC loads run through the inverter.",
            ),
            "priority": st.column_config.NumberColumn(
                "priority", width=66, min_value=1, max_value=3, help="1 is kept longest."
            ),
        },
    )
    if problem is not None:
        st.error(plain(problem))
        st.caption("The answer is still the one for the last values that fit.")
    st.caption(
        "Watts 0 to 20,000, hours 0 to 24. Fridge, heater and fans follow the cabin's temperature, "
        "so that they have no hours. Further columns lie to the right."
    )
    with st.form("add", clear_on_submit=True, border=False):
        chosen = st.selectbox("Add an appliance", library(), key="add_part")
        if st.form_submit_button("Add"):
            _add(chosen)
    with st.expander("Energy of each, Wh a day"):
        rows = sorted(demand.items(), key=lambda item: -item[1])
        st.dataframe(
            {"appliance": [name for name, _ in rows], "Wh a day": [round(wh) for _, wh in rows]},
            hide_index=True,
        )


def _take(key: str) -> None:
    """Take the edits over where they fit; the table keeps showing them where they do not."""
    edits = st.session_state[key]["edited_rows"]
    design = state.design()
    try:
        # The cabin's inputs may have changed since the table began.
        began = st.session_state.rows_of.model_copy(update={"cabin": design.profile.cabin})
        found = dataclasses.replace(design, profile=with_edits(began, edits))
        check(found)
    except InputError as error:
        st.session_state.appliance_problem = problem_of(error).message
    else:
        state.set_design(found)


def _add(part: str) -> None:
    design = state.design()
    try:
        found = dataclasses.replace(design, profile=with_appliance(design.profile, part))
        check(found)
    except InputError as error:
        st.error(plain(problem_of(error).message))
        return
    state.adopt_later(found)
    st.rerun()
