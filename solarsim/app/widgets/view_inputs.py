"""Inputs inside a view: what is typed is taken over before the page is drawn anew."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Mapping
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.draft import Draft
from solarsim.app.translate import tr
from solarsim.app.units.chosen import told
from solarsim.app.widgets.building import built, problem_of
from solarsim.app.widgets.field import Field, value_of
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.app.widgets.widgets import field_widget, key_of, typed
from solarsim.errors import InputError

__all__ = ["change", "take_typed", "view_fields"]

_PROBLEM = f"{state.INPUT}problem."


def view_fields(fields: Iterable[Field], design: Draft, *, columns: int = 2) -> None:
    """Draw fields side by side, each with what is wrong with it below."""
    spots: list[Any] = []
    for field in fields:
        # Row by row, so that one column on a phone keeps their order.
        if not spots:
            spots = list(st.columns(columns))
        with spots.pop(0):
            if key_of(field.path) not in st.session_state:
                # The widget begins with the design's own value, which has no fault.
                st.session_state.pop(f"{_PROBLEM}{field.path}", None)
            with contextlib.suppress(InputError):
                # Said by `_take` already.
                field_widget(field, value_of(design, field.path), on_change=_take)
            problem = st.session_state.get(f"{_PROBLEM}{field.path}")
            if problem is not None:
                st.error(told(problem))
                st.caption(tr("The answer is still the one for the last value that fits."))


def change(changes: Mapping[str, Any]) -> str | None:
    """Put changes into the design, or return what is wrong with them."""
    design = state.design()
    found, problems = built(design, changes, design.weather, design.horizon)
    if problems:
        return "\n".join(problem.message for problem in problems)
    state.set_design(found)
    return None


def take_typed() -> None:
    """Take over what was typed beside the views and is not read yet, as far as it fits.

    Whoever types a number and clicks a button at once sends both together, and the button's
    callback runs first: one that fills the inputs anew would forget the number.
    """
    design, changes = state.design(), {}
    for field in BESIDE:
        now = value_of(design, field.path)
        table = getattr(design.van, field.path.partition(".")[0], design.profile.cabin)
        # A part stands for all of its numbers; what is switched off has none.
        if key_of(field.path) in st.session_state and table and not field.path.endswith(".part"):
            with contextlib.suppress(InputError):
                given = typed(field, now)
                if given != now:
                    changes[field.path] = given
    if changes:
        state.set_design(built(design, changes, design.weather, design.horizon)[0])


def _take(field: Field) -> None:
    try:
        problem = change({field.path: typed(field, value_of(state.design(), field.path))})
    except InputError as error:
        problem = problem_of(error).message
    st.session_state[f"{_PROBLEM}{field.path}"] = problem
