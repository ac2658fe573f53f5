"""Nobody sees anything of a design before the visitors' code.

A visitor is let in for as long as the page's session lasts. Wrong codes are counted over all
visitors, for a new session costs whoever guesses nothing.
"""

from __future__ import annotations

import os
import threading

import streamlit as st

from solarsim.app.icon import page_icon
from solarsim.app.language import start_language
from solarsim.app.translate import tr
from solarsim.cli.visitors_code import CODE_PARAMETER, CODE_VARIABLE, same_code

__all__ = ["MAX_WRONG", "Gate", "let_in"]

# Of 2**40 codes: one chance in 20,000 million that somebody guesses it.
MAX_WRONG = 50
_IN = "visitor_let_in"
_LINK_TRIED = "visitor_link_tried"


class Gate:
    """Counts wrong codes over all visitors, and shuts after too many."""

    def __init__(self) -> None:
        self._wrong = 0
        self._lock = threading.Lock()

    @property
    def shut(self) -> bool:
        """Whether nobody new is let in any more."""
        return self._wrong >= MAX_WRONG

    def opens(self, typed: str, code: str) -> bool:
        """Say whether the code is right; nothing is once the gate is shut."""
        # One at a time: visitors who guess at once are counted one by one.
        with self._lock:
            if self.shut:
                return False
            right = same_code(typed, code)
            self._wrong += not right
            return right


_GATE = Gate()


def let_in() -> bool:
    """Say whether the visitor may see the app; draw the question for the code where not."""
    code = os.environ.get(CODE_VARIABLE)
    if code is None or st.session_state.get(_IN):
        return True
    linked = st.query_params.get(CODE_PARAMETER)
    wrong = False
    if linked is not None and not st.session_state.get(_LINK_TRIED):
        st.session_state[_LINK_TRIED] = True
        if _GATE.opens(linked, code):
            st.session_state[_IN] = True
            return True
        wrong = True
    _ask(code, wrong)
    return False


def _ask(code: str, wrong: bool) -> None:
    st.set_page_config(page_title="solarsim", page_icon=page_icon(), layout="centered")
    start_language()
    st.title(tr("Code for visitors"), anchor=False)
    with st.form("visitor"):
        typed = st.text_input(
            tr("The code from the builder's screen"),
            max_chars=20,
            autocomplete="off",
            placeholder="XXXX-XXXX",
        )
        sent = st.form_submit_button(tr("Open"))
    if sent and typed.strip():
        if _GATE.opens(typed, code):
            st.session_state[_IN] = True
            st.rerun()
        wrong = True
    if _GATE.shut:
        st.error(
            tr("Too many wrong codes: nobody else is let in until the builder starts the app anew.")
        )
    elif wrong:
        st.error(tr("That is not the code. It is new each time the app is started."))
