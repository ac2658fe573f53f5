"""Twelve months of one question: each is that month's own answer, and the worst is named."""

from __future__ import annotations

import dataclasses
import pathlib

import pvlib
import pytest

import solarsim.answers.simulation.run as simulate_module
from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.answers.stay import stay

TMY3 = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
RUNS = 25


@pytest.fixture(scope="module")
def north():
    return seasons(ask(runs=RUNS))


@pytest.fixture(scope="module")
def south():
    return seasons(ask(runs=RUNS, place="Punta Arenas"))


@pytest.mark.slow
def test_twelve_months_in_order(north):
    assert [month.month for month in north.months] == list(range(1, 13))


@pytest.mark.parametrize("month", [1, 4, 7, 11])
def test_each_month_is_that_month_s_answer(north, month):
    """Whatever month the question itself is about."""
    alone = stay(ask(runs=RUNS, month=month))
    row = north.months[month - 1]
    assert row.days == alone.days
    assert row.chance_lasts == alone.chance_lasts
    assert row.ghi_kwh_m2_day == alone.conditions.ghi_kwh_m2_day
    assert row.temp_air_c == alone.conditions.temp_air_c
    assert row.demand_wh_per_day == sum(alone.conditions.demand_wh_per_day.values())


@pytest.mark.slow
def test_the_question_s_own_month_and_first_day_play_no_part(north, flat):
    for asked in ({"month": 8}, {"settings": ["stay.start=2026-08-20"]}):
        got = seasons(ask(runs=RUNS, **asked))
        # A first day that is given is told of.
        told = [note for note in got.notes if "2026-08-20, plays no part" in note]
        assert len(told) == ("settings" in asked)
        kept = tuple(note for note in got.notes if note not in told)
        assert flat(dataclasses.replace(got, notes=kept)) == flat(north)


def test_a_month_replaces_a_given_first_day():
    question = ask(runs=1, settings=["stay.start=2026-08-20"]).replace(month=3)
    assert (question.van.stay.month, question.van.stay.start) == (3, None)


@pytest.mark.parametrize("name", ["north", "south"])
def test_no_month_is_worse_than_the_worst(name, request):
    answer = request.getfixturevalue(name)
    worst = answer.months[answer.worst_month - 1]
    for month in answer.months:
        assert (month.chance_lasts, month.days.p50) >= (worst.chance_lasts, worst.days.p50)
    assert worst.chance_lasts < max(month.chance_lasts for month in answer.months)


def test_the_worst_month_is_in_the_dark_of_either_hemisphere(north, south):
    assert north.worst_month in {12, 1}
    assert south.worst_month in {6, 7}


def test_light_and_warmth_go_with_the_seasons(north, south):
    for answer, summer, winter in ((north, 6, 12), (south, 12, 6)):
        bright, dark = (answer.months[month - 1] for month in (summer, winter))
        assert bright.ghi_kwh_m2_day > 3.0 * dark.ghi_kwh_m2_day
        assert bright.temp_air_c > dark.temp_air_c + 5.0
        assert bright.days.p50 > dark.days.p50


def test_among_equal_months_the_one_with_fewest_days_is_worst():
    """Twenty-five days never last in any month of this one."""
    answer = seasons(ask(runs=10, place="Tromso", days=25, settings=["panels.count=0"]))
    assert {month.chance_lasts for month in answer.months} == {0.0}
    fewest = min(month.days.p50 for month in answer.months)
    assert answer.months[answer.worst_month - 1].days.p50 == fewest


def test_a_heater_makes_winter_s_load(north):
    assert north.months[0].demand_wh_per_day > north.months[4].demand_wh_per_day + 50.0


def test_months_of_a_weather_file():
    answer = seasons(ask(runs=5, weather=TMY3))
    light = [month.ghi_kwh_m2_day for month in answer.months]
    # The published year has its brightest month in June and its darkest in December; five windows
    # of a week are near that.
    assert light.index(max(light)) + 1 in {5, 6, 7}
    assert light.index(min(light)) + 1 in {11, 12, 1}


@pytest.mark.slow
def test_chunks_and_threads_change_nothing(monkeypatch, north):
    progress = []
    monkeypatch.setattr(simulate_module, "CHUNK_RUNS", 13)
    monkeypatch.setattr("os.cpu_count", lambda: 3)
    answer = seasons(ask(runs=RUNS), progress=lambda *step: progress.append(step))
    assert progress == [(month, 12) for month in range(1, 13)]
    assert answer.worst_month == north.worst_month
    for got, wanted in zip(answer.months, north.months, strict=True):
        assert (got.days, got.chance_lasts) == (wanted.days, wanted.chance_lasts)
        # Means over all runs are added up in another order.
        for name in ("ghi_kwh_m2_day", "temp_air_c", "demand_wh_per_day"):
            assert getattr(got, name) == pytest.approx(getattr(wanted, name), rel=1e-12)


@pytest.mark.slow
def test_the_seed_decides(flat):
    question = ask(runs=3)
    first, other = (seasons(dataclasses.replace(question, seed=seed)) for seed in (1, 2))
    assert flat(first.months) != flat(other.months)


@pytest.mark.slow
def test_loads_of_some_weekdays_are_said_to_shift_the_months(north):
    assert not any("weekday" in note for note in north.notes)
    workers = seasons(ask("long-stayer", runs=2))
    (note,) = (note for note in workers.notes if "weekday" in note)
    assert "'laptop' does not run on every weekday" in note


def test_where_all_months_last_what_is_left_tells_them_apart(north):
    assert north.worst_by in {"chance", "days"}
    answer = seasons(ask(runs=5, days=3, place="Lisbon", settings=["panels.count=6"]))
    assert answer.worst_by == "reserve"
    assert {month.chance_lasts for month in answer.months} == {1.0}
    left = [month.reserve_wh for month in answer.months]
    assert answer.months[answer.worst_month - 1].reserve_wh == min(left)
    assert answer.worst_month in {11, 12, 1}
