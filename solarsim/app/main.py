"""The page around the views: inputs, what is wrong with them, one view, the cautions."""

from __future__ import annotations

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import stay_answer
from solarsim.app.building import Problem
from solarsim.app.fields import GROUPS
from solarsim.app.figures_in_words import big_chance, big_days
from solarsim.app.icon import page_icon
from solarsim.app.inputs import show_inputs
from solarsim.app.plain import plain
from solarsim.app.views import VIEWS
from solarsim.errors import InputError
from solarsim.present.words import CAUTIONS

__all__ = ["main"]

# Captions are as dark as the rest: the cautions are among them. The hint is for narrow pages, where
# the inputs are folded away at first.
_STYLE = (
    '<p class="inputs-hint">Inputs: the arrows at the top left.</p>'
    "<style>.inputs-hint{margin:0;font-size:.9rem}"
    "@media(min-width:768px){.inputs-hint{display:none}}"
    '[data-testid="stCaptionContainer"],[data-testid="stCaptionContainer"] *'
    "{color:inherit;opacity:1}</style>"
)


def main() -> None:
    """Draw one page."""
    st.set_page_config(page_title="solarsim", page_icon=page_icon(), layout="centered")
    state.start()
    with st.sidebar:
        strip = st.container()
    problems = show_inputs()
    design = state.design()
    st.html(_STYLE)
    view = st.segmented_control(
        "View",
        list(VIEWS),
        default="Answer",
        required=True,
        key="view",
        label_visibility="collapsed",
    )
    for notice in state.take_notices():
        (st.error if notice.refused else st.info)(plain(notice.text))
    _say_problems(problems)
    try:
        answer = stay_answer(design)
        strip.markdown(
            f"**{big_days(answer.days.p50, answer.days.horizon)} days**, middle run · "
            f"**{big_chance(answer.chance_lasts)}** for {answer.dates.days} days"
        )
        VIEWS[view or "Answer"](design)
    except InputError as error:
        st.error(plain(str(error)))
    st.caption(CAUTIONS)


def _say_problems(problems: tuple[Problem, ...]) -> None:
    for problem in problems:
        st.error(f"{GROUPS[problem.group]}: {plain(problem.message)}")
    if problems:
        st.caption("The answer below is still the one for the last values that fit.")
