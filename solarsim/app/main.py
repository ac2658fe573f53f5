"""The page around the views: the answer, the inputs and what is wrong with them, one view."""

from __future__ import annotations

import json
from pathlib import Path

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import stay_answer
from solarsim.app.icon import page_icon
from solarsim.app.language import language_query, said, start_language
from solarsim.app.link import VIEW, address_query
from solarsim.app.stops import show_stops, stops
from solarsim.app.strip import STRIP, show_strip
from solarsim.app.toolbar import show_toolbar
from solarsim.app.translate import catalogue, tr
from solarsim.app.units.chosen import settle_units, start_units, told, units_query
from solarsim.app.views import (
    CAUTIONS_FIRST,
    OWN_LANGUAGE,
    PLACES,
    SAYS_STOPS,
    TITLES,
    VIEWS,
    place_of,
)
from solarsim.app.widgets.building import Problem
from solarsim.app.widgets.fields import GROUPS
from solarsim.app.widgets.inputs import show_inputs
from solarsim.errors import InputError
from solarsim.present.words import CAUTIONS

__all__ = ["main"]

_SIDE_PX = 340
# Keys of the boxes for the place and, with its name, for its views; `view` itself is no box's.
_PLACE = "place"
_STYLE = Path(__file__).with_name("style.css")
_COLOURS = {"page": "background", "side": "secondaryBackground", "ink": "text"}
_COLOURS |= {"line": "border", "accent": "primary"}


def main() -> None:
    """Draw one page."""
    st.set_page_config("solarsim", page_icon(), "centered", initial_sidebar_state=_SIDE_PX)
    # Before the design: what is wrong with a link is said in it.
    start_language()
    state.start()
    start_units()
    # Before the inputs: what it hides never shows.
    st.html(f"<style>{_variables()}{_STYLE.read_text(encoding='utf-8')}</style>")
    strip = st.container(key=STRIP, gap=None)
    _start_view()
    problems = show_inputs(ask_language=st.session_state.view not in OWN_LANGUAGE)
    design = state.design()
    if settle_units(design):
        st.rerun()
    view = _choose_view()
    texts = catalogue()
    show_toolbar()
    for notice in state.take_notices():
        (st.error if notice.refused else st.info)(told(notice.text))
    _say_problems(problems)
    try:
        answer = stay_answer(design)
        with strip:
            show_strip(answer, texts, old=bool(problems), stopped=stops(design))
        if view not in SAYS_STOPS:
            show_stops(design, texts)
        if view in CAUTIONS_FIRST:
            st.caption(said(texts, CAUTIONS))
        VIEWS[view](design)
    except InputError as error:
        st.error(told(str(error)))
    if view not in CAUTIONS_FIRST:
        st.caption(said(texts, CAUTIONS))
    looks = (*units_query(), *language_query())
    _finish(address_query(state.design(), state.kept(), view, looks), texts["language"])


def _variables() -> str:
    """The theme's colours and a word, by names of the style sheet."""
    theme = "dark" if st.context.theme.type == "dark" else "light"
    pairs = {
        name: st.get_option(f"theme.{theme}.{theirs}Color") for name, theirs in _COLOURS.items()
    }
    pairs["design"] = json.dumps(tr("Design"), ensure_ascii=False)
    return ":root{" + "".join(f"--{name}:{value};" for name, value in pairs.items()) + "}"


def _start_view() -> None:
    """Begin a session in the link's view."""
    if "view" not in st.session_state:
        asked = st.query_params.get(VIEW)
        st.session_state.view = asked if asked in VIEWS else next(iter(VIEWS))


def _choose_view() -> str:
    """Draw the four places and the views of the one where the visitor is; return the view."""
    held = st.session_state
    held[_PLACE] = place = place_of(held.view)
    st.segmented_control(
        tr("Part of the job"),
        list(PLACES),
        required=True,
        key=_PLACE,
        format_func=tr,
        on_change=_enter_place,
        label_visibility="collapsed",
    )
    held[key := f"{_PLACE}_{place}"] = held.view
    with st.container(key="views"):
        st.segmented_control(
            tr(place),
            list(PLACES[place]),
            required=True,
            key=key,
            on_change=_enter_view,
            args=(key,),
            format_func=lambda name: tr(TITLES.get(name, name)),
            label_visibility="collapsed",
        )
    return str(held.view)


def _enter_place() -> None:
    st.session_state.view = next(iter(PLACES[st.session_state[_PLACE]]))


def _enter_view(key: str) -> None:
    st.session_state.view = st.session_state[key]


def _finish(query: str, language: str) -> None:
    """Let a page that is loaded anew come back as it was, and have it read out in its language.

    The query holds letters of our own. The server's own way would leave an entry in the browser's
    history at every change.
    """
    script = (
        f"history.replaceState(history.state, '', '?{query}' + location.hash);"
        f"document.documentElement.lang = '{language}';"
        f"document.querySelector('.st-key-{STRIP}')?.setAttribute('role', 'status');"
    )
    st.html(f"<script>{script}</script>", unsafe_allow_javascript=True)


def _say_problems(problems: tuple[Problem, ...]) -> None:
    for problem in problems:
        st.error(f"{tr(GROUPS[problem.group])}: {told(problem.message)}")
    if problems:
        st.caption(tr("The answer below is still the one for the last values that fit."))
