"""One screen for whoever buys the van: the month, how one lives, and the days to count on."""

from __future__ import annotations

import dataclasses
import math

import streamlit as st

from solarsim.answers.stay import StayAnswer
from solarsim.app.answering import needs_wh_per_day, stay_answer
from solarsim.app.draft import Draft, shipped_profile
from solarsim.app.plain import one_line, plain
from solarsim.app.stops import stops
from solarsim.app.units.chosen import digits, shown, told
from solarsim.app.widgets.widgets import word
from solarsim.errors import InputError
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.words import (
    all_days_text,
    at_least_text,
    charging_text,
    counted_text,
    medical_text,
    month_name,
)
from solarsim.weather.years.windows import stay_month

__all__ = ["asked_design", "show", "sure_days"]

_SHIPPED = ("light", "typical", "heavy")
_MONTH, _WAY = "buyer_month", "buyer_way"
_PRINT = (
    '<button type="button" class="print-page">Print this page</button>'
    "<style>.print-page{font:inherit;color:inherit;background:none;padding:.35rem .9rem;"
    "border:1px solid currentColor;border-radius:.3rem;cursor:pointer}"
    "@media print{@page{margin:15mm}"
    # What is moved or pressed has no use on paper; the page is as long as it is.
    "[data-testid=stSidebar],[data-testid=stHeader],[data-testid=stButtonGroup],"
    "[data-testid=stSlider],.inputs-hint,.print-page{display:none!important}"
    "[data-testid=stApp],[data-testid=stAppViewContainer],[data-testid=stMain]"
    "{position:static!important;height:auto!important;overflow:visible!important}"
    "[data-testid=stMainBlockContainer]{padding:0!important;max-width:none!important}"
    # Dark on white, whatever the screen's colours.
    "html,body,[data-testid=stApp]{background:#fff!important}"
    "[data-testid=stMain] *{color:#000!important}}</style>"
    "<script>document.querySelector('.print-page').onclick = () => window.print()</script>"
)


def show(design: Draft) -> None:
    """Draw the view."""
    ways = _ways(design)
    own_month = stay_month(design.van.stay)
    for key, options, first in (
        (_MONTH, range(1, 13), own_month),
        (_WAY, ways, one_line(design.profile.profile.name)),
    ):
        # Other people may have come aboard since.
        if st.session_state.get(key) not in options:
            st.session_state[key] = first
    spot = st.container()
    left, right = st.columns(2, gap="medium")
    month = left.select_slider(
        "Month", range(1, 13), format_func=month_name, key=_MONTH, persist_state="session"
    )
    way = right.select_slider("How one lives", list(ways), key=_WAY, persist_state="session")
    asked = asked_design(dataclasses.replace(design, profile=ways[way].profile), month)
    with spot:
        try:
            answer = stay_answer(asked)
        except InputError as error:
            st.error(f"{plain(way)}: {told(str(error))}")
            return
        _figures(answer)
    about = asked.profile.profile.description
    st.markdown(f"**{plain(way)}.** {plain(one_line(about))}" if about else f"**{plain(way)}**")
    _aboard(answer)
    _warnings(design, asked, answer)
    st.html(_PRINT, unsafe_allow_javascript=True)


def asked_design(design: Draft, month: int) -> Draft:
    """Return the design in a month; in that of its own dates these stay.

    The figures are then those of ``solarsim stay --month``.
    """
    if month == stay_month(design.van.stay):
        return design
    stay = design.van.stay.model_copy(update={"month": month, "start": None})
    return dataclasses.replace(design, van=design.van.model_copy(update={"stay": stay}))


def _ways(design: Draft) -> dict[str, Draft]:
    """The design with each way of living, its own people among them, from light to heavy."""
    own = one_line(design.profile.profile.name)
    found = {own: design}
    for stem in _SHIPPED:
        profile = shipped_profile(stem)
        name = profile.profile.name
        # Who took a shipped way and changed it has that way.
        found.setdefault(name, dataclasses.replace(design, profile=profile))
    return dict(sorted(found.items(), key=lambda pair: _needs(pair[1])))


def _needs(design: Draft) -> float:
    try:
        return needs_wh_per_day(design)
    except InputError:
        # Such as AC loads without an inverter: last, and said once it is chosen.
        return math.inf


def _figures(answer: StayAnswer) -> None:
    days = answer.days
    # What is not safe for someone's health must not stand large.
    st.title(told(medical_text(answer) or counted_text(answer)), anchor=False)
    st.markdown(
        f"{sure_days(answer)}, half of them "
        f"**{shown(at_least_text(days.p50, days.follow_days))}**. "
        f"Chance of lasting {all_days_text(answer.dates.days)}: "
        f"**{shown(chance_text(answer.chance_lasts))}**."
    )


def sure_days(answer: StayAnswer) -> str:
    """Return the days that one may count on: those that nine stays in ten reach.

    Where someone's health depends on a device, those that 99 in 100 do.
    """
    near, charging = plain(answer.question.place.name), charging_text(answer.question.van)
    days, medical = answer.days, answer.medical is not None
    sure, often = days.safe(medical=medical), "99 stays in 100" if medical else "Nine stays in ten"
    if sure is None:
        return f"How long {often} near {near} last {charging} is **not known**"
    return f"{often} near {near} last **{shown(at_least_text(sure, days.follow_days))}** {charging}"


def _aboard(answer: StayAnswer) -> None:
    van = answer.question.van
    panels = van.panels
    sun = f"{count_text(panels.count, 'panel')} of {panels.power_w:g} W" if panels.count else ""
    extra = f"{count_text(len(van.arrays), 'further array')}" if van.arrays else ""
    parts = [part for part in (sun, extra) if part] or ["no panels"]
    parts.append(f"a bank of {van.bank_capacity_ah:g} Ah {word(van.battery.chemistry)}")
    if van.inverter is not None:
        parts.append(f"an inverter of {van.inverter.power_w:g} W")
    st.markdown(f"**{plain(van.van.name)}**: {shown(', '.join(parts))}.")
    uses = [one.name for one in answer.question.profile.appliances if one.enabled]
    needs = sum(answer.conditions.demand_wh_per_day.values())
    if uses:
        st.markdown(f"Runs {plain(', '.join(uses))}: {digits(f'{needs:,.0f}')} Wh a day.")


def _warnings(design: Draft, asked: Draft, answer: StayAnswer) -> None:
    """Say what these people would overload; what is wrong with the van stands above the view."""
    known, stopped = stops(design), stops(asked)
    for line in stopped:
        if line not in known:
            st.error(f"⬣ **STOP** for these people: {told(line)}")
    for warning in answer.warnings:
        if not warning.startswith(stopped):
            st.warning(told(warning))
