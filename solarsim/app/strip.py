"""The answer in one line, which stays in sight while the page below it moves."""

from __future__ import annotations

import streamlit as st

from solarsim.answers.stay import StayAnswer
from solarsim.app.language import said
from solarsim.app.plain import plain
from solarsim.app.units.chosen import told
from solarsim.app.widgets.widgets import word
from solarsim.inputs.percent import chance_text
from solarsim.present.sheet.forms import Texts
from solarsim.present.words import all_days_text, days_text, month_name

__all__ = ["STRIP", "show_strip", "strip_lines"]

# Key of its container, which the style sheet holds at the top.
STRIP = "strip"


def strip_lines(answer: StayAnswer, texts: Texts) -> tuple[str, str]:
    """Return the days and the chance; and the design that they are for."""
    days, van, words = answer.days, answer.question.van, texts["buyer"]
    panels = van.panels
    power = said(texts, f"{panels.count} × {panels.power_w:g} W")
    if not panels.count:
        power = words["strip_no_panels"]
    elif van.arrays:
        power = words["strip_more"].format(power=power)
    # Where someone's health depends on a device, no other days are safe.
    medical = answer.medical is not None
    sure = days.safe(medical=medical)
    counted = "not known" if sure is None else days_text(sure, days.follow_days)
    first = words["strip_medical" if medical else "strip"].format(
        days=said(texts, counted),
        chance=said(texts, chance_text(answer.chance_lasts)),
        all=said(texts, all_days_text(answer.dates.days)),
    )
    design = (
        plain(answer.question.place.name),
        said(texts, month_name(answer.dates.month)),
        power,
        f"{said(texts, f'{van.bank_capacity_ah:g} Ah')} {said(texts, word(van.battery.chemistry))}",
    )
    return first, " · ".join(design)


def show_strip(answer: StayAnswer, texts: Texts, *, old: bool, stopped: tuple[str, ...]) -> None:
    """Draw the strip; `old` where inputs were refused, `stopped` what must not be built."""
    words = texts["buyer"]
    for line in strip_lines(answer, texts):
        st.markdown(line)
    if answer.medical is not None:
        safe = {True: "strip_safe", False: "strip_unsafe", None: "strip_unshown"}
        st.markdown(words[safe[answer.medical.safe]])
    if old:
        st.markdown(words["strip_old"])
    if stopped:
        st.markdown(f"⬣ {words['strip_stop'].format(finding=told(stopped[0]))}")
