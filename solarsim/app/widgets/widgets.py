"""Widgets for fields: seeded from the design, and read back without losing a digit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.widgets.field import Field, limits_of
from solarsim.present.words import month_name

__all__ = ["field_widget", "key_of", "seed", "typed"]

_WORDS = {
    "mppt": "MPPT",
    "pwm": "PWM",
    "morning": "every morning",
    "never": "never",
    "inside": "inside the heated space",
    "outside": "outside of it",
    "gap": "with air below",
    "close": "close to the roof",
    "glued": "glued on",
    "lfp": "LFP",
    "agm": "AGM",
}


def key_of(path: str) -> str:
    """Return the key of a field's widget."""
    return f"{state.INPUT}{path}"


def seed(key: str, value: Any) -> None:
    """Give a widget its first value."""
    if key not in st.session_state:
        st.session_state[key] = value


def field_widget(
    field: Field,
    now: Any,
    *,
    disabled: bool = False,
    on_change: Callable[..., None] | None = None,
) -> Any:
    """Draw a field's widget and return its value, which is `now` until somebody touches it."""
    key = key_of(field.path)
    seed(key, _shown(field, now))
    about: dict[str, Any] = {"key": key, "help": field.help, "disabled": disabled}
    if on_change is not None:
        about |= {"on_change": on_change, "args": (field,)}
    limits = limits_of(field.path)
    if field.path == "stay.month":
        st.selectbox(field.label, range(1, 13), format_func=month_name, **about)
    elif limits.choices:
        st.selectbox(field.label, limits.choices, format_func=_word, **about)
    elif limits.kind is bool:
        st.toggle(field.label, **about)
    elif limits.kind is str:
        st.text_input(field.label, max_chars=200, **about)
    elif limits.kind is dt.date:
        about |= {"min_value": dt.date(1950, 1, 1), "max_value": dt.date(2100, 12, 31)}
        st.date_input(field.label, **about)
    else:
        whole = limits.kind is int
        st.number_input(
            field.label,
            min_value=_shown(field, limits.least),
            max_value=_shown(field, limits.most),
            step=1 if whole else 10.0**-field.places,
            format=None if whole else f"%.{field.places}f",
            value=None if field.optional else "min",
            placeholder=field.empty if field.optional else None,
            **about,
        )
    return typed(field, now)


def typed(field: Field, now: Any) -> Any:
    """Return what the field's widget holds; what was not touched stays `now`, to the last digit."""
    given = st.session_state[key_of(field.path)]
    if given == _shown(field, now) or (given is None and not field.optional):
        return now
    return given / 100.0 if field.percent and given is not None else given


def _shown(field: Field, value: Any) -> Any:
    if not isinstance(value, int | float) or isinstance(value, bool):
        return value
    if limits_of(field.path).kind is not float:
        return value
    return round(float(value) * (100.0 if field.percent else 1.0), 6)


def _word(choice: Any) -> str:
    return _WORDS.get(str(choice), str(choice))
