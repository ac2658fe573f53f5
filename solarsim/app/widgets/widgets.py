"""Widgets for fields: seeded from the design, and read back without losing a digit.

A number is typed as text: the browser's own box for numbers drops a decimal comma, so that 0,5
would become 05, and holds back what is out of range without a word.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.place import chosen_place, show_place_help
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.chosen import heading, units
from solarsim.app.units.quantities import limit_text, number_signs, read_value, value_text
from solarsim.app.units.words import in_units
from solarsim.app.widgets.field import Field, limits_of
from solarsim.errors import InputError
from solarsim.present.words import month_name

__all__ = ["field_widget", "key_of", "month", "seed", "typed", "word"]

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
    "embedded": "the embedded climate",
    "history": "fetched real years",
    "us-rv": "US road vehicle",
    "eu-caravan": "European caravan or motor caravan",
    "boat": "boat",
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
    about: bool = True,
    on_change: Callable[..., None] | None = None,
) -> Any:
    """Draw a field's widget and return its value, which is `now` until somebody touches it.

    Its mark for help, a stop of the keyboard's, is left out where `about` is false.

    Raises
    ------
    InputError
        As for `typed`; the widget is drawn.
    """
    key = key_of(field.path)
    if field.path == "stay.place" and (chosen := chosen_place()) is not None:
        st.session_state[key] = chosen
    seed(key, _seeded(field, now))
    # What is refused stays as it was typed while another view is looked at.
    about_it = in_units(tr(field.help), units()) if about else None
    given: dict[str, Any] = {"key": key, "help": about_it}
    given |= {"disabled": disabled, "persist_state": "session"}
    if on_change is not None:
        given |= {"on_change": on_change, "args": (field,)}
    limits = limits_of(field.path)
    if field.path == "stay.month":
        st.selectbox(tr(field.label), range(1, 13), format_func=month, **given)
    elif limits.choices:
        choices = (None, *limits.choices) if field.optional else limits.choices
        st.selectbox(
            tr(field.label),
            choices,
            format_func=lambda choice: tr(field.empty) if choice is None else word(choice),
            # What stands there while nothing is chosen.
            placeholder=tr(field.empty),
            **given,
        )
    elif limits.kind is bool:
        st.toggle(tr(field.label), **given)
    elif limits.kind is dt.date:
        given |= {"min_value": dt.date(1950, 1, 1), "max_value": dt.date(2100, 12, 31)}
        st.date_input(tr(field.label), **given)
    elif limits.kind is str:
        st.text_input(tr(field.label), max_chars=200, **given)
        if field.path == "stay.place":
            show_place_help(tr(field.label))
    else:
        empty = in_units(tr(field.empty), units()) if field.optional else None
        st.text_input(
            heading(field.label), max_chars=40, autocomplete="off", placeholder=empty, **given
        )
    return typed(field, now)


def typed(field: Field, now: Any) -> Any:
    """Return what the field's widget holds; what was not touched stays `now`, to the last digit.

    Raises
    ------
    InputError
        No number was typed, or one outside of what the record allows.
    """
    given = st.session_state[key_of(field.path)]
    if given == _seeded(field, now) or (given is None and not field.optional):
        return now
    if not _is_number(field):
        return given
    if field.optional and not given.strip():
        return None
    kind = limits_of(field.path).kind
    number = read_value(field.path, given, units(), whole=kind is int)
    _check_range(field, number)
    # The same number spelt otherwise is what it was.
    if now is not None and number == read_value(field.path, _seeded(field, now), units()):
        return now
    return kind(number / 100.0 if field.percent else number)


def _check_range(field: Field, number: float) -> None:
    """Refuse a number in the record's own unit, but a share in percent; say it in the visitor's."""
    limits = limits_of(field.path)
    least, most = _shown(field, limits.least), _shown(field, limits.most)
    if (least is None or number >= least) and (most is None or number <= most):
        return

    def limit(value: Any, *, top: bool) -> str:
        return limit_text(field.path, value, units(), most=top)

    if least is None:
        allowed = tr("must be at most {most}", most=limit(most, top=True))
    elif most is None:
        allowed = tr("must be at least {least}", least=limit(least, top=False))
    else:
        allowed = tr(
            "must be from {least} to {most}",
            least=limit(least, top=False),
            most=limit(most, top=True),
        )
    given = number_signs(f"{number:,g}", units())
    if field.path.endswith(("_m", "_c")):
        given = value_text(field.path, number, units())
    raise InputError(tr("got '{given}'; {allowed}", given=given, allowed=allowed), field=field.path)


def _is_number(field: Field) -> bool:
    limits = limits_of(field.path)
    return not limits.choices and limits.kind in {int, float} and field.path != "stay.month"


def _seeded(field: Field, value: Any) -> Any:
    """Return what the widget holds for a value: of a number its text."""
    if not _is_number(field):
        return value
    if value is None:
        return ""
    return value_text(field.path, _shown(field, value), units(), field.places)


def _shown(field: Field, value: Any) -> Any:
    if not isinstance(value, int | float) or isinstance(value, bool):
        return value
    if limits_of(field.path).kind is not float:
        return value
    return round(float(value) * (100.0 if field.percent else 1.0), 6)


def word(choice: Any) -> str:
    """Return what a choice is called on the page."""
    return tr(_WORDS.get(str(choice), str(choice)))


def month(number: int) -> str:
    """Return a month's name in the visitor's language.

    Examples
    --------
    >>> month(1)
    'January'
    """
    english = month_name(number)
    return tr_line(english) or english
