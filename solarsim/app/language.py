"""The visitor's language, which the page's address keeps."""

from __future__ import annotations

import streamlit as st

from solarsim.app.translate import ENGLISH, LANGUAGE, catalogue
from solarsim.app.units.chosen import shown
from solarsim.present.sheet.forms import Texts, given_value, language_name
from solarsim.present.sheet.texts import languages, load_texts

__all__ = [
    "catalogued",
    "language_at",
    "language_query",
    "said",
    "show_language",
    "start_language",
]

_PARAMETER = "lang"
# Norwegian as browsers name it where it is not bokmål by its own code.
_SAME = {"no": "nb", "nn": "nb"}


def start_language() -> None:
    """Begin a session in the link's language, or in the browser's."""
    if LANGUAGE not in st.session_state:
        asked = language_at(st.query_params.get(_PARAMETER, ""))
        st.session_state[LANGUAGE] = asked or _browsers()


def show_language() -> None:
    """Draw the box, each language by its own name."""
    texts = catalogue()
    label = texts["buyer"]["language"]
    st.selectbox(
        # Whoever cannot read the page finds it.
        label if texts["language"] == ENGLISH else f"{label} (Language)",
        sorted(languages(), key=lambda code: _own_name(code).casefold()),
        key=LANGUAGE,
        format_func=_own_name,
        help=None if texts["reviewed"] else texts["buyer"]["unreviewed"],
        persist_state="session",
    )


def language_query() -> tuple[tuple[str, str], ...]:
    """Return what of it belongs into the page's address.

    Only English, to a browser that asks for it, goes without saying: what a link is copied from is
    what it opens as.
    """
    chosen = st.session_state[LANGUAGE]
    return () if chosen == _browsers() == ENGLISH else ((_PARAMETER, chosen),)


def said(texts: Texts, line: str) -> str:
    """Return one of the program's English lines in the language; in English in the visitor's units.

    What has no translation stays as it is.
    """
    if texts["language"] == ENGLISH:
        return shown(line)
    return given_value(texts, "buyer", line)


def catalogued(texts: Texts, text: str) -> str:
    """Return a text that the catalogue made; the English one in the visitor's units."""
    return shown(text) if texts["language"] == ENGLISH else text


def language_at(tag: str) -> str | None:
    """Return the language of a tag such as ``"de-AT"`` that there is a catalogue of, or None.

    Examples
    --------
    >>> language_at("de-AT"), language_at("NO"), language_at("pt_BR"), language_at("xx")
    ('de', 'nb', 'pt', None)
    """
    code = tag.replace("_", "-").partition("-")[0].lower()
    code = _SAME.get(code, code)
    return code if code in languages() else None


def _browsers() -> str:
    return language_at(str(st.context.locale or "")) or ENGLISH


def _own_name(code: str) -> str:
    return language_name(load_texts(code), own=True)
