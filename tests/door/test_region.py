"""`solarsim.region`: what it takes, and what a van by itself is asked with."""

from __future__ import annotations

import numpy as np
import pytest

import solarsim

BOX = (47, 12.0, np.float64(48), 14)


@pytest.fixture(scope="module")
def answer():
    return solarsim.region("weekender", BOX, step_deg=1.0, days=2, months=[np.int64(1), 7])


def test_a_van_by_itself_is_asked_with_a_map_s_runs_and_days(answer):
    first = answer.asked.questions[0][0]
    assert (first.runs, answer.asked.follow_days) == (200, 14)
    assert answer.asked.months == (1, 7)


def test_what_is_given_counts():
    given = solarsim.region("weekender", BOX, step_deg=1.0, days=1, runs=3, follow_days=5)
    assert (given.asked.questions[0][0].runs, given.asked.follow_days) == (3, 5)
    question = solarsim.ask("weekender", runs=4, days=1)
    assert solarsim.region(question, "47, 12, 48, 14", step_deg=1.0).asked.follow_days == 30


def test_the_table_has_a_row_a_month_and_cell_with_its_position(answer):
    table = answer.frame()
    assert len(table) == 4
    assert table["latitude_deg"].between(47, 48).all()
    assert table["longitude_deg"].between(12, 14).all()
    assert set(table["month"]) == {1, 7}


def test_the_map_is_a_figure(answer):
    assert any(trace.type == "heatmap" for trace in answer.plot().data)


def test_the_keywords_of_a_folder_and_of_progress_work(tmp_path):
    told = []
    asked = {"step_deg": 1.0, "days": 1, "runs": 3, "keep": tmp_path / "kept"}
    first = solarsim.region("weekender", BOX, progress=lambda *done: told.append(done), **asked)
    again = solarsim.region("weekender", BOX, **asked)
    assert told == [(2, 2)]
    assert again.figures == first.figures
    assert len(list((tmp_path / "kept").iterdir())) == 1


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"region": (47, 12, 48)}, "got 3 numbers; must be south, west, north and east"),
        ({"region": None}, "region: got None"),
        ({"region": "Germnay"}, r"'DE' \(Germany\)"),
        ({"region": ""}, "give a country or area"),
        ({"region": "ES", "beside": "long-stayer"}, "beside: got 'long-stayer'; must be a list"),
        ({"region": "ES", "months": 1}, "months: got 1; must be a list"),
        ({"region": "ES", "months": [13]}, "months: got 13"),
        ({"region": "ES", "workers": 0}, "workers: got 0"),
        ({"region": "ES", "scheduler": 1}, "scheduler: got 1"),
        ({"region": "ES", "keep": 1}, "keep: got 1"),
        ({"region": "ES", "progress": 1}, "progress: got 1"),
        ({"region": "ES", "step_deg": float("nan")}, "step: got nan"),
        ({"region": "ES", "mnth": 1}, "mnth: unknown keyword; did you mean 'month'"),
    ],
)
def test_what_cannot_be_given_is_refused(given, told):
    with pytest.raises(solarsim.InputError, match=told):
        solarsim.region("weekender", **given)
