"""One screen for whoever buys the van: the month, how one lives, and the days to count on."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable

import streamlit as st

from solarsim.answers.medical import medical_caution
from solarsim.answers.question import loads_without_inverter
from solarsim.answers.stay import StayAnswer
from solarsim.app.answering import needs_wh_per_day, stay_answer
from solarsim.app.draft import Draft, shipped_profile
from solarsim.app.language import catalogued, said, show_language
from solarsim.app.plain import one_line, plain
from solarsim.app.stops import stops
from solarsim.app.translate import catalogue
from solarsim.app.units.chosen import told
from solarsim.errors import InputError
from solarsim.inputs.percent import chance_text
from solarsim.present.sheet.document import van_document
from solarsim.present.sheet.forms import Texts, given
from solarsim.present.sheet.page import plan_text, van_line
from solarsim.present.sheet.texts import joined, whole
from solarsim.present.words import (
    all_days_text,
    at_least_text,
    counted_text,
    medical_text,
    month_name,
)
from solarsim.weather.years.windows import stay_month

__all__ = ["asked_design", "in_language", "show", "sure_text"]

_SHIPPED = ("light", "typical", "heavy")
_MONTH, _WAY = "buyer_month", "buyer_way"
_PRINT = (
    '<button type="button" class="print-page">{label}</button>'
    "<style>.print-page{font:inherit;color:inherit;background:none;padding:.35rem .9rem;"
    "border:1px solid currentColor;border-radius:.3rem;cursor:pointer}"
    "@media print{@page{margin:15mm}"
    # What is moved or pressed has no use on paper; the page is as long as it is.
    "[data-testid=stSidebar],[data-testid=stHeader],[data-testid=stButtonGroup],"
    "[data-testid=stSlider],[data-testid=stSelectbox],.inputs-hint,.print-page{display:none!important}"
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
    ways, texts = _ways(design), catalogue()
    words = texts["buyer"]
    own_month = stay_month(design.van.stay)
    for key, options, first in (
        (_MONTH, range(1, 13), own_month),
        (_WAY, ways, one_line(design.profile.profile.name)),
    ):
        # Other people may have come aboard since.
        if st.session_state.get(key) not in options:
            st.session_state[key] = first
    spot = st.container()
    left, right, last = st.columns([2, 2, 1], gap="medium")
    month = left.select_slider(
        words["month"],
        range(1, 13),
        format_func=lambda month: said(texts, month_name(month)),
        key=_MONTH,
        persist_state="session",
    )
    way = right.select_slider(
        words["way"],
        list(ways),
        format_func=lambda way: given(texts, "ways", way),
        key=_WAY,
        persist_state="session",
    )
    with last:
        show_language()
    asked = asked_design(dataclasses.replace(design, profile=ways[way].profile), month)
    name = plain(given(texts, "ways", way))
    with spot:
        if names := loads_without_inverter(asked.van, asked.profile):
            st.error(words["no_inverter"].format(way=name, names=_named(names, texts)))
            return
        try:
            answer = in_language(stay_answer(asked), texts)
        except InputError as error:
            st.error(f"{name}: {told(str(error))}")
            return
        _figures(answer, texts)
    about = given(texts, "ways", one_line(asked.profile.profile.description))
    st.markdown(f"**{name}.** {plain(about)}" if about else f"**{name}**")
    _aboard(answer, texts)
    _warnings(design, asked, answer, texts)
    st.html(_PRINT.replace("{label}", words["print"]), unsafe_allow_javascript=True)


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


def _figures(answer: StayAnswer, texts: Texts) -> None:
    # What is not safe for someone's health must not stand large.
    st.title(plain(said(texts, medical_text(answer) or counted_text(answer))), anchor=False)
    st.markdown(sure_text(answer, texts))


def sure_text(answer: StayAnswer, texts: Texts) -> str:
    """Return the days that one may count on, and how the stay stands to them.

    They are those that nine stays in ten reach; where someone's health depends on a device, those
    that 99 in 100 do.
    """
    days, medical = answer.days, answer.medical is not None
    sure = days.safe(medical=medical)
    kind = "unknown" if sure is None else "medical" if medical else "usual"
    least = "" if sure is None else said(texts, at_least_text(sure, days.follow_days))
    van = {"van": van_document(answer.question.van)}
    return str(texts["buyer"][kind]).format(
        place=plain(answer.question.place.name),
        days=least,
        half=said(texts, at_least_text(days.p50, days.follow_days)),
        plan=catalogued(texts, plan_text(van, texts)),
        all=said(texts, all_days_text(answer.dates.days)),
        chance=said(texts, chance_text(answer.chance_lasts)),
    )


def _aboard(answer: StayAnswer, texts: Texts) -> None:
    van, words = answer.question.van, texts["buyer"]
    line = catalogued(texts, van_line(van_document(van), texts))
    st.markdown(f"**{plain(van.van.name)}**: {line}.")
    names = [one.name for one in answer.question.profile.appliances if one.enabled]
    needs = sum(answer.conditions.demand_wh_per_day.values())
    if names:
        energy = catalogued(texts, texts["units"]["watt_hours"].format(number=whole(texts, needs)))
        st.markdown(words["runs"].format(names=_named(names, texts), energy=energy))


def _named(names: Iterable[str], texts: Texts) -> str:
    return plain(", ".join(given(texts, "appliances", name) for name in names))


def _warnings(design: Draft, asked: Draft, answer: StayAnswer, texts: Texts) -> None:
    """Say what these people would overload; what is wrong with the van stands above the view."""
    known, stopped = stops(design), stops(asked)
    for line in stopped:
        if line not in known:
            st.error(f"⬣ {texts['buyer']['stop_people'].format(finding=told(line))}")
    for warning in answer.warnings:
        if not warning.startswith(stopped):
            st.warning(plain(said(texts, warning)))


def in_language(answer: StayAnswer, texts: Texts) -> StayAnswer:
    """Return the answer with what someone's health depends on called as the language does."""
    if answer.medical is None or texts["language"] == "en":
        return answer
    devices = answer.medical.devices
    own = (joined(texts, [given(texts, "appliances", one) for one in devices]),)
    cautions = {medical_caution(devices): medical_caution(own)}
    return dataclasses.replace(
        answer,
        medical=dataclasses.replace(answer.medical, devices=own),
        warnings=tuple(cautions.get(one, one) for one in answer.warnings),
    )
