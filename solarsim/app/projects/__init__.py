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
from solarsim.app.translate import tr
from solarsim.errors import InputError

__all__ = ["project_of", "show_projects"]

_KEY = "projects"
_MAX_NAME = 100
_LIST = own_component(Path(__file__).resolve().parent, "projects")


def show_projects(design: Draft) -> None:
    """Draw the list with what saves, opens, duplicates, renames and deletes."""
    st.header(tr("Projects in this browser"), anchor=False)
    code, fault = "", ""
    try:
        code = design_code(design, most=MAX_PROJECT_CHARACTERS)
    except InputError as error:
        fault = str(error)
    name = one_line(design.van.van.name)[:_MAX_NAME]
    data = {"code": code, "fault": fault, "name": name, "words": _words()}
    _LIST(key=_KEY, data=data, on_open_change=_open)
    stays = tr(
        "They stay in this browser on this machine; nothing is sent. Whoever clears the browser's "
        "data deletes them: save what matters as files too."
    )
    if design.weather is not None:
        stays += f" {tr('The weather file is not kept with them.')}"
    st.caption(stays)


def _words() -> dict[str, str]:
    """What the list says; it fills the braces itself."""
    return {
        "label": tr("Project's name"),
        "save": tr("Save here"),
        "full": tr(
            "This browser's storage for the app is full: delete a project, or save the design as "
            "files."
        ),
        "blocked": tr(
            "This browser keeps nothing for this app: its storage is switched off. Save the "
            "design as files."
        ),
        "lost": tr("Some of what was kept here cannot be read."),
        "unread": tr("What was kept here cannot be read."),
        "unnamed": tr("Give the project a name."),
        "most": tr("{number} projects are kept at most: delete one."),
        "saved": tr("Saved in this browser: {name}"),
        "duplicated": tr("Duplicated as: {name}"),
        "taken": tr("There is a project of that name: {name}"),
        "renamed": tr("Renamed: {name}"),
        "deleted": tr("Deleted: {name}"),
        "rename_to": tr("New name of {name}"),
        "take_name": tr("Take this name"),
        "keep_old": tr("Keep the old one"),
        "keep_name": tr("Keep the name {name}"),
        "when": tr("saved {when}"),
        "ask_delete": tr("Delete it? It cannot be brought back."),
        "delete": tr("Delete"),
        "keep": tr("Keep it"),
        "ask_replace": tr("There is a project of that name. Put the present design in its place?"),
        "replace": tr("Replace"),
        "leave": tr("Leave it"),
        "open": tr("Open"),
        "duplicate": tr("Duplicate"),
        "rename": tr("Rename"),
        "open_it": tr("Open {name}"),
        "duplicate_it": tr("Duplicate {name}"),
        "rename_it": tr("Rename {name}"),
        "delete_it": tr("Delete {name}"),
        "none": tr("No project is kept in this browser yet."),
    }


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
    refused = InputError(tr("is damaged; open another, or a file"), source=tr("the project"))
    if not isinstance(value, dict) or set(value) != {"name", "code"}:
        raise refused
    name, code = value["name"], value["code"]
    if not isinstance(name, str) or not isinstance(code, str) or len(name) > _MAX_NAME:
        raise refused
    found = design_from_code(code, most=MAX_PROJECT_CHARACTERS, source=tr("the project"))
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
    state.say(tr("The project is open: {name}", name=name))
