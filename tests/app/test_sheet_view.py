"""The sheet's view: what it asks for, what it gives, and what it refuses in place."""

from __future__ import annotations

import pytest

from tests.app.conftest import other_runs


def make(page):
    next(button for button in page.button if button.label == "Make the sheet").click()
    page.run()
    assert not page.exception
    return page


def downloads(page):
    return [one.proto.label for one in page.get("download_button")]


@pytest.fixture
def four_runs():
    with other_runs(4):
        yield


@pytest.mark.slow
def test_nothing_is_made_before_it_is_asked_for(app, visit, four_runs):
    page = visit(app, "Sheet")
    assert downloads(page) == []
    make(page)
    assert downloads(page) == [
        "The sheet, as PDF",
        "The sheet, as HTML",
        "A square card",
        "A tall card",
    ]
    for one, most in zip(page.code, (60, 300, 1200), strict=True):
        assert len(one.value) <= most
    # Another van needs another sheet.
    page.session_state["design"] = type(page.session_state["design"])(
        van=page.session_state["design"].van.model_copy(update={"inverter": None}),
        profile=page.session_state["design"].profile,
    )
    page.run()
    assert downloads(page) == []
    assert any("make the sheet again" in info.value for info in page.info)


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("places", "words"),
    [("Nowhere at all", "Nowhere"), ("Oslo, NO\n" * 4, "4 beside"), ("Salzburg, AT", "twice")],
)
def test_a_place_that_cannot_be_is_refused_in_place(app, visit, four_runs, places, words):
    page = visit(app, "Sheet")
    page.text_area(key="sheet_regions").set_value(places)
    make(page)
    assert any(words in error.value for error in page.error)
    assert downloads(page) == []


@pytest.mark.slow
def test_a_photo_that_is_none_is_refused_in_place(app, visit, four_runs):
    page = visit(app, "Sheet")
    page.file_uploader(key="sheet_photo").set_value(("van.png", b"no picture", "image/png"))
    make(page)
    assert any("no JPEG, PNG or WebP" in error.value for error in page.error)
    assert downloads(page) == []


@pytest.mark.slow
def test_the_map_and_the_trip_stand_on_the_sheet_where_they_are_asked_for(app, visit, four_runs):
    page = visit(app, "Trip")
    next(button for button in page.button if button.label == "Ask for this trip").click()
    page.run()
    page = visit(page, "Sheet")
    page.checkbox(key="sheet_trip").check()
    page.text_input(key="sheet_map").set_value("LI")
    make(page)
    made = page.session_state["sheet_made"]
    assert made.map_of == "LI"
    assert len(made.stops.stops) == 9
    assert not page.error
    page.text_input(key="sheet_map").set_value("Atlantis")
    make(page)
    assert any("no such country" in error.value for error in page.error)
