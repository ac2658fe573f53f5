"""Two lists of changes: what a builder can build before what people do without."""

from __future__ import annotations

import pytest

from solarsim.answers.cautions import checked_of
from solarsim.answers.lever_changes import Skip, lever_changes
from solarsim.answers.levers import levers
from solarsim.answers.question import ask
from solarsim.electrical.check import check_van

RUNS = 20


@pytest.fixture(scope="module")
def answers():
    return {
        "winter": levers(ask(month=2, runs=RUNS)),
        "south": levers(ask(place="Punta Arenas", month=7, runs=RUNS)),
        "summer": levers(ask(month=6, runs=RUNS)),
    }


@pytest.mark.parametrize("name", ["winter", "south", "summer"])
def test_what_is_built_comes_first_what_is_stopped_later_and_the_most_gained_first(answers, name):
    answer = answers[name]
    applied = [lever for lever in answer.levers if lever.skipped is None]
    assert tuple(applied) == answer.levers[: len(applied)]
    assert tuple(applied) == (*answer.of_kind("build"), *answer.of_kind("live"))
    for kind in ("build", "live"):
        found = answer.of_kind(kind)
        parts = [(lever.stopped, lever.needed) for lever in found]
        assert parts == sorted(parts)
        for part in set(parts):
            same = [one for one in found if (one.stopped, one.needed) == part]
            by_days = answer.ranked_by == "days"
            gained = [one.days_gained if by_days else one.reserve_gained_wh for one in same]
            assert gained == sorted(gained, reverse=True)


@pytest.mark.parametrize("name", ["winter", "south"])
def test_the_heater_stays_in_the_cold_and_the_fridge_goes_last(answers, name):
    answer = answers[name]
    assert answer.conditions.temp_air_c < 10.0
    heaters = {
        f"without: {one.name}"
        for one in answer.question.profile.appliances
        if one.response == "heater"
    }
    assert heaters
    for lever in answer.levers:
        if lever.name in heaters:
            assert "nobody lives without it" in lever.skipped
    passing = [lever for lever in answer.of_kind("live") if not lever.stopped]
    fridge = next(lever for lever in passing if "fridge" in lever.name)
    assert fridge.needed
    assert all(lever.needed for lever in passing[passing.index(fridge) :])
    # It would gain more than what stands before it: the order is not that of the days.
    assert fridge.days_gained > passing[1].days_gained


def test_only_appliances_of_the_people_are_left_at_home(answers):
    for answer in answers.values():
        names = {one.name for one in answer.question.profile.appliances}
        without = [lever for lever in answer.levers if lever.name.startswith("without: ")]
        assert {lever.name.removeprefix("without: ") for lever in without} <= names


def test_changes_that_the_electrical_check_does_not_look_at_leave_it_as_it_is():
    """What is left out of the check of a change could not have found anything else."""
    question = ask(month=1, settings=["panels.soiling_share=0.06"])
    before = check_van(question.van, question.profile, question.place, climate=question.climate)
    left_out = []
    for name, change in lever_changes(question.van):
        after = change(question)
        if isinstance(after, Skip) or checked_of(after) != checked_of(question):
            continue
        left_out.append(name)
        check = check_van(after.van, after.profile, after.place, climate=after.climate)
        assert check.findings == before.findings, name
    assert left_out == [
        "snow left on the panels",
        "parked among scattered trees",
        "parked at a forest's edge",
        "panels washed",
        "heater 2 C lower",
        "heater 2 C higher",
        "arriving at 80 %",
    ]
