"""Designs side by side on the same weather, with the differences named."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

import streamlit as st

from solarsim.answers.stay import StayAnswer
from solarsim.app import state
from solarsim.app.answering import electrical_answer, stay_answer
from solarsim.app.dates import day_text
from solarsim.app.differences import differences, same_weather
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.pictures import page_palette, show_figure
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_count
from solarsim.app.units.chosen import digits, told, units
from solarsim.app.uploads.price_file import PriceFile, bought
from solarsim.app.widgets.price_file import ask_price_file
from solarsim.app.worded import worded
from solarsim.errors import InputError
from solarsim.inputs.calendar import stay_start
from solarsim.present.buy.document import totals
from solarsim.present.compare.charts import side_by_side_figure

__all__ = ["show"]

_LETTERS = "ABC"


def show(design: Draft) -> None:
    """Draw the view."""
    kept = state.kept()
    st.title(tr("Side by side"), anchor=False)
    stay = design.van.stay
    first = stay_start(stay)
    where = plain(stay.place) if design.weather is None else tr("the weather file")
    st.markdown(
        tr_count(
            "All on the weather of the present inputs: {where}, {number} day from {date}.",
            "All on the weather of the present inputs: {where}, {number} days from {date}.",
            stay.days,
            where=where,
            date=day_text(first),
        )
    )
    _offer_to_keep(design, kept)
    names = (tr("Design {letter}", letter=letter) for letter in _LETTERS)
    columns = [(tr("Now"), design), *zip(names, kept, strict=False)]
    if not kept:
        st.caption(tr("Keep a design, then change an input: both stand here."))
    prices = ask_price_file("compare")
    first_cost: float | None = None
    answers = []
    for position, (spot, (name, each)) in enumerate(
        zip(st.columns(len(columns), gap="large"), columns, strict=True)
    ):
        with spot:
            answer = _column(name, each, design, position, side_by_side=len(columns) <= 2)
            if prices is not None and answer is not None:
                asked = same_weather(each, design) if position else design
                cost = _price(asked, prices, first_cost)
                first_cost = cost if not position else first_cost
        if answer is not None:
            answers.append((name, answer))
    if len(answers) > 1:
        _picture(answers)


def _offer_to_keep(design: Draft, kept: Sequence[Draft]) -> None:
    full, there = len(kept) >= state.MAX_KEPT, design in kept
    st.button(
        tr("Keep the present design"),
        on_click=state.keep,
        args=(design,),
        disabled=full or there,
        key="keep",
    )
    if full:
        st.caption(tr("Three are kept; drop one to keep another."))
    elif there:
        st.caption(
            tr("The present design is kept. Change an input and see it beside the kept one.")
        )


def _picture(answers: Sequence[tuple[str, StayAnswer]]) -> None:
    st.header(tr("Usable energy left in the bank"), anchor=False)
    show_figure(
        side_by_side_figure(answers, page_palette()),
        key="side_by_side",
        alt=tr(
            "Usable energy by hour in each design's bank, hourly median over the runs. At 0 it "
            "is cut off; the days until then stand above."
        ),
    )
    st.caption(
        tr(
            "Hourly median over the runs. Counted from the state of charge at which each bank "
            "is cut off at 25 °C, which stands beside its name; in the cold that comes earlier."
        )
    )


def _column(name: str, each: Draft, now: Draft, position: int, *, side_by_side: bool) -> Any:
    asked = same_weather(each, now) if position else now
    st.markdown(f"**{name}** · {plain(each.van.van.name)}")
    try:
        answer = stay_answer(asked)
    except InputError as error:
        st.error(told(str(error)))
        answer = None
    if answer is not None:
        show_days(
            answer.days,
            answer.chance_lasts,
            answer.dates.days,
            side_by_side=side_by_side,
            medical=answer.medical is not None,
        )
    if position:
        found = differences(now, asked, units())
        lines = found or (tr("the same as now"),)
        st.markdown("".join(f"- {told(line)}\n" for line in lines))
        with st.container(horizontal=True):
            st.button(
                tr("Open {name}", name=name), key=f"open_{position}", on_click=_open, args=(asked,)
            )
            st.button(
                tr("Drop {name}", name=name),
                key=f"drop_{position}",
                on_click=state.forget_kept,
                args=(position - 1,),
            )
    return answer


def _price(asked: Draft, prices: PriceFile, of_now: float | None) -> float | None:
    """Say what a design's parts cost and weigh, and against the present one; return the cost.

    What must not be built has no price.
    """
    try:
        answer = bought(electrical_answer(asked), prices)
    except InputError as error:
        st.error(told(str(error)))
        return None
    overloaded = answer.payload_left_kg is not None and answer.payload_left_kg < 0.0
    if answer.stops or overloaded:
        why = answer.stops[0] if answer.stops else tr("it is too heavy for the van's payload")
        st.markdown(tr("**No price**: it must not be built as it is. {reason}", reason=told(why)))
        return None
    sums = dict(totals(answer))
    lines = [
        tr("Parts, {what}: **{value}**", what=worded(label), value=plain(worded(value)))
        for label, value in sums.items()
    ]
    cost = answer.total_cost if "price" in sums else None
    if cost is not None and of_now is not None and round(cost - of_now, 2):
        apart = f"{digits(f'{abs(cost - of_now):,.2f}')} {plain(answer.currency)}"
        more = cost > of_now
        lines.append(
            tr("{price} more than now", price=apart)
            if more
            else tr("{price} less than now", price=apart)
        )
    st.markdown("  \n".join(lines))
    return cost


def _open(design: Draft) -> None:
    state.adopt(dataclasses.replace(design))
    state.say(tr("The kept design is open."))
