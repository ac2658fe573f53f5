"""The buyer's sheet: chosen, looked at, taken away."""

from __future__ import annotations

import base64
import dataclasses
import datetime as dt
import html
from typing import Any, cast

import streamlit as st

from solarsim.answers.many_places import MAX_PLACES
from solarsim.app.answering import sheet_answer, stay_answer
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import big_days
from solarsim.app.plain import one_line, plain
from solarsim.app.translate import ENGLISH, catalogue, tr, tr_line
from solarsim.app.units.chosen import digits, told, units
from solarsim.app.views.save import file_name
from solarsim.app.views.trip import asked_trip
from solarsim.app.widgets.widgets import month
from solarsim.errors import InputError
from solarsim.inputs.trip import Trip
from solarsim.present.sheet.annex_page import unreviewed
from solarsim.present.sheet.document import in_language, sheet_document
from solarsim.present.sheet.forms import language_name
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.photo import Photo, take_photo
from solarsim.present.sheet.texts import Units, languages, load_texts
from solarsim.present.sheet.typeset import Form, Paper

__all__ = ["show"]

_PAPERS: dict[str, Paper] = {"A4": "a4", "Letter": "letter"}
_UNITS: dict[str, Units] = {"Metric first": "metric", "US first": "us"}
_MADE = "sheet_made"


@dataclasses.dataclass(frozen=True)
class _Wish:
    """What was asked for when the sheet was made."""

    design: Draft
    regions: tuple[str, ...]
    own_people: bool
    annex: bool
    map_of: str | None
    stops: Trip | None
    paper: Paper
    units: Units
    language: str
    photo: Photo | None
    date: dt.date


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("The buyer's sheet"), anchor=False)
    st.markdown(
        tr(
            "One page for the listing and the glovebox: days off grid by season, what runs, what "
            "recharges, the roof, and how to last longer."
        )
    )
    wish = _wish(design)
    if wish is not None:
        st.session_state[_MADE] = wish
    made = cast("_Wish | None", st.session_state.get(_MADE))
    if made is None:
        return
    if made.design != design:
        st.info(tr("The van, its people or the place have changed since: make the sheet again."))
        return
    with st.spinner(tr("Asking for every season and way of living")):
        answer = sheet_answer(
            made.design, made.regions, made.own_people, made.annex, made.map_of, made.stops
        )
    _give(sheet_document(answer, date=made.date), made)


def _wish(design: Draft) -> _Wish | None:
    """Return what the form asks for once it is sent, or None; says what is wrong with it."""
    with st.form("sheet_form"):
        regions = st.text_area(
            tr("More places, up to {number}, one a line", number=MAX_PLACES - 1),
            key="sheet_regions",
            persist_state="session",
            max_chars=400,
            placeholder="Bergen, NO\nAlmeria, ES",
            height=110,
        )
        own_people = st.checkbox(
            tr("These people are the typical use"),
            value=True,
            key="sheet_own_people",
            help=tr("Otherwise the shipped typical use takes their place, and the page says so."),
            persist_state="session",
        )
        annex = st.checkbox(
            tr("Add the builder's pages"), key="sheet_annex", persist_state="session"
        )
        map_of, stops = _trip_and_map()
        tongues = sorted(languages(), key=_named)
        language = st.selectbox(
            tr("Language"),
            tongues,
            index=tongues.index("en"),
            format_func=_named,
            key="sheet_language",
            persist_state="session",
        )
        paper, first = _paper_and_units()
        picture = st.file_uploader(
            tr("A photo of the van, up to 5 MB"),
            type=["jpg", "jpeg", "png", "webp"],
            key="sheet_photo",
        )
        sent = st.form_submit_button(tr("Make the sheet"))
    if not sent:
        return None
    try:
        photo = None
        if picture is not None:
            photo = take_photo(picture.getvalue(), source=one_line(picture.name))
        places = tuple(line.strip() for line in regions.splitlines() if line.strip())
        return _Wish(
            design=design,
            regions=places,
            own_people=own_people,
            annex=annex,
            map_of=map_of,
            stops=stops,
            paper=paper,
            units=first,
            language=language,
            photo=photo,
            date=dt.datetime.now().astimezone().date(),
        )
    except InputError as error:
        st.error(told(str(error)))
        return None


def _named(language: str) -> str:
    """A language in English, or in itself for those who read another."""
    return language_name(load_texts(language), own=catalogue()["language"] != ENGLISH)


def _paper_and_units() -> tuple[Paper, Units]:
    """Ask for the paper, and which units lead: at first those of the page."""
    left, right = st.columns(2)
    paper = left.selectbox(tr("Paper"), list(_PAPERS), key="sheet_paper", persist_state="session")
    first = right.selectbox(
        tr("Units"),
        list(_UNITS),
        index=int(units().feet),
        format_func=tr,
        key="sheet_units",
        persist_state="session",
    )
    return _PAPERS[paper], _UNITS[first]


def _trip_and_map() -> tuple[str | None, Trip | None]:
    """Ask whose map, and whether the trip of the other view, stand on the sheet."""
    trip = asked_trip()
    along = st.checkbox(
        tr("Add the trip asked about under Trip"),
        key="sheet_trip",
        disabled=trip is None,
        help=tr("With typical use: whether the van gets through, and its bank along the way."),
    )
    map_of = st.text_input(
        tr("A map of this country, area or box in its winter, on a second page"),
        key="sheet_map",
        persist_state="session",
        max_chars=80,
        placeholder="ES",
        help=tr("As under Region; left empty, there is none. It takes some seconds more."),
    )
    return map_of.strip() or None, trip if along else None


def _why(made: _Wish) -> str:
    """Say how the sheet's figures stand to the answer's own."""
    answer, who = stay_answer(made.design), made.design.profile.profile.name
    if made.own_people:
        people = tr("{name} as the typical use", name=plain(tr_line(who) or who))
    else:
        people = tr("the shipped typical use, not the people aboard")
    half = big_days(answer.days.p50, answer.days.follow_days)
    return tr(
        "As many runs of the same weather as the answer. The answer's own stay begins on {day} "
        "{month} and lasts {days} days in half of the runs; the sheet asks for each season's "
        "middle month, with {people}.",
        day=f"{answer.dates.start:%d}",
        month=month(answer.dates.start.month),
        days=half,
        people=people,
    )


@st.cache_data(max_entries=32, show_spinner=False)
def _content(
    document: dict[str, Any],
    suffix: str,
    form: Form,
    paper: Paper,
    units: Units,
    language: str,
    photo: Photo | None,
) -> bytes:
    return sheet_bytes(
        document, suffix, units=units, paper=paper, form=form, photo=photo, language=language
    )


def _give(document: dict[str, Any], made: _Wish) -> None:
    def content(suffix: str, form: Form = "page") -> bytes:
        return _content(document, suffix, form, made.paper, made.units, made.language, made.photo)

    for warning in [*document["warnings"], *unreviewed(made.language)]:
        st.warning(tr("Before this sheet is handed out: {warning}", warning=told(warning)))
    name = made.design.van.van.name
    files = (
        (tr("The sheet, as PDF"), ".pdf", "page", "-sheet.pdf", "application/pdf"),
        (tr("The sheet, as HTML"), ".html", "page", "-sheet.html", "text/html"),
        (tr("A square card"), ".png", "square", "-square.png", "image/png"),
        (tr("A tall card"), ".png", "portrait", "-tall.png", "image/png"),
    )
    spots: list[Any] = []
    for label, suffix, form, ending, mime in files:
        # Row by row, so that one column on a phone keeps their order.
        if not spots:
            spots = list(st.columns(2))
        spots.pop(0).download_button(
            label,
            content(suffix, cast("Form", form)),
            file_name=file_name(name, "van", ending),
            mime=mime,
            on_click="ignore",
            width="stretch",
        )
    with st.expander(tr("Texts for a listing")):
        for length, text in in_language(document, made.language)["listing"].items():
            st.caption(
                tr(
                    "{most} characters at most, {number} here",
                    most=digits(f"{int(length):,}"),
                    number=digits(f"{len(text):,}"),
                )
            )
            st.code(text, language=None, wrap_lines=True)
    # The PDF holds the same as text; this is for the eye.
    alone = document["map"] is None
    page = tr("The page as it prints" if alone else "The first page as it prints")
    about = tr("{page}; the PDF and the HTML hold it as text", page=page)
    data = base64.b64encode(content(".png")).decode()
    st.html(
        f'<img src="data:image/png;base64,{data}" style="width:100%;display:block" '
        f'alt="{html.escape(about)}">'
    )
    st.caption(page)
    st.caption(_why(made))
