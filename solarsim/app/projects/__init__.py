"""Designs kept in the visitor's own browser: the list is drawn there, and none of it is sent.

The one design that is opened comes back as a stranger's text and is read as a link is.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import check
from solarsim.app.component import own_component
from solarsim.app.draft import Draft
from solarsim.app.link import MAX_PROJECT_CHARACTERS, design_code, design_from_code
from solarsim.app.plain import one_line
from solarsim.errors import InputError

__all__ = ["project_of", "show_projects"]

_KEY = "projects"
_SOURCE = "the project"
_MAX_NAME = 100
_LIST = own_component(Path(__file__).resolve().parent, "projects")


def show_projects(design: Draft) -> None:
    """Draw the list with what saves, opens, duplicates, renames and deletes."""
    st.header("Projects in this browser", anchor=False)
    code, fault = "", ""
    try:
        code = design_code(design, most=MAX_PROJECT_CHARACTERS)
    except InputError as error:
        fault = str(error)
    name = one_line(design.van.van.name)[:_MAX_NAME]
    _LIST(key=_KEY, data={"code": code, "fault": fault, "name": name}, on_open_change=_open)
    st.caption(
        "They stay in this browser on this machine; nothing is sent. Whoever clears the browser's "
        "data deletes them: save what matters as files too."
        + (" The weather file is not kept with them." if design.weather is not None else "")
    )


def project_of(value: Any) -> tuple[str, Draft]:
    """Return the name and design that a browser has sent.

    Parameters
    ----------
    value : Any
        Whatever came: a visitor can send anything.

    Raises
    ------
    InputError
        It is no project, too large, or its tables do not pass.
    """
    refused = InputError("is damaged; open another, or a file", source=_SOURCE)
    if not isinstance(value, dict) or set(value) != {"name", "code"}:
        raise refused
    name, code = value["name"], value["code"]
    if not isinstance(name, str) or not isinstance(code, str) or len(name) > _MAX_NAME:
        raise refused
    found = design_from_code(code, most=MAX_PROJECT_CHARACTERS, source=_SOURCE)
    check(found)
    return one_line(name), found


def _open() -> None:
    value = st.session_state[_KEY].get("open")
    if value is None:
        return
    try:
        name, found = project_of(value)
    except InputError as error:
        state.say(str(error), refused=True)
        return
    state.adopt(found)
    state.say(f"The project is open: {name}")
