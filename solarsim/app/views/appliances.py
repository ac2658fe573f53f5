"""What the people aboard use: a table to type over."""

from __future__ import annotations

import dataclasses
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import check, stay_answer
from solarsim.app.draft import Draft
from solarsim.app.plain import plain
from solarsim.app.widgets.appliance_table import (
    COLUMNS,
    MORE_COLUMNS,
    appliance_frame,
    library,
    with_appliance,
    with_edits,
)
from solarsim.app.widgets.building import problem_of
from solarsim.errors import InputError
from solarsim.inputs.files.watts import MAX_WATTS
from solarsim.inputs.profile import Profile

__all__ = ["show"]

_CONFIG = {
    "on": st.column_config.CheckboxColumn("on", width=52, help="Untick to leave it out."),
    "appliance": st.column_config.TextColumn("appliance", width=142, max_chars=100),
    "W": st.column_config.NumberColumn(
        "W",
        width=66,
        min_value=0.0,
        max_value=MAX_WATTS,
        help="What one piece draws while it runs. Lights 5 to 20, fridge 45 to 60, laptop 50 to "
        "90, kettle 800 to 1,500, induction 1,200 to 2,000.",
    ),
    "h a day": st.column_config.NumberColumn(
        "h a day",
        width=92,
        min_value=0.0,
        max_value=24.0,
        format="%.2f",
        help="Hours in which it draws that. By heat: the cabin's temperature sets them.",
    ),
    "pieces": st.column_config.NumberColumn("pieces", width=58, min_value=1, max_value=100),
    "current": st.column_config.SelectboxColumn(
        "current",
        width=60,
        options=["dc", "ac"],
        required=True,
        help="AC loads run through the inverter.",
    ),
    "priority": st.column_config.NumberColumn(
        "priority", width=60, min_value=1, max_value=3, help="1 is kept longest."
    ),
}


def show(design: Draft) -> None:
    """Draw the view."""
    st.subheader("What they use", anchor=False)
    answer = stay_answer(design)
    demand = answer.conditions.demand_wh_per_day
    with st.container(horizontal=True, gap="medium"):
        st.metric("Wh a day", f"{sum(demand.values()):,.0f}", width="content")
        if demand:
            largest = max(demand, key=lambda name: demand[name])
            st.metric(f"of it {plain(largest)}", f"{demand[largest]:,.0f}", width="content")
    if _key(COLUMNS) not in st.session_state:
        # While the tables live they show their own edits over the rows that they began with.
        st.session_state.edited_profile = design.profile
    problem = st.session_state.pop("appliance_problem", None)
    _table(COLUMNS, "Appliances: on or off, name, watts, hours a day", fixed=())
    if problem is not None:
        st.error(plain(problem))
        st.caption("The answer is still the one for the last values that fit.")
    st.caption(
        "Watts 0 to 20,000, hours 0 to 24. Fridge, heater and fans follow the cabin's temperature, "
        "so that they have no hours."
    )
    with st.expander("How many, AC or DC, and what is kept longest"):
        about = "Appliances: name, pieces, current, priority"
        _table(MORE_COLUMNS, about, fixed=("appliance",))
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


def _key(columns: tuple[str, ...]) -> str:
    return f"appliances_{columns[0]}_{state.version()}"


def _table(columns: tuple[str, ...], about: str, *, fixed: tuple[str, ...]) -> None:
    began: Profile = st.session_state.edited_profile
    st.data_editor(
        appliance_frame(began),
        key=_key(columns),
        hide_index=True,
        on_change=_take,
        column_order=columns,
        disabled=fixed,
        placeholder="by heat",
        alt=about,
        column_config={name: _CONFIG[name] for name in columns},
    )


def _take() -> None:
    """Take the edits over where they fit; the tables keep showing them where they do not."""
    edits: dict[int, dict[str, Any]] = {}
    for columns in (COLUMNS, MORE_COLUMNS):
        for row, cells in st.session_state[_key(columns)]["edited_rows"].items():
            edits.setdefault(int(row), {}).update(cells)
    design = state.design()
    try:
        # The cabin's inputs may have changed since the tables began.
        began = st.session_state.edited_profile.model_copy(update={"cabin": design.profile.cabin})
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
