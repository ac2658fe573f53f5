"""The builder's own prices, uploaded once and asked for wherever something is priced."""

from __future__ import annotations

from typing import cast

import streamlit as st

from solarsim.app import state
from solarsim.app.plain import one_line, plain
from solarsim.app.translate import tr
from solarsim.app.uploads.price_file import PriceFile

__all__ = ["ask_price_file"]

_FILE, _TURN = "price_file", "price_file_turn"
_MAX_BYTES = 1_000_000


def ask_price_file(view: str) -> PriceFile | None:
    """Draw the box for prices and weights and return what was given, in this view or another.

    The file stays with the session: the page's address and saved files leave it out.
    """
    turn = st.session_state.setdefault(_TURN, 0)
    st.file_uploader(
        tr("Your prices and weights, up to 1 MB"),
        type=["toml"],
        max_upload_size=1,
        key=(key := f"prices_{view}_{turn}"),
        on_change=_take,
        args=(key,),
        help=tr(
            "A TOML of parts with what you pay and what they weigh; `solarsim keys prices` lists "
            "its keys."
        ),
    )
    held = cast("PriceFile | None", st.session_state.get(_FILE))
    if held is not None:
        st.caption(
            tr(
                "Prices of {name}, in every view, until the page is loaded anew.",
                name=plain(held.name),
            )
        )
        st.button(tr("Leave the prices out"), key=f"no_prices_{view}", on_click=_drop)
    return held


def _take(key: str) -> None:
    given = st.session_state[key]
    if given is None:
        st.session_state.pop(_FILE, None)
        return
    name = one_line(given.name)
    if given.size > _MAX_BYTES:
        state.say(tr("{name}: is larger than 1 MB", name=name), refused=True)
        return
    st.session_state[_FILE] = PriceFile(name, given.getvalue())


def _drop() -> None:
    st.session_state.pop(_FILE, None)
    # Another key empties the box.
    st.session_state[_TURN] += 1
