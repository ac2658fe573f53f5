"""The wiring plan of the electrical view: its picture, its files, and what is bought for it."""

from __future__ import annotations

import base64
import functools
import html
from typing import Any

import streamlit as st

from solarsim.answers.wiring.wiring import WiringAnswer, steps_of
from solarsim.app.pictures import show_sideways
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_count, tr_line
from solarsim.app.units.chosen import shown, told
from solarsim.app.uploads.price_file import bought
from solarsim.app.views.save import file_name
from solarsim.app.widgets.price_file import ask_price_file
from solarsim.app.worded import worded
from solarsim.electrical.check import Check
from solarsim.errors import InputError
from solarsim.present.buy.document import totals
from solarsim.present.buy.make import list_bytes
from solarsim.present.sheet.typeset import Paper
from solarsim.present.wiring.make import drawn_panels, plan_bytes
from solarsim.present.wiring.page import LEGEND, wiring_page
from solarsim.present.wiring.web import stops_box

__all__ = ["show_plan"]

_PAPERS: dict[str, Paper] = {"A4": "a4", "Letter": "letter"}
_PLANS = (
    ("Plan and test sheet, as PDF", ".pdf", "application/pdf"),
    ("Plan and test sheet, as HTML", ".html", "text/html"),
    ("The picture, as SVG", ".svg", "image/svg+xml"),
    ("Every run, as CSV", ".csv", "text/csv"),
)
_LISTS = (
    ("What to buy, as a workbook", ".xlsx",
     "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    ("What to buy, as PDF", ".pdf", "application/pdf"),
)  # fmt: skip


# White on the red of the plan, whatever the page's theme is.
_STOP = "background:#B3261E;color:#fff;padding:.2rem 1rem"


def show_plan(check: Check) -> None:
    """Draw the plan of a checked van, and offer its files."""
    answer = WiringAnswer(check, steps_of(check))
    st.header(tr("Wiring plan"), anchor=False)
    page = wiring_page(answer)
    if page["stops"]:
        said = {
            "stops_title": tr("STOP: do not build or connect it so"),
            "stops": [tr_line(line) or line for line in page["stops"]],
        }
        st.html(f'<div style="{_STOP}">{stops_box(said)}</div>')
    st.caption(tr(LEGEND))
    about = tr(
        "Single-line diagram of {name}; the table of runs holds the same.", name=check.van.van.name
    )
    show_sideways()
    for panel, svg in zip(page["panels"], _drawn(page["panels"]), strict=True):
        panel["title"] = tr(panel["title"])
        st.markdown(f"**{plain(shown(panel['title']))}**")
        st.html(_scrolled(panel, svg, about))
    chosen = st.selectbox(tr("Paper of the plan"), list(_PAPERS), key="plan_paper")
    paper, name = _PAPERS[chosen], check.van.van.name
    spots: list[Any] = []
    for label, suffix, mime in _PLANS:
        if not spots:
            spots = list(st.columns(2))
        spots.pop(0).download_button(
            tr(label),
            # Made when it is asked for: a page is set in half a second.
            functools.partial(plan_bytes, answer, suffix, paper=paper),
            file_name=file_name(name, "van", f"-wiring{suffix}"),
            mime=mime,
            on_click="ignore",
            width="stretch",
        )
    _show_list(check, paper)


@st.cache_data(max_entries=16, show_spinner=False)
def _drawn(panels: list[dict[str, Any]]) -> list[str]:
    return drawn_panels(panels)


def _scrolled(panel: dict[str, Any], svg: str, alt: str) -> str:
    """A panel as wide as its letters need, in a box that a narrow page scrolls."""
    data = base64.b64encode(svg.encode()).decode()
    wide = f"min-width:{0.85 * panel['w']:.0f}px;max-width:{panel['w']:.0f}px"
    return (
        f'<div class="sideways" role="region" aria-label="{html.escape(panel["title"])}" '
        'style="background:#fff" tabindex="0">'
        f'<img src="data:image/svg+xml;base64,{data}" alt="{html.escape(alt)}" '
        f'style="{wide};width:100%;display:block"></div>'
    )


def _show_list(check: Check, paper: Paper) -> None:
    st.header(tr("What to buy"), anchor=False)
    try:
        answer = bought(check, ask_price_file("plan"))
    except InputError as error:
        st.error(told(str(error)))
        return
    sums = "  \n".join(
        f"{tr(label)}: **{plain(worded(value))}**" for label, value in totals(answer)
    )
    lines = tr_count("{number} line.", "{number} lines.", len(answer.items))
    st.markdown(f"{lines}  \n{sums}")
    for spot, (label, suffix, mime) in zip(st.columns(2), _LISTS, strict=True):
        spot.download_button(
            tr(label),
            functools.partial(list_bytes, answer, suffix, paper=paper),
            file_name=file_name(check.van.van.name, "van", f"-buy{suffix}"),
            mime=mime,
            on_click="ignore",
            width="stretch",
        )
    st.caption(" · ".join(plain(worded(note)) for note in answer.notes))
