"""Save, open and share a van."""

from __future__ import annotations

import re
import unicodedata

import streamlit as st

from solarsim.app import state
from solarsim.app.answering import check
from solarsim.app.draft import Draft
from solarsim.app.link import (
    MAX_LINK_CHARACTERS,
    PARAMETER,
    design_code,
    design_from_link,
    profile_toml,
    van_toml,
)
from solarsim.app.plain import one_line
from solarsim.app.projects import show_projects
from solarsim.app.translate import tr
from solarsim.app.units.chosen import told
from solarsim.app.uploads.opening import opened
from solarsim.errors import InputError
from solarsim.inputs.files.horizon import horizon_text

__all__ = ["file_name", "show"]

_MAX_TOML_BYTES = 1_000_000


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("Save, open and share"), anchor=False)
    show_projects(design)
    st.header(tr("Save as files"), anchor=False)
    left, right = st.columns(2)
    left.download_button(
        tr("The van, as TOML"),
        van_toml(design.van),
        file_name=file_name(design.van.van.name, "van"),
        mime="application/toml",
        on_click="ignore",
    )
    right.download_button(
        tr("The people, as TOML"),
        profile_toml(design.profile),
        file_name=file_name(design.profile.profile.name, "people"),
        mime="application/toml",
        on_click="ignore",
    )
    st.caption(
        tr(
            "Two files, which the command line reads as well. The van's file names its people's "
            "file under stay.profile."
        )
    )
    if design.horizon is not None:
        st.download_button(
            tr("The horizon, as CSV"),
            horizon_text(design.horizon),
            file_name=file_name(design.van.van.name, "van", "-horizon.csv"),
            mime="text/csv",
            on_click="ignore",
        )
        st.caption(
            tr(
                "On the command line, name this file under stay.horizon in the van's file; here, "
                "upload it beside the van's."
            )
        )
    st.header(tr("Open"), anchor=False)
    key = f"open_file_{state.version()}"
    st.file_uploader(
        tr("A van's or a crew's TOML file, up to 1 MB"),
        type=["toml"],
        max_upload_size=1,
        key=key,
        on_change=_open_file,
        args=(key,),
    )
    st.header(tr("Share"), anchor=False)
    _share(design)
    st.text_input(
        tr("Open a link"),
        key="link_text",
        max_chars=2 * MAX_LINK_CHARACTERS,
        on_change=_open_link,
        placeholder=tr("paste it here"),
        help=tr("A link of this app from any machine."),
    )


def file_name(name: str, fallback: str, ending: str = ".toml") -> str:
    """Return a file name of letters of any script, digits and dashes.

    Examples
    --------
    >>> file_name("../Our Van!", "van"), file_name("?", "van")
    ('our-van.toml', 'van.toml')
    >>> file_name("Größer", "van")
    'größer.toml'
    """
    # Composed: some systems' letters come apart from their accents.
    bare = unicodedata.normalize("NFC", name).lower()
    return (re.sub(r"[\W_]+", "-", bare).strip("-")[:60].rstrip("-") or fallback) + ending


def _share(design: Draft) -> None:
    try:
        code = design_code(design)
    except InputError as error:
        st.error(told(str(error)))
        return
    base = str(st.context.url or "").partition("?")[0]
    st.code(f"{base}?{PARAMETER}={code}", language=None, wrap_lines=False)
    st.caption(tr("The link holds the whole design: van, people, place and dates."))
    if design.weather is not None:
        st.caption(tr("The weather file stays here: the link asks the place's climate instead."))
    if design.horizon is not None:
        st.caption(tr("The horizon goes along in the link."))


def _open_file(key: str) -> None:
    given = st.session_state[key]
    if given is None:
        return
    name = one_line(given.name)
    if given.size > _MAX_TOML_BYTES:
        state.say(tr("{name}: is larger than 1 MB", name=name), refused=True)
        return
    try:
        found, said = opened(state.design(), name, given.getvalue())
    except InputError as error:
        state.say(str(error), refused=True)
        return
    state.adopt(found)
    state.say(said)


def _open_link() -> None:
    text = st.session_state.link_text
    if not text:
        return
    try:
        found = design_from_link(text)
        check(found)
    except InputError as error:
        state.say(str(error), refused=True)
        return
    st.session_state.link_text = ""
    state.adopt(found)
    state.say(tr("This is the design of the link."))
