"""The best builds of many parts: searched by a button, and one of them becomes the design."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any, cast

import streamlit as st

from solarsim.answers.search.designs import BestDesign, InSituation, Limits, SearchAnswer
from solarsim.answers.search.space import OWN
from solarsim.app import state
from solarsim.app.answering import MAX_DESIGNS_HERE, SearchWish, search_answer
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.pictures import page_palette, show_figure, table_html
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_count
from solarsim.app.units.chosen import digits, told, units
from solarsim.app.units.quantities import read_value
from solarsim.app.uploads.price_file import PriceFile
from solarsim.app.views.save import file_name
from solarsim.app.widgets.price_file import ask_price_file
from solarsim.app.widgets.view_inputs import take_typed
from solarsim.app.widgets.widgets import month
from solarsim.app.worded import worded
from solarsim.door.searching import checked_limits
from solarsim.errors import InputError
from solarsim.inputs.percent import chance_text
from solarsim.present.search.document import search_csv
from solarsim.present.search.figure import days_of, front_figure
from solarsim.present.search.text import lead_text, parts_text, tried_text
from solarsim.present.stay.text import days_cell

__all__ = ["show", "worst_of"]

_ASKED = "search_asked"
_KINDS = {"The van's own": OWN, "All of the library": "library"}
_TILTS_DEG = (0.0, 10.0, 15.0, 20.0, 30.0, 45.0)
_DCDC_A = (0.0, 20.0, 30.0, 40.0, 60.0)
_LIMITS = {
    "target_days": "Days",
    "max_price": "Price",
    "max_parts_kg": "Weight",
    "max_rise_m": "Height",
}
# A page that is read, not a spreadsheet; the CSV has them all.
_ROWS = 20


@dataclasses.dataclass(frozen=True)
class _Asked:
    """What the button asked for."""

    design: Draft
    wish: SearchWish
    prices: PriceFile | None


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("The best builds of many parts"), anchor=False)
    st.markdown(
        tr(
            "Panels by kind, number and tilt, batteries and chargers, all on the same weather for "
            "the present people and place: those that no other matches in price, weight and days. "
            "Each that is named fits on the roof and passes the electrical check."
        )
    )
    prices = ask_price_file("search")
    wish = _wish()
    if wish is not None:
        st.session_state[_ASKED] = _Asked(design, wish, prices)
    asked = cast("_Asked | None", st.session_state.get(_ASKED))
    if asked is None:
        return
    if (asked.design, asked.prices) != (design, prices):
        st.info(tr("The design or the prices have changed since: search again."))
        return
    try:
        with st.spinner(tr("Asking for every design")):
            answer = search_answer(design, asked.wish, prices)
    except InputError as error:
        st.error(told(error.message))
        return
    _show_answer(answer)


def _wish() -> SearchWish | None:
    """Return what the form asks for once it is sent, or None; says what is wrong with it."""
    with st.form("search_form"):
        left, right = st.columns(2)
        kinds = left.selectbox(
            tr("Kinds of panel to try"), list(_KINDS), format_func=tr, key="search_kinds"
        )
        batteries = right.selectbox(
            tr("Batteries to try"), list(_KINDS), format_func=tr, key="search_batteries"
        )
        tilts = left.multiselect(
            tr("Tilts to try, degrees"),
            _TILTS_DEG,
            format_func=_plain_number,
            placeholder=tr("the van's own"),
            key="search_tilts",
        )
        dcdc = right.multiselect(
            tr("DC-DC chargers to try, A"),
            _DCDC_A,
            format_func=_plain_number,
            placeholder=tr("the van's own"),
            key="search_dcdc",
        )
        months = st.multiselect(
            tr("Months in which it must hold"),
            range(1, 13),
            format_func=month,
            placeholder=tr("the stay's own"),
            key="search_months",
        )
        with st.expander(tr("Limits")):
            typed = _type_limits()
        sent = st.form_submit_button(tr("Search"))
    if not sent:
        return None
    try:
        limits = _limits(*typed)
    except InputError as error:
        label = tr(_LIMITS.get(error.field, error.field))
        st.error(told(f"{label}: {error.message}"))
        return None
    return SearchWish(
        months=tuple(sorted(months)),
        kinds=(_KINDS[kinds],),
        tilts_deg=tuple(sorted(tilts)),
        batteries=(_KINDS[batteries],),
        dcdc_a=tuple(sorted(dcdc)),
        limits=limits,
    )


def _type_limits() -> tuple[str, str, str, str]:
    """Draw the boxes of the limits, in the order of `_limits`."""
    return (
        st.text_input(
            tr("Days that 9 stays in 10 must last"),
            key="search_days",
            max_chars=10,
            placeholder=tr("the whole stay, at its target chance"),
        ),
        st.text_input(tr("Highest price of these parts"), key="search_price", max_chars=20),
        st.text_input(tr("Heaviest these parts may be, kg"), key="search_kg", max_chars=20),
        st.text_input(
            tr("Highest that a tilted panel's edge may stand up, m"),
            key="search_rise",
            max_chars=20,
        ),
    )


def _plain_number(value: float) -> str:
    return digits(f"{value:g}")


def _limits(days: str, price: str, kilograms: str, rise: str) -> Limits:
    def number(text: str, field: str) -> float | None:
        return read_value(field, text, units()) if text.strip() else None

    return checked_limits(
        number(days, "Days"), number(price, "Price"), number(kilograms, "Weight"),
        number(rise, "Height"),
    )  # fmt: skip


def _show_answer(answer: SearchAnswer) -> None:
    lead = worded(lead_text(answer))
    st.header(plain(lead), anchor=False)
    if answer.designs:
        show_figure(
            front_figure(answer, page_palette()),
            key="search",
            alt=tr(
                "Days against cost of the best builds. {lead} The table below holds the numbers.",
                lead=lead,
            ),
        )
        st.caption(
            tr(
                "A point is a build that no other matches; the darker the heavier, the choice "
                "ringed. Days are followed to {days}.",
                days=answer.question.follow_days,
            )
        )
        st.html(table_html("The best builds", _columns(answer)))
        if len(answer.designs) > _ROWS:
            st.caption(
                tr_count(
                    "{number} dearer one follows; the CSV has them all.",
                    "{number} dearer ones follow; the CSV has them all.",
                    len(answer.designs) - _ROWS,
                )
            )
        for doubt in dict.fromkeys(one.doubt for one in answer.designs[:_ROWS] if one.doubt):
            st.caption(f"(!) {plain(worded(doubt))}")
        _pick(answer)
        st.download_button(
            tr("The builds, as CSV"),
            search_csv(answer),
            file_name=file_name(answer.question.van.van.name, "van", "-search.csv"),
            mime="text/csv",
            on_click="ignore",
        )
    with st.expander(tr("What became of the designs, and what is taken as given")):
        st.markdown("".join(f"- {plain(worded(line))}\n" for line in tried_text(answer)))
        st.caption(
            tr(
                "Up to {number} designs here; the command line tries more.",
                number=f"{MAX_DESIGNS_HERE:,}",
            )
        )
        st.markdown("".join(f"- {plain(worded(line))}\n" for line in answer.notes))


def _columns(answer: SearchAnswer) -> dict[str, Sequence[Any]]:
    shown = answer.designs[:_ROWS]
    priced = all(one.price is not None for one in shown)
    often = tr("days in 9 stays in 10")
    if answer.question.profile.medical:
        often = tr("days in 99 stays in 100")
    return {
        tr("build"): [worded(parts_text(one)) + (" (!)" if one.doubt else "") for one in shown],
        tr("price") if priced else tr("cost, watts of panel"): [
            f"{one.cost_in_panel_w if one.price is None else one.price:,.0f}" for one in shown
        ],
        "kg": [f"{one.parts_kg:.0f}" for one in shown],
        often: [_days_text(answer, one) for one in shown],
        tr("chance"): [chance_text(one.chance_lasts) for one in shown],
    }


def _days_text(answer: SearchAnswer, one: BestDesign) -> str:
    days = days_of(answer, one)
    return "–" if days is None else days_cell(days, answer.question.follow_days)


def _pick(answer: SearchAnswer) -> None:
    st.header(tr("Take one of them"), anchor=False)
    named = {f"{at}: {parts_text(one)}": one for at, one in enumerate(answer.designs, start=1)}
    start = 0 if answer.choice is None else answer.designs.index(answer.choice)
    chosen = named[
        st.selectbox(
            tr("Build"), list(named), index=start, format_func=_numbered, key="search_pick"
        )
    ]
    medical = bool(answer.question.profile.medical)
    worst = worst_of(chosen, medical=medical)
    show_days(
        worst.days,
        worst.chance_lasts,
        answer.question.van.stay.days,
        medical=medical,
    )
    for change in chosen.changes:
        st.markdown(f"- {plain(worded(change))}")
    st.button(tr("Take it"), key="search_take", on_click=_take, args=(chosen,))


def _numbered(name: str) -> str:
    number, _, parts = name.partition(": ")
    return f"{number}: {worded(parts)}"


def worst_of(design: BestDesign, *, medical: bool) -> InSituation:
    """Return where and when a build is safe for the fewest days."""
    return min(
        design.situations,
        key=lambda one: (one.days.safe(medical=medical) or 0.0, one.chance_lasts),
    )


def _take(chosen: BestDesign) -> None:
    take_typed()
    # The search's months are not the design's.
    stay = state.design().van.stay
    found = dataclasses.replace(state.design(), van=chosen.van.model_copy(update={"stay": stay}))
    if state.take(found):
        state.say(tr("The design has {design} now.", design=worded(parts_text(chosen))))
