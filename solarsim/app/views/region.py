"""The van over a country or a box: a map, asked for by a button."""

from __future__ import annotations

import dataclasses
from typing import cast

import streamlit as st

from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.region.summary import months_of_region
from solarsim.app.answering import MAX_CELLS_HERE, region_answer
from solarsim.app.draft import Draft
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_count
from solarsim.app.units.chosen import digits, told
from solarsim.app.views.save import file_name
from solarsim.app.worded import worded
from solarsim.errors import InputError
from solarsim.inputs.percent import percent
from solarsim.present.region.page_map import region_figure
from solarsim.present.region.picture import Shown
from solarsim.present.region.table import csv_bytes, geojson_bytes, region_frame
from solarsim.present.region.text import cell_label, region_headline
from solarsim.present.words import MAP_CAUTION
from solarsim.weather.outlines import outline_names

__all__ = ["show"]

_ASKED = "region_asked"
_STEPS = (0.25, 0.5, 1.0, 2.0)
_SHOWN: dict[str, Shown] = {
    "Days in half of the runs": "p50",
    "Days in nine runs of ten": "p10",
    "Chance of the stay": "chance",
    "Bank that would hold": "bank",
}


@dataclasses.dataclass(frozen=True)
class _Asked:
    """What the button asked for."""

    where: str
    step_deg: float


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("Over a country or a stretch of land"), anchor=False)
    st.markdown(
        tr(
            "The van, its people, days and month as they are, in each cell of the land on the "
            "cell's own climate; place and weather file play no part."
        )
    )
    with st.form("region_form", border=False):
        where = st.text_input(
            tr("Country, area or box"),
            value=(code := _country_of(design.van.stay.place)),
            # Another country begins anew; another language does not.
            key=f"region_where_{code}",
            max_chars=80,
            help=tr(
                "ES for a country, ES-AN or US-CO for an area of it, or south, west, north, "
                "east in degrees, such as 36, -10, 44, 4."
            ),
        )
        step_deg = st.selectbox(
            tr("Side of a cell, degrees"),
            _STEPS,
            index=2,
            format_func=lambda deg: digits(f"{deg:g}"),
            key="region_step",
        )
        drawn = st.form_submit_button(tr("Draw the map"))
    st.caption(
        tr(
            "Up to {number} cells here; the command line answers more. The address holds the van "
            "and its people, not the region: send its name along.",
            number=MAX_CELLS_HERE,
        )
    )
    if drawn:
        st.session_state[_ASKED] = _Asked(where, step_deg)
    asked = cast("_Asked | None", st.session_state.get(_ASKED))
    if asked is None:
        return
    try:
        with st.spinner(tr("Asking in every cell")):
            answer = region_answer(design, asked.where, asked.step_deg)
    except InputError as error:
        st.error(told(error.message))
        return
    _show_answer(answer)


def _country_of(place: str) -> str:
    """Code of the country that a place's text ends with, else an example."""
    code = place.rpartition(",")[2].strip().upper()
    return code if code in outline_names() else "ES"


def _scale_name(answer: RegionAnswer, what: Shown) -> str:
    stay = answer.asked.vans[0].stay
    if what == "chance":
        return tr_count("chance of {number} day, %", "chance of {number} days, %", stay.days)
    if what == "bank":
        return tr("units of the bank that would hold (blank: none)")
    followed = f"{answer.asked.follow_days:g}"
    if what == "p10":
        return tr("days that nine runs in ten reach (P10, to {days}+)", days=followed)
    return tr("days that half of the runs reach (P50, to {days}+)", days=followed)


def _show_answer(answer: RegionAnswer) -> None:
    (month,) = months_of_region(answer)
    st.markdown(f"**{plain(worded(region_headline(answer)))}**")
    if month.worst_cell is not None:
        worst = plain(cell_label(answer, month.worst_cell))
        st.markdown(tr("It lasts least around {place}.", place=worst))
    chosen = st.selectbox(
        tr("What the map shows"), list(_SHOWN), format_func=tr, key="region_shown"
    )
    figure = region_figure(answer, page_palette(), shown=_SHOWN[chosen])
    # The words stand beside it on the page, the scale below it leaves a phone's width to the map.
    below = {"orientation": "h", "y": -0.12, "yanchor": "top", "thickness": 14, "title_side": "top"}
    below["title_text"] = _scale_name(answer, _SHOWN[chosen])
    figure.layout.annotations = ()
    figure.update_layout(
        title=None,
        height=min(figure.layout.height, 560),
        margin={"l": 34, "r": 6, "t": 10, "b": 90},
        coloraxis_colorbar=below,
    )
    show_figure(
        figure,
        key="region",
        alt=tr(
            "Map of {place}: {shown}, cell by cell, with the coast, borders and towns. The table "
            "below holds the numbers.",
            place=answer.asked.cells.region.name,
            # Some languages write their nouns large.
            shown=chosen.lower() if tr(chosen) == chosen else tr(chosen),
        ),
    )
    target = percent(answer.asked.vans[0].stay.target_chance)
    st.caption(f"{tr(MAP_CAUTION)} {tr('Target chance: {chance}.', chance=target)}")
    _take_along(answer)
    if answer.notes:
        with st.expander(tr("Taken as given")):
            st.markdown("".join(f"- {told(note)}\n" for note in answer.notes))


def _take_along(answer: RegionAnswer) -> None:
    frame = region_frame(answer)
    show_table(
        "Cells as a table",
        {
            "latitude": frame["latitude_deg"].tolist(),
            "longitude": frame["longitude_deg"].tolist(),
            "town": frame["town"].tolist(),
            "height, m": frame["elevation_m"].round().tolist(),
            "P10 days": frame["p10_days"].round(1).tolist(),
            "P50 days": frame["p50_days"].round(1).tolist(),
            "chance, %": (100.0 * frame["chance_lasts_share"]).round(1).tolist(),
            "bank units": frame["bank_units"]
            .astype(object)
            .where(frame["bank_units"].notna(), None)
            .tolist(),
        },
    )
    left, right = st.columns(2)
    stem = f"{answer.asked.van_names[0]} {answer.asked.cells.region.name}"
    table, shapes = tr("The cells, as CSV"), tr("The cells, as GeoJSON")
    for spot, label, content, ending, kind in (
        (left, table, csv_bytes(answer), ".csv", "text/csv"),
        (right, shapes, geojson_bytes(answer), ".geojson", "application/geo+json"),
    ):
        spot.download_button(
            label,
            content,
            file_name=file_name(stem, "map", ending),
            mime=kind,
            on_click="ignore",
        )
