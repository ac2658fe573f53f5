"""What must not be built as it is, wherever on the page one looks."""

from __future__ import annotations

import streamlit as st

from solarsim.app.answering import electrical_answer
from solarsim.app.draft import Draft
from solarsim.app.units.chosen import told
from solarsim.present.sheet.forms import Texts

__all__ = ["show_stops", "stops"]


def stops(design: Draft) -> tuple[str, ...]:
    """Return what the electrical check stops, each in a sentence; the panels' room is among it."""
    check = electrical_answer(design)
    return tuple(
        f"{finding.where + ': ' if finding.where else ''}{finding.message}"
        for finding in check.findings
        if finding.severity == "stop"
    )


def show_stops(design: Draft, texts: Texts) -> None:
    """Say what is stopped, above figures that nobody may count on until it is mended.

    The findings are English in every language.
    """
    for line in stops(design):
        st.error(f"⬣ {texts['buyer']['stop'].format(finding=told(line))}")
