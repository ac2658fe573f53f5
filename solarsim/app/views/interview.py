"""The client's interview: twelve questions, and the people aboard that follow from the answers."""

from __future__ import annotations

import dataclasses
from typing import Any

import streamlit as st

from solarsim.answers.interview.interview import InterviewAnswer, interview
from solarsim.answers.interview.questions import (
    QUESTIONS,
    allowed_choices,
    answer_text,
    question_of,
)
from solarsim.app import state
from solarsim.app.draft import Draft
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.chosen import told
from solarsim.app.views.save import file_name
from solarsim.app.widgets.view_inputs import take_typed
from solarsim.app.widgets.widgets import month
from solarsim.app.worded import worded
from solarsim.errors import InputError
from solarsim.inputs.interview import ClientAnswers, interview_from_data
from solarsim.present.interview.document import profile_toml
from solarsim.present.interview.make import page_bytes
from solarsim.present.interview.page import interview_page

__all__ = ["show"]

_KEY = "interview_"
_MADE = "interview_made"
_NUMBERS = {"people": (1, 8), "moves_every_days": (0, 60), "plugs_in_every_days": (0, 60)}
# What is typed as it is, with an example.
_TYPED = {"name": "Client", "place": "Salzburg, AT"}
_LABELS = {
    "name": "What the profile is called, such as a number of the order; it needs no person's name",
    "people": "People",
    "place": "Town of the hardest months",
    "months": "Months",
    "work": "Laptops",
    "internet": "Internet",
    "heater": "Heater",
    "warmth": "Warmth",
    "moves_every_days": "An hour's drive every so many days; 0 is never",
    "plugs_in_every_days": "A night on shore power every so many days; 0 is never",
}


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("The client's interview"), anchor=False)
    st.markdown(
        tr(
            "Twelve questions to whoever will live in the van. What runs and for how long "
            "follows from the answers, each appliance from one of them; the watts are those of "
            "generic parts."
        )
    )
    given = _asked()
    if given is not None:
        st.session_state[_MADE] = given
    made = st.session_state.get(_MADE)
    if made is None:
        return
    try:
        answer = interview(interview_from_data({"answers": made}, source=""))
    except InputError as error:
        st.error(told(str(error)))
        return
    _give(answer)


def _asked() -> dict[str, Any] | None:
    """Return the answers once the form is sent, or None."""
    given: dict[str, Any] = {}
    with st.form("interview_form"):
        given["name"] = _field("name", "What the profile is called")
        for number, asked in enumerate(QUESTIONS, start=1):
            st.markdown(f"**{number}. {tr(asked.text)}**")
            for key in asked.keys:
                given[key] = _field(key, asked.text)
        sent = st.form_submit_button(tr("Make the people aboard"))
    if not sent:
        return None
    if given["heater"] == "none":
        del given["warmth"]
    return {key: value for key, value in given.items() if value is not None}


def _field(key: str, question: str) -> Any:
    """Draw one answer's field, the usual answer in it, and return what it holds."""
    default = ClientAnswers.model_fields[key].default
    named: dict[str, Any] = {
        "label": tr(_LABELS.get(key, question)),
        "key": _KEY + key,
        "label_visibility": "visible" if key in _LABELS else "collapsed",
        "persist_state": "session",
    }
    if key in _NUMBERS:
        least, most = _NUMBERS[key]
        return st.number_input(
            min_value=least, max_value=most, value=2 if key == "people" else default, **named
        )
    if key in _TYPED:
        text = st.text_input(max_chars=200, placeholder=_TYPED[key], **named)
        return text.strip() or None
    choices = range(1, 13) if key == "months" else allowed_choices(key)
    words = month if key == "months" else (lambda one: _said(key, one))
    if isinstance(default, tuple):
        usual = [] if key == "months" else list(default)
        held = st.multiselect(
            options=choices,
            default=usual,
            format_func=words,
            placeholder=tr("all year" if key == "months" else "none"),
            **named,
        )
        return None if key == "months" and not held else list(held)
    return st.selectbox(options=choices, index=choices.index(default), format_func=words, **named)


def _give(answer: InterviewAnswer) -> None:
    for caution in answer.cautions:
        st.warning(plain(worded(caution)))
    st.markdown(f"**{told(answer.profile.profile.description)}**")
    table = interview_page(answer, limited=False)["table"]
    rows = [
        [tr_line(name) or name, draws, _use(use), _follows(answer, one.key)]
        for one, (name, draws, use, _) in zip(answer.appliances, table["rows"], strict=True)
    ]
    heads = [tr(head) for head in table["head"]]
    st.dataframe(dict(zip(heads, zip(*rows, strict=True), strict=True)), hide_index=True)
    for note in answer.notes:
        st.markdown(f"- {plain(worded(note))}")
    st.button(tr("Take these people aboard"), on_click=_take, args=(answer,), key="interview_take")
    left, right = st.columns(2)
    name = answer.profile.profile.name
    left.download_button(
        tr("The people, as TOML"),
        profile_toml(answer),
        file_name=file_name(name, "people"),
        mime="application/toml",
        on_click="ignore",
        key="interview_toml",
        width="stretch",
    )
    right.download_button(
        tr("The interview, as PDF"),
        page_bytes(answer, ".pdf"),
        file_name=file_name(name, "people", "-interview.pdf"),
        mime="application/pdf",
        on_click="ignore",
        key="interview_pdf",
        width="stretch",
    )


def _said(key: str, value: Any) -> str:
    """An answer in the visitor's language."""
    if isinstance(value, tuple):
        return ", ".join(_said(key, one) for one in value) or tr("none")
    return tr(answer_text(key, value))


def _use(text: str) -> str:
    time, on, days = text.partition(" on ")
    if not on:
        return tr(text)
    return tr("{time} on {number} days of the week", time=time, number=days.partition(" ")[0])


def _follows(answer: InterviewAnswer, key: str) -> str:
    """The question that an appliance follows from, and what was answered."""
    said = _said(key, getattr(answer.interview.answers, key))
    return f"{question_of(key)}, {tr(key.replace('_', ' '))}: {said}"


def _take(answer: InterviewAnswer) -> None:
    take_typed()
    found = dataclasses.replace(state.design(), profile=answer.profile)
    if state.take(found):
        aboard = tr("Aboard now: {name}.", name=answer.profile.profile.name)
        state.say(" ".join((aboard, *map(worded, answer.cautions))))
