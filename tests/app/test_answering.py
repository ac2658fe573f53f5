"""How many runs the app asks for."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.answers.question import DEFAULT_RUNS
from solarsim.app import answering
from solarsim.app.draft import example
from tests.app.conftest import other_runs


# 700 runs of a usual stay, 30 days, are 21,000 days: 175 runs of 120 days take as long.
@pytest.mark.parametrize(("days", "runs"), [(7, 700), (30, 700), (60, 350), (120, 175)])
def test_a_stay_of_months_takes_as_long_as_a_usual_one(monkeypatch, days, runs):
    monkeypatch.setattr(answering, "stay", lambda question: question.runs)
    own = example()
    stay = own.van.stay.model_copy(update={"days": days})
    draft = dataclasses.replace(own, van=own.van.model_copy(update={"stay": stay}))
    with other_runs(DEFAULT_RUNS):
        assert answering.stay_answer(draft) == runs
