"""What the app says, in the visitor's language.

English stands in the code. Its translations stand under ``[app]`` in the catalogue of each
language, by the English; where there is none, it stays English.
"""

from __future__ import annotations

import functools
from typing import Any

import streamlit as st

from solarsim.present.sheet.forms import Texts, given_value, plural
from solarsim.present.sheet.texts import load_texts

__all__ = ["ENGLISH", "LANGUAGE", "catalogue", "tr", "tr_count", "tr_line"]

# Key of the visitor's choice in the session.
LANGUAGE, ENGLISH = "language", "en"


def catalogue() -> Texts:
    """Return the catalogue of the visitor's language."""
    return load_texts(st.session_state.get(LANGUAGE, ENGLISH))


def tr(text: str, **values: object) -> str:
    """Return a text of the app in the visitor's language, with the values in its braces.

    Without values its braces stay as they are.
    """
    found = str(catalogue().get("app", {}).get(text, text))
    return found.format(**values) if values else found


def tr_count(one: str, other: str, count: float, **values: object) -> str:
    """Return the form of a text that stands beside a count, which is {number} in it.

    A catalogue holds its forms under `other`.
    """
    texts = catalogue()
    forms: Any = texts.get("app", {}).get(other, {"one": one, "other": other})
    return plural(texts, forms, count).format(number=f"{count:,g}", **values)


def tr_line(text: str) -> str | None:
    """Return a sentence that another room made in the visitor's language; None where it has none.

    Its numbers have the language's signs.
    """
    # A catalogue's own name of its language may say more, as pt-PT does.
    language = st.session_state.get(LANGUAGE, ENGLISH)
    return None if language == ENGLISH else _line(language, text)


@functools.lru_cache(maxsize=4096)
def _line(language: str, text: str) -> str | None:
    found = given_value(load_texts(language), "buyer", text)
    return None if found == text else found
