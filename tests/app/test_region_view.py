"""The map's view: asked by a button, bounded, and what it refuses."""

from __future__ import annotations

import html

import pytest

from solarsim.app.views.region import _country_of
from tests.app.conftest import tables


def click(page, where=None, step_deg=None):
    if where is not None:
        next(one for one in page.text_input if one.label == "Country, area or box").set_value(where)
    if step_deg is not None:
        next(one for one in page.selectbox if one.label.startswith("Side")).set_value(step_deg)
    next(one for one in page.button if one.label == "Draw the map").click()
    page.run()
    assert not page.exception
    return page


def texts(page):
    found = " ".join(one.value for one in (*page.markdown, *page.caption, *page.error))
    return html.unescape(found)


@pytest.mark.slow
def test_nothing_is_asked_before_the_button(app, visit):
    page = visit(app, "Map")
    assert not page.get("plotly_chart")
    assert "on the cell's own climate" in texts(page)


@pytest.mark.slow
def test_the_button_draws_the_land(app, visit):
    page = click(visit(app, "Map"), "47, 12, 48, 14", 1.0)
    assert len(page.get("plotly_chart")) == 1
    assert "47 N to 48 N, 12 E to 14 E: the van 'Weekender' lasts" in texts(page)
    assert "Expected, not guaranteed" in texts(page)
    assert len(tables(page)[-1]["latitude"]) == 2
    shown = next(one for one in page.selectbox if one.label == "What the map shows")
    shown.set_value("Bank that would hold").run()
    assert not page.exception
    assert len(page.get("plotly_chart")) == 1


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("where", "step_deg", "told"),
    [
        ("Germnay", 1.0, "'DE' (Germany)"),
        ("ES", 0.25, "the app answers up to 150"),
        ("30, 0, 20, 10", 1.0, "south must be below north"),
        ("", 1.0, "give a country or area"),
    ],
)
def test_what_cannot_be_is_refused_in_place(app, visit, where, step_deg, told):
    page = click(visit(app, "Map"), where, step_deg)
    assert told in html.unescape(page.error[0].value)
    assert not page.get("plotly_chart")


@pytest.mark.parametrize(
    ("place", "code"), [("Salzburg, AT", "AT"), ("Portland, OR, US", "US"), ("47.8, 13.0", "ES")]
)
def test_the_land_begins_with_the_stay_s_country(place, code):
    assert _country_of(place) == code
