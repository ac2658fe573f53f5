"""One bank through several stops."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from typing import Any, cast

import streamlit as st
import tomli_w

from solarsim.answers.trip.changes import TripChange
from solarsim.answers.trip.trip import TripAnswer
from solarsim.app import state
from solarsim.app.answering import trip_answer
from solarsim.app.draft import Draft
from solarsim.app.pictures import page_palette, show_figure, show_sideways, show_table
from solarsim.app.plain import one_line, plain
from solarsim.app.translate import tr, tr_count
from solarsim.app.units.chosen import digits, heading, told, units
from solarsim.app.uploads.upload import read_upload
from solarsim.app.views.save import file_name
from solarsim.app.views.stay import fuel_line
from solarsim.app.widgets.stop_table import (
    COLUMNS,
    Row,
    rows_of,
    stop_frame,
    trip_of_rows,
    typed_rows,
)
from solarsim.app.widgets.widgets import word
from solarsim.app.worded import worded
from solarsim.errors import InputError
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.trip import DEFAULT_TRIP, read_trip, trip_of_file
from solarsim.inputs.percent import chance_text, percent
from solarsim.inputs.trip import Trip
from solarsim.power.design import design_of
from solarsim.present.stay.fuel import NO_FUEL, fuel_lines
from solarsim.present.trip.charts import trip_figure
from solarsim.present.trip.documents import csv_bytes
from solarsim.present.trip.words import (
    change_text,
    fails_text,
    picture_words,
    safe_trip_text,
    short_name,
)

__all__ = ["asked_trip", "show"]

_TABLE = "trip_table"
_MAX_BYTES = 1_000_000
# Beside the place, which stays in sight, a phone has room for two.
_WIDTHS = {"place": 124, "arrives": 100, "nights": 66}
_FIGURE = re.compile(r"[+-]?\d[\d,]*(\.\d+)?")
_PARKING = ("", "open field", "scattered trees", "forest edge", "street canyon")


@dataclasses.dataclass(frozen=True)
class _Table:
    """What a session holds: the rows, a number that changes with them, and what was asked."""

    name: str
    rows: tuple[Row, ...]
    turn: int = 0
    asked: Trip | None = None
    fault: str = ""


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("A trip of several stops"), anchor=False)
    st.markdown(
        tr(
            "One bank through all of them, each stop with its own weather. The van and its "
            "people are those of the inputs; place, dates and weather file there play no part."
        )
    )
    table = _table()
    _ask_for_stops(table)
    if table.fault:
        st.error(told(table.fault))
    if table.asked is None:
        return
    with st.spinner(tr("Driving the trip")):
        answer = trip_answer(design, table.asked)
    _show_answer(answer)
    _take_along(answer, table.asked)


def asked_trip() -> Trip | None:
    """Return the trip that was last asked about; None where none was."""
    return _table().asked


def _table() -> _Table:
    if _TABLE not in st.session_state:
        shipped = read_trip(str(shipped_folder("trips") / f"{DEFAULT_TRIP}.toml"))
        st.session_state[_TABLE] = _Table(shipped.name, rows_of(shipped, units()))
    return cast("_Table", st.session_state[_TABLE])


def _ask_for_stops(table: _Table) -> None:
    upload = f"trip_upload_{table.turn}"
    st.file_uploader(
        tr("A trip's TOML file or a CSV of stops, up to 1 MB"),
        type=["toml", "csv"],
        max_upload_size=1,
        key=upload,
        on_change=_take_file,
        args=(upload,),
        help=tr(
            "A CSV has a row for each stop, under headings place, arrive, nights, drive_h, "
            "plugged_nights, parking, brush_snow, people."
        ),
    )
    show_sideways()
    key = f"trip_stops_{table.turn}"
    with st.form(f"trip_form_{table.turn}", border=False):
        st.data_editor(
            stop_frame(table.rows),
            key=key,
            hide_index=True,
            num_rows="dynamic",
            column_order=COLUMNS,
            placeholder="",
            alt=tr("The stops of the trip, one a row."),
            column_config=_columns(),
        )
        st.form_submit_button(tr("Ask for this trip"), on_click=_take_table, args=(key,))
    st.caption(
        tr(
            "Each stop begins at 17:00 by its own clock; hours driven come right before it. The "
            "first stop needs its day, the last its nights; between them either will do. The "
            "address holds the van and its people alone, for a trip would make it too long to "
            "send: it stays here until the page is loaded anew; take it along as TOML, below its "
            "answer."
        )
    )


def _columns() -> dict[str, Any]:
    hints = {
        "place": tr("A town, or latitude and longitude."),
        "arrives": tr("Such as 2026-03-14."),
        "nights": tr("Nights there."),
        "driven, h": tr("Hours driven right before the arrival."),
        "people": tr("How many are aboard; empty for those of the inputs."),
        "nights on shore": tr("Of its nights, how many are on shore power."),
    }
    columns: dict[str, Any] = {
        name: st.column_config.TextColumn(
            heading(name),
            help=hint,
            max_chars=200,
            pinned=name == "place",
            width=_WIDTHS.get(name),
        )
        for name, hint in hints.items()
    }
    columns["parking"] = st.column_config.SelectboxColumn(
        tr("parking"),
        options=_PARKING,
        format_func=word,
        help=tr("What stands around; empty for what the inputs say."),
    )
    return columns


def _take_table(key: str) -> None:
    """Ask for what stands in the table; what cannot be stays there as it was typed."""
    table = _table()
    rows = typed_rows(table.rows, st.session_state[key])
    try:
        asked, fault = trip_of_rows(rows, table.name, units()), ""
    except InputError as error:
        asked, fault = None, str(error)
    st.session_state[_TABLE] = _Table(table.name, rows, table.turn + 1, asked, fault)


def _take_file(key: str) -> None:
    given = st.session_state[key]
    if given is None:
        return
    name = one_line(given.name)
    if given.size > _MAX_BYTES:
        state.say(tr("{name}: is larger than 1 MB", name=name), refused=True)
        return
    try:
        found = read_upload(lambda path: trip_of_file(path, name=name), name, given.getvalue())
    except InputError as error:
        state.say(str(error), refused=True)
        return
    turn = _table().turn + 1
    st.session_state[_TABLE] = _Table(found.name, rows_of(found, units()), turn, found)


def _show_answer(answer: TripAnswer) -> None:
    st.header(
        tr_count(
            "{chance} to get through {number} stop",
            "{chance} to get through {number} stops",
            len(answer.stops),
            chance=worded(chance_text(answer.chance_lasts)),
        ),
        anchor=False,
    )
    if answer.medical is not None:
        st.markdown(f"**{told(safe_trip_text(answer).strip())}**")
    st.markdown(
        f"{_fails(answer)} "
        + tr(
            "Days of use lost: {lost} of {number} days.",
            lost=digits(f"{answer.lost_days:.1f}"),
            number=answer.nights,
        )
    )
    figure = trip_figure(answer, page_palette(), towns=False)
    for one in figure.layout.annotations:
        if one.text.startswith("cut-off"):
            floor = percent(design_of(answer.question.van).floor_soc)
            one.text = tr("cut-off at {share}, sooner in the cold", share=floor)
    figure.update_xaxes(title_font={"size": 13})
    figure.update_yaxes(title_font={"size": 13})
    figure.update_layout(height=560, margin={"l": 46, "r": 8, "t": 40, "b": 90})
    show_figure(figure, key="trip", alt=tr(picture_words(answer)))
    if answer.fuel is not None:
        lines = fuel_lines(answer.fuel, whole="trip")
        st.markdown("  \n".join(map(fuel_line, lines)))
    helpful = answer.most_helpful
    if helpful:
        st.markdown(tr("**What helps most**, each by itself on the same weather:"))
        st.markdown(
            "".join(f"- {plain(_with_figure(one.name))}: {_gain(one)}\n" for one in helpful)
        )
    show_table("Stops as a table", _stops_columns(answer))
    show_table("Energy by stop as a table", _energy_columns(answer))
    tried = [one for one in answer.changes if one.skipped is None]
    show_table(
        "Changes as a table",
        {
            "change": [_with_figure(one.name) for one in tried],
            "check": [tr("STOP" if one.warnings else "ok") for one in tried],
            "points of chance": [round(100.0 * one.chance_gained, 1) for one in tried],
            "standard error": [round(100.0 * one.standard_error_chance, 1) for one in tried],
            "days of use": [round(one.gained_days, 2) for one in tried],
            "left in the bank, Wh": [round(one.reserve_gained_wh) for one in tried],
        },
    )
    if answer.warnings:
        st.warning("\n\n".join(plain(worded(line)) for line in answer.warnings))
    fuel_notes = (NO_FUEL,) if answer.fuel is None else answer.fuel.notes
    with st.expander(tr("Taken as given")):
        st.markdown("".join(f"- {plain(worded(note))}\n" for note in answer.notes + fuel_notes))


def _fails(answer: TripAnswer) -> str:
    """At which stop the bank runs out most often, as `fails_text` says it, in their language."""
    weakest = answer.weakest_stop
    if weakest is None:
        return plain(tr(fails_text(answer)))
    said = tr(
        "The bank runs out first most often at stop {number}, {place}: in {chance} of the runs.",
        number=weakest.number,
        place=weakest.place.name,
        chance=worded(chance_text(weakest.fail_chance)),
    )
    return plain(said)


def _gain(change: TripChange) -> str:
    return ", ".join(map(_with_figure, change_text(change).split(", ")))


def _with_figure(text: str) -> str:
    """Words around one figure in the visitor's language, as the catalogue has them."""
    figure = _FIGURE.search(text)
    if figure is None:
        return tr(text)
    # Not formatted: a name in it may hold braces of its own.
    said = tr(_FIGURE.sub("{number}", text, count=1))
    return said.replace("{number}", digits(figure[0]))


def _stops_columns(answer: TripAnswer) -> dict[str, Sequence[Any]]:
    stops = answer.stops
    rare = {}
    if answer.medical is not None:
        rare = {
            label: [
                None if soc.p1 is None else round(100.0 * soc.p1)
                for soc in (getattr(stop, name) for stop in stops)
            ]
            for label, name in (
                (tr("charge there, P1 %"), "soc_arrival"),
                (tr("lowest, P1 %"), "soc_lowest"),
            )
        }
    return {
        tr("stop"): [short_name(stop) for stop in stops],
        tr("arrives"): [stop.arrives.replace("T", " ") for stop in stops],
        tr("nights"): [stop.nights for stop in stops],
        **rare,
        tr("charge there, P10 %"): [round(100.0 * stop.soc_arrival.p10) for stop in stops],
        tr("P50 %"): [round(100.0 * stop.soc_arrival.p50) for stop in stops],
        tr("lowest, P10 %"): [round(100.0 * stop.soc_lowest.p10) for stop in stops],
        tr("lowest, P50 %"): [round(100.0 * stop.soc_lowest.p50) for stop in stops],
        tr("fails first here, %"): [round(100.0 * stop.fail_chance, 1) for stop in stops],
        tr("days lost"): [round(stop.lost_days, 2) for stop in stops],
        tr("air, °C"): [round(stop.temp_air_c, 1) for stop in stops],
        tr("light, kWh/m² a day"): [round(stop.ghi_kwh_m2_day, 2) for stop in stops],
        **{
            f"{tr(one.kind)}, P90 {one.unit}": [round(stop.fuel[one.kind].p90, 2) for stop in stops]
            for one in (() if answer.fuel is None else answer.fuel.fuels)
        },
    }


def _energy_columns(answer: TripAnswer) -> dict[str, Sequence[Any]]:
    ledgers = [*(stop.ledger_wh for stop in answer.stops), answer.ledger_wh]
    terms = {
        tr("sun, Wh"): ("solar_used",),
        tr("alternator, Wh"): ("alternator",),
        tr("shore, Wh"): ("shore",),
        **({tr("generator, Wh"): ("generator",)} if "generator" in answer.ledger_wh else {}),
        tr("loads, Wh"): ("load_dc", "load_ac"),
        tr("losses, Wh"): ("inverter_loss", "battery_loss"),
        tr("to the bank, Wh"): ("stored_change",),
        tr("not served, Wh"): ("unserved",),
    }
    return {
        tr("stop"): [*(short_name(stop) for stop in answer.stops), tr("in all")],
        **{
            name: [round(sum(wh[term] for term in parts)) for wh in ledgers]
            for name, parts in terms.items()
        },
    }


def _take_along(answer: TripAnswer, asked: Trip) -> None:
    left, middle, right = st.columns(3)
    stem = asked.name
    left.download_button(
        tr("The trip, as TOML"),
        tomli_w.dumps(asked.model_dump(exclude_unset=True, exclude_none=True)),
        file_name=file_name(stem, "trip"),
        mime="application/toml",
        on_click="ignore",
    )
    middle.download_button(
        tr("The stops, as CSV"),
        csv_bytes(answer),
        file_name=file_name(stem, "trip", ".csv"),
        mime="text/csv",
        on_click="ignore",
    )
    right.download_button(
        tr("The answer, as JSON"),
        answer.to_json(),
        file_name=file_name(stem, "trip", ".json"),
        mime="application/json",
        on_click="ignore",
    )
