"""The trip's view: a table of stops that can be typed over, its answer, and what it refuses."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.answers.question import ask
from solarsim.answers.trip.trip import trip
from solarsim.app.plain import plain
from solarsim.app.views import trip as trip_view
from solarsim.app.widgets.stop_table import rows_of, stop_frame, trip_of_rows, typed_rows
from solarsim.errors import InputError
from solarsim.inputs.files.trip import read_trip
from solarsim.inputs.files.van import read_van
from solarsim.present.trip.words import fails_text
from tests.app.conftest import FEW_RUNS, tables, take
from tests.app.test_page import shown

SHIPPED = read_trip("northern-spring")
NOTHING = {"edited_rows": {}, "added_rows": [], "deleted_rows": []}


def click(page):
    next(one for one in page.button if one.label == "Ask for this trip").click()
    page.run()
    assert not page.exception
    return page


def test_the_rows_of_a_trip_are_the_trip():
    rows = rows_of(SHIPPED)
    assert rows[1]["driven, h"] == "2"
    assert trip_of_rows(rows, SHIPPED.name).stops == SHIPPED.stops
    assert len(stop_frame(rows)) == 9


def test_what_is_typed_into_the_table_counts():
    rows = typed_rows(
        rows_of(SHIPPED),
        {
            "edited_rows": {"1": {"driven, h": "2,5"}, "2": {"nights on shore": "1"}},
            "deleted_rows": [3, 4],
            "added_rows": [{"place": "Lulea, SE", "nights": "2"}, {}],
        },
    )
    found = trip_of_rows(rows, "mine")
    assert [stop.place.split(",")[0] for stop in found.stops[2:4]] == ["Lulea", "Kemi"]
    assert (found.stops[1].drive_h, found.stops[2].plugged_nights) == (2.5, 1)
    assert (len(found.stops), found.stops[-1].nights) == (8, 2)


@pytest.mark.parametrize(
    ("column", "typed", "words"),
    [
        ("nights", "1,5", "the table: stop 2: nights: got 1.5"),
        ("nights", "two", "the table: stop 2: nights: got 'two'"),
        ("arrives", "14.3.2026", "the table: stop 2: arrive: got '14.3.2026'"),
        ("place", "", "the table: stop 2: place: is required"),
        ("arrives", "2026-03-01", "stop 2: arrive: got 2026-03-01; must be after"),
    ],
)
def test_a_cell_that_cannot_be_is_named(column, typed, words):
    rows = typed_rows(rows_of(SHIPPED), NOTHING | {"edited_rows": {1: {column: typed}}})
    with pytest.raises(InputError) as told:
        trip_of_rows(rows, "mine")
    assert words in str(told.value)


@pytest.mark.slow
def test_nothing_is_answered_before_it_is_asked(app, visit):
    page = visit(app, "Trip")
    assert not page.error
    assert "to get through" not in shown(page)


@pytest.mark.slow
def test_the_button_answers_as_the_command_line_does(app, visit):
    page = click(visit(app, "Trip"))
    assert not page.error
    answer = trip(ask(runs=FEW_RUNS), SHIPPED)
    text = shown(page)
    assert plain(fails_text(answer)) in text
    stops, energy, *_ = tables(page)
    assert stops["stop"][4] == "5 Tornio"
    assert energy["sun, Wh"][-1] == f"{round(answer.ledger_wh['solar_used']):,}"
    assert [one.proto.label for one in page.get("download_button")] == [
        "The trip, as TOML",
        "The stops, as CSV",
        "The answer, as JSON",
    ]


@pytest.mark.slow
def test_what_is_burnt_stands_with_the_answer(app, visit):
    page = visit(app, "Trip")
    settings = ["fuel.heat=diesel", "generator.power_w=1000"]
    van = read_van("weekender", settings=settings)
    page.session_state["design"] = dataclasses.replace(page.session_state["design"], van=van)
    text = shown(click(page))
    assert plain("Diesel: nine trips in ten burn no more than") in text
    assert plain("Petrol: ") in text
    stops, energy, *_ = tables(page)
    assert len(stops["diesel, P90 L"]) == len(stops["petrol, P90 L"]) == len(SHIPPED.stops)
    assert "generator, Wh" in energy


@pytest.mark.slow
def test_what_cannot_be_stays_as_typed_and_is_said(app, visit):
    page = visit(app, "Trip")
    page.session_state["typed"] = NOTHING | {"edited_rows": {0: {"nights": "none"}}}
    take(page, trip_view._take_table, "typed")
    page.run()
    assert not page.exception
    assert plain("stop 1: nights: got 'none'") in page.error[0].value
    assert page.session_state["trip_table"].rows[0]["nights"] == "none"


@pytest.mark.slow
def test_an_unknown_town_is_said_with_its_stop(app, visit):
    page = visit(app, "Trip")
    page.session_state["typed"] = NOTHING | {"edited_rows": {2: {"place": "Nowhereville"}}}
    take(page, trip_view._take_table, "typed")
    page.run()
    assert not page.exception
    assert plain("the trip: stop 3: place: got 'Nowhereville'") in page.error[0].value


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("mine.csv", b"place,arrive,nights\nGent,2026-03-14,2\n", ""),
        ("mine.csv", b"town\nGent\n", "mine.csv: line 1: needs a heading 'place'"),
        ("mine.toml", b"[[stops]]\nplace = 3\n", "mine.toml: stop 1: place: got 3"),
    ],
)
def test_a_file_of_stops_can_be_uploaded(app, visit, name, content, words):
    page = visit(app, "Trip")
    page.file_uploader(key="trip_upload_0").set_value((name, content, "text/plain")).run()
    assert not page.exception
    if words:
        assert plain(words) in page.error[0].value
    else:
        assert not page.error
        assert page.session_state["trip_table"].asked.stops[0].place == "Gent"
        assert "to get through 1 stop" in shown(page)


def test_a_change_s_name_may_hold_braces():
    assert trip_view._with_figure("{kettle} 2.5 {oven}") == "{kettle} 2.5 {oven}"
