"""What stands above every view: undo, redo, and whole designs to begin with."""

from __future__ import annotations

import streamlit as st

from solarsim.app import history, state
from solarsim.app.plain import plain
from solarsim.app.starts import STARTS, start_from, start_line
from solarsim.app.translate import tr
from solarsim.app.units.chosen import shown
from solarsim.app.widgets.view_inputs import take_typed

__all__ = ["show_toolbar"]


def show_toolbar() -> None:
    """Draw the row of buttons; after the inputs, whose change is a step to undo."""
    history.note(state.design())
    with st.container(key="toolbar", horizontal=True, gap="small"):
        st.button(
            tr("Undo"),
            icon=":material/undo:",
            key="undo",
            on_click=history.undo,
            disabled=not history.can_undo(),
            help=tr("Take the last change of the inputs back."),
        )
        st.button(
            tr("Redo"),
            icon=":material/redo:",
            key="redo",
            on_click=history.redo,
            disabled=not history.can_redo(),
            help=tr("Do again what was undone."),
        )
        with st.popover(tr("Start from a class"), key=f"starts_{state.version()}"):
            st.caption(
                tr(
                    "Brings a roof, panels, a bank and a crew; place and dates stay. Sizes are "
                    "common practice, no source: measure your van. Undo brings back what was there."
                )
            )
            for name in STARTS:
                st.button(
                    tr(name), key=f"start_{name}", on_click=_start, args=(name,), width="stretch"
                )
                st.caption(plain(shown(start_line(name))))


def _start(name: str) -> None:
    take_typed()
    state.adopt(start_from(name, state.design()))
    state.say(
        tr(
            "The design is that of a class now: {name}. Measure your van, and change what differs.",
            name=tr(name),
        )
    )
