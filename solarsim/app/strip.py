"""The answer in one line, which stays in sight while the page below it moves."""

from __future__ import annotations

import streamlit as st

from solarsim.answers.stay import StayAnswer
from solarsim.app.plain import plain
from solarsim.app.units.chosen import shown, told
from solarsim.app.widgets.widgets import word
from solarsim.inputs.percent import chance_text
from solarsim.present.words import all_days_text, days_text, month_name

__all__ = ["STRIP", "show_strip", "strip_lines"]

# Key of its container, which the style sheet holds at the top.
STRIP = "strip"


def strip_lines(answer: StayAnswer) -> tuple[str, str]:
    """Return the days and the chance; and the design that they are for."""
    days, van = answer.days, answer.question.van
    panels = van.panels
    power = shown(f"{panels.count} × {panels.power_w:g} W") if panels.count else "no panels"
    # Where someone's health depends on a device, no other days are safe.
    medical = answer.medical is not None
    sure, often = days.safe(medical=medical), "99 stays of 100" if medical else "9 stays of 10"
    counted = "not known" if sure is None else days_text(sure, days.follow_days)
    said = (
        f"**{counted}** in {often} · "
        f"**{chance_text(answer.chance_lasts)}** for {all_days_text(answer.dates.days)}"
    )
    design = (
        plain(answer.question.place.name),
        month_name(answer.dates.month),
        plain(power) + (" and more" if van.arrays and panels.count else ""),
        f"{shown(f'{van.bank_capacity_ah:g} Ah')} {word(van.battery.chemistry)}",
    )
    return shown(said), " · ".join(design)


def show_strip(answer: StayAnswer, *, old: bool, stopped: tuple[str, ...]) -> None:
    """Draw the strip; `old` where inputs were refused, `stopped` what must not be built."""
    said, design = strip_lines(answer)
    st.markdown(said)
    st.markdown(design)
    if answer.medical is not None:
        safe = {True: "lasts 99 times in 100", False: "NOT SAFE", None: "not shown to be safe"}
        st.markdown(
            f"For the medical device: **{safe[answer.medical.safe]}**; never rely on this alone"
        )
    if old:
        st.markdown("for the last values that fit")
    if stopped:
        st.markdown(f"**⬣ STOP**: {told(stopped[0])}")
