"""Help with the field for the place: towns while one types, and a small map to click on.

What comes back from the browser is a stranger's: text is bounded, numbers are held to the globe.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.component import own_component
from solarsim.app.place.small_map import LEVELS, map_data
from solarsim.app.plain import one_line
from solarsim.app.translate import tr
from solarsim.errors import InputError
from solarsim.weather.places import find_place, suggest_places

__all__ = ["chosen_place", "show_place_help"]

_HERE = Path(__file__).resolve().parent
_SEARCH = own_component(_HERE, "place_search", isolated=False)
_MAP = own_component(_HERE, "place_map")
_SEARCH_KEY, _MAP_KEY = "place_search", "place_map"
_CHOSEN, _TYPED, _LEVEL = "place_chosen", "place_typed", "place_level"
_MAX_LETTERS = 100
_FIRST_LEVEL = 1


def chosen_place() -> str | None:
    """Return the place that was chosen since the page was drawn last, and forget it."""
    chosen: str | None = st.session_state.pop(_CHOSEN, None)
    return chosen


@st.fragment
def show_place_help(label: str) -> None:
    """Draw both below the field of this label; what is typed draws nothing else anew."""
    typed = st.session_state.get(_TYPED, "")
    found = [{"choice": one.choice, "words": one.words} for one in suggest_places(typed)]
    _SEARCH(
        key=_SEARCH_KEY,
        data={
            "label": label,
            "query": typed,
            "suggestions": found,
            "words": tr("Towns that begin so"),
        },
        on_typed_change=_note_typed,
    )
    drawer = st.popover(
        tr("Choose on a map"), width="stretch", on_change="rerun", key="place_drawer"
    )
    if drawer.open:
        _show_map(drawer)
    if _CHOSEN in st.session_state:
        st.rerun()


def _show_map(drawer: Any) -> None:
    with drawer:
        place = find_place(state.design().van.stay.place)
        st.caption(
            tr(
                "Click where the van stands. Now: {spot}",
                spot=f"{place.latitude_deg:.2f}, {place.longitude_deg:.2f}",
            )
        )
        level = st.session_state.setdefault(_LEVEL, _FIRST_LEVEL)
        _MAP(
            key=_MAP_KEY,
            data=map_data(place.latitude_deg, place.longitude_deg, level)
            | _map_words(f"{place.latitude_deg:.2f}, {place.longitude_deg:.2f}"),
            on_spot_change=_take_spot,
            on_zoom_change=_zoom,
        )


def _map_words(spot: str) -> dict[str, str]:
    return {
        "words": tr("Map around {spot}: a click chooses the place", spot=spot),
        "nearer": tr("Nearer"),
        "further": tr("Further"),
    }


def text_of(value: Any) -> str:
    """Return the text that a browser has sent, on one line; none of what is no text or too long."""
    if not isinstance(value, str) or len(value) > _MAX_LETTERS:
        return ""
    return one_line(value.encode("utf-8", "replace").decode())


def spot_of(value: Any) -> str:
    """Return the spot that a browser has sent, as it can be typed.

    Raises
    ------
    InputError
        It is no latitude and longitude.
    """
    refused = InputError(tr("got no spot on the map"), source=tr("the map"))
    if not isinstance(value, list) or len(value) != 2:
        raise refused
    latitude, longitude = value
    # A comparison refuses what is not a number, and whole numbers of any length.
    for side, most in ((latitude, 90.0), (longitude, 540.0)):
        if type(side) not in {int, float} or not -most <= side <= most:
            raise refused
    # A map that crosses the antimeridian runs past 180.
    return f"{latitude:.2f}, {(longitude + 180.0) % 360.0 - 180.0:.2f}"


def _note_typed() -> None:
    st.session_state[_TYPED] = text_of(st.session_state[_SEARCH_KEY].get("typed"))


def _take_spot() -> None:
    try:
        st.session_state[_CHOSEN] = spot_of(st.session_state[_MAP_KEY].get("spot"))
    except InputError as error:
        state.say(str(error), refused=True)


def _zoom() -> None:
    by = st.session_state[_MAP_KEY].get("zoom")
    if type(by) is int and by in {-1, 1}:
        level = st.session_state.get(_LEVEL, _FIRST_LEVEL) + by
        st.session_state[_LEVEL] = min(max(level, 0), len(LEVELS) - 1)
