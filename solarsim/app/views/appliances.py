"""What the people aboard use: a table to type over."""

from __future__ import annotations

import dataclasses
from typing import Any, cast

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import check, stay_answer
from solarsim.app.draft import Draft
from solarsim.app.plain import one_line, plain
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.chosen import digits, told, units
from solarsim.app.widgets.appliance_table import (
    COLUMNS,
    MORE_COLUMNS,
    appliance_frame,
    library,
    with_appliance,
    with_edits,
    without_appliance,
)
from solarsim.app.widgets.building import problem_of
from solarsim.app.widgets.cells import Edits, RefusedCell, cells_that_fit, show_refused
from solarsim.errors import InputError
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.files.watts import MAX_WATTS
from solarsim.inputs.profile import Profile

__all__ = ["show"]

# Another design that is opened forgets them, as it does all inputs.
_ROWS = f"{state.INPUT}appliance_rows"
_TABLES = (COLUMNS, MORE_COLUMNS)


@dataclasses.dataclass(frozen=True)
class _Rows:
    """What the tables show while they live.

    Attributes
    ----------
    number : int
        Of the tables: others get other keys, so that the browser forgets what was typed.
    began : Profile
        The tables' rows; they show their own edits over these.
    typed : tuple of RefusedCell
        Cells that were refused before the tables began, and stand in them as typed.
    left : tuple of Appliance
        What the edits have made of them so far.
    held : mapping
        The edits that are taken over.
    refused : tuple of RefusedCell
        What was typed and not taken, now or before the tables began.
    """

    number: int
    began: Profile
    typed: tuple[RefusedCell, ...]
    left: tuple[Appliance, ...]
    held: Edits
    refused: tuple[RefusedCell, ...]


def _config() -> dict[str, Any]:
    return {
        "on": st.column_config.CheckboxColumn(
            tr("on"), width=52, help=tr("Untick to leave it out.")
        ),
        "appliance": st.column_config.TextColumn(tr("appliance"), width=142, max_chars=100),
        "W": st.column_config.TextColumn(
            "W",
            width=66,
            alignment="right",
            help=tr(
                "What one piece draws while it runs. Lights 5 to 20, fridge 45 to 60, laptop 50 to "
                "90, kettle 800 to 1,500, induction 1,200 to 2,000."
            ),
        ),
        "h a day": st.column_config.TextColumn(
            tr("h a day"),
            width=92,
            alignment="right",
            help=tr("Hours in which it draws that. By heat: the cabin's temperature sets them."),
        ),
        "pieces": st.column_config.TextColumn(tr("pieces"), width=58, alignment="right"),
        "current": st.column_config.SelectboxColumn(
            tr("current"),
            width=60,
            options=["dc", "ac"],
            required=True,
            help=tr("AC loads run through the inverter."),
        ),
        "priority": st.column_config.NumberColumn(
            tr("priority"), width=60, min_value=1, max_value=3, help=tr("1 is kept longest.")
        ),
    }


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("What they use"), anchor=False)
    answer = stay_answer(design)
    demand = answer.conditions.demand_wh_per_day
    with st.container(horizontal=True, gap="medium"):
        st.metric(tr("Wh a day"), digits(f"{sum(demand.values()):,.0f}"), width="content")
        if demand:
            largest = max(demand, key=lambda name: demand[name])
            name = plain(tr_line(largest) or largest)
            figure = digits(f"{demand[largest]:,.0f}")
            st.metric(tr("of it {name}", name=name), figure, width="content")
    rows = _rows_of(design.profile)
    _table(rows, COLUMNS, tr("Appliances: on or off, name, watts, hours a day"), fixed=())
    for cell in rows.refused:
        st.error(told(cell.message))
    if rows.refused:
        st.caption(tr("All other cells count; the answer leaves out what is said above."))
    st.caption(
        tr(
            "Watts 0 to {most}, hours 0 to 24. Fridge, heater and fans follow the cabin's "
            "temperature, so that they have no hours.",
            most=digits(f"{MAX_WATTS:,.0f}"),
        )
    )
    with st.expander(tr("How many, AC or DC, and what is kept longest")):
        about = tr("Appliances: name, pieces, current, priority")
        _table(rows, MORE_COLUMNS, about, fixed=("appliance",))
    with st.form("add", clear_on_submit=True, border=False):
        chosen = st.selectbox(tr("Add an appliance"), library(), format_func=_named, key="add_part")
        if st.form_submit_button(tr("Add")):
            _add(chosen)
    if design.profile.appliances:
        with st.container(horizontal=True, vertical_alignment="bottom"):
            st.selectbox(
                tr("Take an appliance out"),
                range(len(design.profile.appliances)),
                format_func=lambda at: one_line(design.profile.appliances[at].name),
                key=(key := f"appliance_out_{len(design.profile.appliances)}"),
                width=240,
            )
            # Who chooses and clicks before the page is drawn again means what was chosen last.
            st.button(tr("Take it out"), on_click=_remove, args=(key,), key="appliance_remove")
    with st.expander(tr("Energy of each, Wh a day")):
        ranked = sorted(demand.items(), key=lambda item: -item[1])
        st.dataframe(
            {
                tr("appliance"): [tr_line(name) or name for name, _ in ranked],
                tr("Wh a day"): [round(wh) for _, wh in ranked],
            },
            hide_index=True,
        )


def _named(part: str) -> str:
    return tr_line(part) or tr(part)


def _rows_of(profile: Profile) -> _Rows:
    """Return the rows of the tables; they begin anew where another hand changed the appliances."""
    rows = cast("_Rows | None", st.session_state.get(_ROWS))
    alive = rows is not None and _key(rows, COLUMNS) in st.session_state
    if rows is None or not alive or rows.left != profile.appliances:
        number, refused = (0, ()) if rows is None else (rows.number + 1, rows.refused)
        names = [] if rows is None else [appliance.name for appliance in rows.left]
        places = {appliance.name: n for n, appliance in enumerate(profile.appliances)}
        # What was refused goes on standing in its row, wherever that is now.
        moved = tuple(
            dataclasses.replace(cell, row=places[names[cell.row]])
            for cell in refused
            if names[cell.row] in places
        )
        rows = _Rows(number, profile, moved, profile.appliances, {}, moved)
        st.session_state[_ROWS] = rows
    return rows


def _key(rows: _Rows, columns: tuple[str, ...]) -> str:
    return f"appliances_{columns[0]}_{state.version()}_{rows.number}"


def _table(rows: _Rows, columns: tuple[str, ...], about: str, *, fixed: tuple[str, ...]) -> None:
    config = _config()
    st.data_editor(
        show_refused(appliance_frame(rows.began, units()), rows.typed),
        key=_key(rows, columns),
        hide_index=True,
        on_change=_take,
        column_order=columns,
        disabled=fixed,
        placeholder=tr("by heat"),
        alt=about,
        column_config={name: config[name] for name in columns},
    )


def _take() -> None:
    """Take over the cells that fit; the tables keep showing the others as they were typed."""
    rows = cast("_Rows | None", st.session_state.get(_ROWS))
    if rows is None:
        # The same click opened another design, with rows of its own.
        return
    edits: dict[int, dict[str, Any]] = {}
    for cell in rows.typed:
        edits.setdefault(cell.row, {})[cell.column] = cell.value
    for columns in _TABLES:
        held = st.session_state.get(_key(rows, columns), {"edited_rows": {}})
        for row, cells in held["edited_rows"].items():
            edits.setdefault(int(row), {}).update(cells)
    design = state.design()
    # The cabin's inputs may have changed since the tables began.
    kept = {"cabin": design.profile.cabin, "profile": design.profile.profile}
    began = rows.began.model_copy(update=kept)

    def take(cells: Edits) -> Draft:
        try:
            found = dataclasses.replace(design, profile=with_edits(began, cells, units()))
            check(found)
        except InputError as error:
            raise InputError(problem_of(error).message) from None
        return found

    try:
        found, held, refused = cells_that_fit(edits, rows.held, take)
    except InputError as error:
        state.say(error.message, refused=True)
        return
    state.set_design(found)
    left = found.profile.appliances
    st.session_state[_ROWS] = dataclasses.replace(rows, left=left, held=held, refused=refused)


def _remove(key: str) -> None:
    design = state.design()
    position = st.session_state[key]
    name = design.profile.appliances[position].name
    try:
        found = dataclasses.replace(design, profile=without_appliance(design.profile, position))
        check(found)
    except InputError as error:
        state.say(problem_of(error).message, refused=True)
        return
    state.set_design(found)
    state.say(tr("{name} is out of the table.", name=name))


def _add(part: str) -> None:
    design = state.design()
    try:
        found = dataclasses.replace(design, profile=with_appliance(design.profile, part))
        check(found)
    except InputError as error:
        st.error(told(problem_of(error).message))
        return
    state.set_design(found)
    st.rerun()
