"""What one visitor's session holds; sessions share nothing but cached answers."""

from __future__ import annotations

import dataclasses
from typing import cast

import streamlit as st

from solarsim.app.answering import check
from solarsim.app.draft import Draft, WeatherFile, example
from solarsim.app.link import KEPT, PARAMETER, design_from_code
from solarsim.app.translate import tr
from solarsim.errors import InputError

__all__ = [
    "INPUT",
    "MAX_KEPT",
    "Notice",
    "adopt",
    "design",
    "forget_kept",
    "forget_weather_held",
    "keep",
    "kept",
    "say",
    "set_design",
    "start",
    "take",
    "take_notices",
    "uploads",
    "version",
    "weather_held",
]

# Prefix of the keys of the inputs, which a newly opened design fills anew.
INPUT = "in_"
MAX_KEPT = 3


@dataclasses.dataclass(frozen=True)
class Notice:
    """A message for the next page: what was done, or why it was not."""

    text: str
    refused: bool


def start() -> None:
    """Begin a session with the link's design, or with the shipped example."""
    state = st.session_state
    if "design" in state:
        return
    state.design, state.kept, state.notices = example(), (), ()
    state.version, state.uploads, state.weather_held = 0, 0, None
    code = st.query_params.get(PARAMETER)
    if code is not None:
        try:
            state.design = _design_of(code)
            say("This is the design of the link.")
        except InputError as error:
            say(f"{error} {tr('This is the shipped example instead.')}", refused=True)
    for code in st.query_params.get_all(KEPT)[:MAX_KEPT]:
        try:
            keep(_design_of(code))
        except InputError as error:
            say(f"{tr('A design that was kept to compare')}: {error}", refused=True)


def _design_of(code: str) -> Draft:
    found = design_from_code(code)
    check(found)
    return found


def design() -> Draft:
    """Return the design that answers are for."""
    return cast("Draft", st.session_state.design)


def set_design(found: Draft) -> None:
    """Take a design over whose values the inputs hold already."""
    st.session_state.design = found


def adopt(found: Draft) -> None:
    """Take a design over and fill all inputs from it; only before the inputs are drawn.

    What was typed and refused is forgotten with the inputs.
    """
    state = st.session_state
    # A new number gives tables and uploads new keys, which forget what was typed into the old.
    state.version += 1
    if found.weather is None or found.weather != state.design.weather:
        # The box for uploads is empty from here on; a file that comes back is held beside it.
        state.uploads += 1
        state.weather_held = found.weather
    state.design = found
    for key in [key for key in state if str(key).startswith(INPUT)]:
        del state[key]


def take(found: Draft) -> bool:
    """Take a design over as `adopt` does; what cannot be asked about is refused, and said."""
    try:
        check(found)
    except InputError as error:
        say(error.message, refused=True)
        return False
    adopt(found)
    return True


def version() -> int:
    """Return the number that changes whenever another design is opened."""
    return cast("int", st.session_state.version)


def uploads() -> int:
    """Return the number that changes whenever an uploaded weather file is to be forgotten."""
    return cast("int", st.session_state.uploads)


def weather_held() -> WeatherFile | None:
    """Return the weather file that an opened design brought along; it is in no upload's box."""
    return cast("WeatherFile | None", st.session_state.weather_held)


def forget_weather_held() -> None:
    """Forget the file that came along: another was uploaded."""
    st.session_state.weather_held = None


def kept() -> tuple[Draft, ...]:
    """Return the designs put aside to compare."""
    return cast("tuple[Draft, ...]", st.session_state.kept)


def keep(found: Draft) -> None:
    """Put a design aside, if there is room."""
    if len(kept()) < MAX_KEPT and found not in kept():
        st.session_state.kept = (*kept(), found)


def forget_kept(position: int) -> None:
    """Forget one of the designs put aside."""
    st.session_state.kept = tuple(d for n, d in enumerate(kept()) if n != position)


def say(text: str, *, refused: bool = False) -> None:
    """Leave a message for the next page."""
    st.session_state.notices = (*st.session_state.notices, Notice(text, refused))


def take_notices() -> tuple[Notice, ...]:
    """Return the messages and forget them."""
    notices = cast("tuple[Notice, ...]", st.session_state.notices)
    st.session_state.notices = ()
    return notices
