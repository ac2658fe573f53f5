"""The page around the views: inputs, what is wrong with them, one view, the cautions."""

from __future__ import annotations

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import stay_answer
from solarsim.app.figures_in_words import big_days
from solarsim.app.icon import page_icon
from solarsim.app.link import VIEW, address_query
from solarsim.app.plain import plain
from solarsim.app.stops import show_stops, stops
from solarsim.app.toolbar import show_toolbar
from solarsim.app.views import CAUTIONS_FIRST, SAYS_STOPS, VIEWS
from solarsim.app.widgets.building import Problem
from solarsim.app.widgets.fields import GROUPS
from solarsim.app.widgets.inputs import show_inputs
from solarsim.errors import InputError
from solarsim.inputs.percent import chance_text
from solarsim.present.words import CAUTIONS

__all__ = ["main"]

# Captions are as dark as the rest: the cautions are among them. The hint is for narrow pages, where
# the inputs are folded away at first.
_STYLE = (
    '<p class="inputs-hint">Inputs: the arrows at the top left.</p>'
    "<style>.inputs-hint{margin:0;font-size:.9rem}"
    "@media(min-width:768px){.inputs-hint{display:none}}"
    # On a desk all view buttons stand in one row.
    "[data-testid=stMainBlockContainer]{max-width:60rem}"
    # A link is one long line with a button to copy it: nothing to scroll by.
    "[data-testid=stCode] pre{overflow:hidden}"
    # It would write names as they are, and a spreadsheet would run one that is a formula. Tables
    # that are worth taking away have buttons of their own.
    '[data-testid=stElementToolbarButton]:has([aria-label^="Download as CSV"])'
    "{display:none!important}"
    # It lies over what was typed; leaving a field takes its value over as well.
    "[data-testid=InputInstructions]{display:none!important}"
    '[data-testid="stCaptionContainer"],[data-testid="stCaptionContainer"] *'
    "{color:inherit;opacity:1}</style>"
)


def main() -> None:
    """Draw one page."""
    st.set_page_config(page_title="solarsim", page_icon=page_icon(), layout="centered")
    state.start()
    first = next(iter(VIEWS))
    if "view" not in st.session_state:
        asked = st.query_params.get(VIEW)
        st.session_state.view = asked if asked in VIEWS else first
    # Before the inputs: what it hides never shows.
    st.html(_STYLE)
    with st.sidebar:
        strip = st.container()
    problems = show_inputs()
    design = state.design()
    chosen = st.segmented_control(
        "View", list(VIEWS), required=True, key="view", label_visibility="collapsed"
    )
    view = chosen or first
    show_toolbar()
    for notice in state.take_notices():
        (st.error if notice.refused else st.info)(plain(notice.text))
    _say_problems(problems)
    try:
        answer = stay_answer(design)
        strip.markdown(
            f"**{big_days(answer.days.p50, answer.days.follow_days)} days**, median · "
            f"**{chance_text(answer.chance_lasts)}** for {answer.dates.days} days"
            + ("  \nfor the last values that fit" if problems else "")
        )
        if stopped := stops(design):
            strip.error(f"⬣ STOP: {plain(stopped[0])}")
        if view not in SAYS_STOPS:
            show_stops(design)
        if view in CAUTIONS_FIRST:
            st.caption(CAUTIONS)
        VIEWS[view](design)
    except InputError as error:
        st.error(plain(str(error)))
    if view not in CAUTIONS_FIRST:
        st.caption(CAUTIONS)
    _keep_in_address(address_query(state.design(), state.kept(), view))


def _keep_in_address(query: str) -> None:
    """Let a page that is loaded anew come back as it was; the query holds letters of our own.

    The server's own way would leave an entry in the browser's history at every change.
    """
    script = f"history.replaceState(history.state, '', '?{query}' + location.hash)"
    st.html(f"<script>{script}</script>", unsafe_allow_javascript=True)


def _say_problems(problems: tuple[Problem, ...]) -> None:
    for problem in problems:
        st.error(f"{GROUPS[problem.group]}: {plain(problem.message)}")
    if problems:
        st.caption("The answer below is still the one for the last values that fit.")
