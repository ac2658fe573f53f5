"""A cell of the heat map is picked by a click; the present design and the picked one are marked."""

from __future__ import annotations

import dataclasses
import json
from types import SimpleNamespace

import pytest

from solarsim.app.answering import tune_answer
from solarsim.app.draft import example
from solarsim.app.views import tune


@pytest.fixture
def page(app, visit):
    return visit(app, "Tune")


def cell_outlines(page):
    """Cells that are outlined in black, with the dash of the line."""
    figure = json.loads(page.get("plotly_chart")[0].proto.spec)
    return {
        (round((one["x0"] + one["x1"]) / 2), round((one["y0"] + one["y1"]) / 2)): one["line"][
            "dash"
        ]
        for one in figure["layout"]["shapes"]
        if one["line"]["color"] == "black"
    }


def test_a_click_picks_a_cell(page):
    first = (page.selectbox(key="tune_panels").value, page.selectbox(key="tune_units").value)
    # Two panels and two units stand in the third column and the second row.
    assert cell_outlines(page)[(2, 1)] == "dot"
    assert "solid" in cell_outlines(page).values()
    assert first != (3, 3)
    chosen = SimpleNamespace(selection=SimpleNamespace(points=[{"x": "3", "y": "3"}]))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tune.st, "session_state", {"tune": chosen})
        tune._pick_clicked()
        held = dict(tune.st.session_state)
    assert (held["tune_panels"], held["tune_units"]) == (3, 3)
    page.session_state["tune_panels"] = page.session_state["tune_units"] = 3
    page.run()
    assert not page.exception
    assert cell_outlines(page)[(3, 2)] == "solid"
    assert any("3 panels and 3 units" in one.label for one in page.button)


def test_a_click_beside_all_cells_changes_nothing():
    with pytest.MonkeyPatch.context() as patch:
        nothing = SimpleNamespace(selection=SimpleNamespace(points=[]))
        patch.setattr(tune.st, "session_state", {"tune": nothing})
        tune._pick_clicked()
        assert set(tune.st.session_state) == {"tune"}


def test_a_cell_that_is_there_no_more_gives_way_to_the_choice():
    answer = tune_answer(example())
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tune.st, "session_state", {"tune_panels": 1, "tune_units": 99})
        picked = tune._picked(answer, [0, 1, 2, 3], [1, 2, 3, 4, 5])
    assert picked.panels == 1
    assert picked.units == answer.choice.units


def test_a_choice_past_the_banks_that_last_is_picked_at_first(visit, app, monkeypatch):
    # A smaller bank lasts here and is passed over for its currents.
    answer = tune_answer(example())
    most = max(answer.designs, key=lambda one: (one.units, one.panels))
    far = dataclasses.replace(answer, choice=most)
    monkeypatch.setattr(tune, "tune_answer", lambda _design: far)
    page = visit(app, "Tune")
    assert not page.exception
    assert page.selectbox(key="tune_units").value == most.units
    assert cell_outlines(page)[(most.panels, most.units - 1)] == "solid"
