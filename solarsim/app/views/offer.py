"""The offer: the present design and those that were kept, side by side for a buyer."""

from __future__ import annotations

import dataclasses
import datetime as dt
import functools
from collections.abc import Sequence
from typing import Any, cast

import streamlit as st

from solarsim.answers.many_places import MAX_PLACES
from solarsim.answers.offer.money import checked_amounts, checked_tax
from solarsim.answers.offer.offer import LETTERS, MAX_DESIGNS, OfferAnswer
from solarsim.app import state
from solarsim.app.answering import offer_answer
from solarsim.app.differences import same_weather
from solarsim.app.draft import Draft
from solarsim.app.pictures import table_html
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.chosen import heading, told, units
from solarsim.app.units.quantities import read_value
from solarsim.app.uploads.price_file import PriceFile
from solarsim.app.views.save import file_name
from solarsim.app.widgets.price_file import ask_price_file
from solarsim.errors import InputError
from solarsim.present.offer.make import offer_bytes
from solarsim.present.offer.rows import NOT_TO_BE_BUILT, heads, offer_rows
from solarsim.present.offer.rows import shown as cell_text
from solarsim.present.offer.words import intro, not_full, not_included, step_texts, stops
from solarsim.present.sheet.typeset import Paper

__all__ = ["designs_to_offer", "show"]

_MADE = "offer_made"
_PAPERS: dict[str, Paper] = {"A4": "a4", "Letter": "letter"}
_FILES = (
    ("The offer, as PDF", ".pdf", "application/pdf"),
    ("The offer, as a workbook", ".xlsx",
     "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    ("The offer, as CSV", ".csv", "text/csv"),
)  # fmt: skip


@dataclasses.dataclass(frozen=True)
class _Wish:
    """What was asked for when the offer was made."""

    designs: tuple[Draft, ...]
    prices: PriceFile | None
    regions: tuple[str, ...]
    labour: float | None
    tax_pct: float | None
    valid_until: dt.date | None
    date: dt.date


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("An offer of up to four designs"), anchor=False)
    there = designs_to_offer(design, state.kept())
    st.markdown(
        tr(
            "The present design and those kept under Compare, on the same weather, for the present "
            "people, place and dates: days, checks, weight, price, and what each step buys."
        )
    )
    if len(there) < 2:
        st.caption(
            tr(
                "Only the present design is offered so far. Keep others under Compare, Side by "
                "side: change an input, or open a project, and keep each."
            )
        )
    prices = ask_price_file("offer")
    wish = _wish(there, prices)
    if wish is not None:
        st.session_state[_MADE] = wish
    made = cast("_Wish | None", st.session_state.get(_MADE))
    if made is None:
        return
    if made.prices != prices or any(one not in there for one in made.designs):
        st.info(tr("The designs or the prices have changed since: make the offer again."))
        return
    try:
        with st.spinner(tr("Asking for every design in every season")):
            answer = offer_answer(
                made.designs,
                made.prices,
                regions=made.regions,
                labour=made.labour,
                tax_pct=made.tax_pct,
                date=made.date,
                valid_until=made.valid_until,
            )
    except InputError as error:
        st.error(told(str(error)))
        return
    _show_answer(answer)


def designs_to_offer(design: Draft, kept: tuple[Draft, ...]) -> tuple[Draft, ...]:
    """Return the present design and the kept ones, with its people, place, dates and weather.

    A kept design that is no other then is left out.
    """
    asked = [design]
    for one in kept:
        other = dataclasses.replace(same_weather(one, design), profile=design.profile)
        if other not in asked:
            asked.append(other)
    return tuple(asked[:MAX_DESIGNS])


def _wish(there: tuple[Draft, ...], prices: PriceFile | None) -> _Wish | None:
    """Return what the form asks for once it is sent, or None; says what is wrong with it."""
    with st.form("offer_form"):
        chosen = [
            at
            for at, one in enumerate(there)
            if st.checkbox(
                f"{LETTERS[at]}: {plain(one.van.van.name)}", value=True, key=f"offer_{LETTERS[at]}"
            )
        ]
        regions = st.text_area(
            tr("More places in the offer, up to {number}, one a line", number=MAX_PLACES - 1),
            key="offer_regions",
            max_chars=400,
            placeholder="Bergen, NO\nAlmeria, ES",
            height=110,
        )
        left, middle, right = st.columns(3)
        labour = left.text_input(tr("Labour, without tax"), key="offer_labour", max_chars=20)
        tax = middle.text_input(tr("Tax, %"), key="offer_tax", max_chars=10)
        until = right.date_input(tr("Valid until"), value=None, key="offer_until")
        sent = st.form_submit_button(tr("Make the offer"))
    if not sent:
        return None
    try:
        if not chosen:
            raise InputError("choose one at least", field="Designs")
        amount = checked_amounts(_number(labour, "Labour"), field="Labour")
        return _Wish(
            designs=tuple(there[at] for at in chosen),
            prices=prices,
            regions=tuple(line.strip() for line in regions.splitlines() if line.strip()),
            labour=amount[0] if amount else None,
            tax_pct=checked_tax(_number(tax, "Tax"), field="Tax"),
            valid_until=until,
            date=dt.datetime.now().astimezone().date(),
        )
    except InputError as error:
        st.error(told(str(error)))
        return None


def _number(text: str, field: str) -> float | None:
    return read_value(field, text, units()) if text.strip() else None


def _said(text: str) -> str:
    return tr_line(text) or text


def _show_answer(answer: OfferAnswer) -> None:
    for line in stops(answer):
        st.error(tr("⬣ **STOP**: {reason}", reason=told(line)))
    st.markdown("".join(f"- {told(line)}\n" for line in intro(answer)))
    unpriced = not_full(answer)
    if unpriced:
        st.warning(told(unpriced))
    rows = offer_rows(answer)
    for part in dict.fromkeys(row.part for row in rows):
        named = tr_line(part) or heading(part)
        st.header(named, anchor=False)
        mine = [row for row in rows if row.part == part]
        columns: dict[str, Sequence[Any]] = {"": [_said(row.what) for row in mine]}
        columns |= {
            head.replace(NOT_TO_BE_BUILT, _said(NOT_TO_BE_BUILT)): [
                _said(cell_text(row, index)) for row in mine
            ]
            for index, head in enumerate(heads(answer))
        }
        st.html(table_html(named, columns))
    steps = step_texts(answer)
    if steps:
        st.header(tr("What each step buys"), anchor=False)
        st.markdown("".join(f"- {told(line)}\n" for line in steps))
    with st.expander(tr("Not included")):
        st.markdown("".join(f"- {told(line)}\n" for line in not_included(answer)))
    paper = _PAPERS[st.selectbox(tr("Paper of the offer"), list(_PAPERS), key="offer_paper")]
    name = answer.designs[0].van.van.name
    for spot, (label, suffix, mime) in zip(st.columns(3), _FILES, strict=True):
        spot.download_button(
            tr(label),
            functools.partial(offer_bytes, answer, suffix, paper=paper),
            file_name=file_name(name, "van", f"-offer{suffix}"),
            mime=mime,
            on_click="ignore",
            width="stretch",
        )
