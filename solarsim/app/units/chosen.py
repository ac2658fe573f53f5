"""The visitor's choice of units and decimal signs, which the page's address keeps."""

from __future__ import annotations

import contextlib
import functools
from collections.abc import Mapping
from typing import cast

import streamlit as st

from solarsim.app import state
from solarsim.app.draft import Draft
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.quantities import METRIC, Units, number_signs
from solarsim.app.units.words import in_units, in_units_heading
from solarsim.errors import InputError

__all__ = [
    "DECIMALS",
    "SYSTEMS",
    "digits",
    "heading",
    "settle_units",
    "show_units",
    "shown",
    "start_units",
    "takes_comma",
    "told",
    "units",
    "units_at",
    "units_query",
]

SYSTEMS = {"place": "As at the place", "metric": "Metric", "us": "US: feet, pounds, °F, AWG"}
DECIMALS = {"browser": "As this browser's language", "point": "Point: 0.5", "comma": "Comma: 0,5"}
_SYSTEM, _DECIMAL, _NOW = "units", "decimals", "units_now"
_CHOICES: Mapping[str, Mapping[str, str]] = {_SYSTEM: SYSTEMS, _DECIMAL: DECIMALS}
# Unicode CLDR 48.2, supplemental measurementData: territories whose system, or whose temperatures
# alone, are those of the United States.
_FEET = ("US", "LR")
_FAHRENHEIT = ("US", "BS", "BZ", "KY", "PR", "PW")


def start_units() -> None:
    """Begin a session with the address's choice, or by place and browser."""
    held = st.session_state
    if _NOW in held:
        return
    for name, choices in _CHOICES.items():
        asked = st.query_params.get(name)
        held[name] = asked if asked in choices else next(iter(choices))
    held[_NOW] = _wanted(state.design())


def units() -> Units:
    """Return the units that the page is drawn in, and that what is typed is read in."""
    return cast("Units", st.session_state.get(_NOW, METRIC))


def told(text: str) -> str:
    """Return a sentence of the program as Markdown to the letter.

    It is in the visitor's language with metric units where the catalogue has it, or else English in
    the visitor's units.
    """
    found = tr_line(text)
    return plain(shown(text) if found is None else found)


def shown(text: str) -> str:
    """Return a sentence, or Markdown of our own, in the visitor's units."""
    return in_units(text, units())


def digits(text: str) -> str:
    """Return a bare number with the visitor's signs."""
    return number_signs(text, units())


def heading(label: str) -> str:
    """Return an input's label in the visitor's language, with their unit in place of its own."""
    return in_units_heading(tr(label), units())


def show_units() -> None:
    """Draw the two choices."""
    st.selectbox(
        tr("Units of measure"),
        list(SYSTEMS),
        key=_SYSTEM,
        format_func=lambda one: tr(SYSTEMS[one]),
        help=tr(
            "Of lengths, weights, temperatures and wires, read and typed. The design and its "
            "files stay metric, to the last digit; a length may be typed in any unit that it "
            "names, such as 340 cm or 11 ft 2 in."
        ),
    )
    st.selectbox(
        tr("Decimal sign"),
        list(DECIMALS),
        key=_DECIMAL,
        format_func=lambda one: tr(DECIMALS[one]),
        help=tr("What is typed is read with either sign, where it cannot mean thousands."),
    )


def settle_units(design: Draft) -> bool:
    """Take over another choice, once all that was typed is read in the units it was typed in.

    Returns
    -------
    bool
        Whether the page must be drawn anew. The inputs then begin with the design's values.
    """
    wanted = _wanted(design)
    if wanted == units():
        return False
    st.session_state[_NOW] = wanted
    state.adopt(design)
    return True


def units_query() -> tuple[tuple[str, str], ...]:
    """Return what of the choice belongs into the page's address: what is not as at first."""
    held = st.session_state
    return tuple(
        (name, held[name])
        for name, choices in _CHOICES.items()
        if held[name] != next(iter(choices))
    )


def _wanted(design: Draft) -> Units:
    system, decimal = (st.session_state[name] for name in _CHOICES)
    feet = fahrenheit = system == "us"
    if system == "place":
        feet, fahrenheit = units_at(design.van.stay.place)
    comma = decimal == "comma"
    if decimal == "browser":
        comma = takes_comma(str(st.context.locale or ""))
    return Units(feet, fahrenheit, comma)


@functools.lru_cache(maxsize=256)
def units_at(place: str) -> tuple[bool, bool]:
    """Return whether a place measures in feet, and in degrees Fahrenheit.

    Parameters
    ----------
    place : str
        A town or coordinates; of an unknown one nothing is.

    Examples
    --------
    >>> units_at("Salzburg, AT"), units_at("39.74, -104.99")
    ((False, False), (True, True))
    """
    from solarsim.weather.places import find_place

    with contextlib.suppress(InputError):
        found = find_place(place)
        code = found.name.rpartition(", ")[2]
        if len(code) != 2 or not code.isupper():
            code = _country_at(found.longitude_deg, found.latitude_deg)
        return code in _FEET, code in _FAHRENHEIT
    return False, False


def _country_at(longitude_deg: float, latitude_deg: float) -> str:
    """Code of the country with units of its own that holds a point; empty elsewhere."""
    from shapely import Point

    from solarsim.weather.outlines import find_outline

    for code in dict.fromkeys((*_FEET, *_FAHRENHEIT)):
        with contextlib.suppress(InputError):
            land = find_outline(code).geometry
            # Longitudes of an outline run on past 180.
            if any(land.covers(Point(longitude_deg + turn, latitude_deg)) for turn in (0.0, 360.0)):
                return code
    return ""


@functools.lru_cache(maxsize=256)
def takes_comma(locale: str) -> bool:
    """Return whether a language, such as ``"de-AT"``, puts a comma before the decimals.

    Examples
    --------
    >>> takes_comma("de-AT"), takes_comma("en-GB"), takes_comma("no such thing")
    (True, False, False)
    """
    from babel import Locale, UnknownLocaleError
    from babel.numbers import get_decimal_symbol

    try:
        return get_decimal_symbol(Locale.parse(locale, sep="-")) == ","
    except (UnknownLocaleError, ValueError, TypeError):
        return False
