"""Limits and targets of a search, and what is refused before any work."""

from __future__ import annotations

import io

import numpy as np
import pytest
from rich.console import Console

import solarsim
from solarsim.answers.search import space
from solarsim.answers.search.designs import Limits
from solarsim.answers.search.evaluate import Target, evaluate
from solarsim.answers.search.search import search
from solarsim.answers.search.space import MAX_CANDIDATES, cases_of, space_of
from solarsim.errors import InputError
from solarsim.present.search.text import print_search


def test_a_limit_is_held_and_counted():
    question = solarsim.ask(month=6, days=2, runs=8)
    limited = search(
        question,
        kinds=["own"],
        panels=[1, 2, 3],
        strings=[2, 3],
        tilts_deg=[0.0, 30.0],
        limits=Limits(max_parts_kg=55.0, max_rise_m=0.2),
    )
    assert limited.designs
    assert max(one.parts_kg for one in limited.designs) <= 55.0
    assert {one.tilt_deg for one in limited.designs} == {0.0}
    removed = {each.rule: each.designs for each in limited.excluded}
    # Half of all stand up: a side of 1 m and more times the sine of 30 degrees is more than 0.2 m.
    assert removed["height"] == limited.candidates / 2
    assert removed["weight"] > 0


def test_days_count_instead_of_the_stay_where_they_are_asked_for():
    question = solarsim.ask(month=12, days=2, runs=20)
    asked = {"kinds": ["own"], "panels": [1, 2, 3], "strings": [2, 3, 4]}
    found = search(question, **asked, limits=Limits(target_days=4.0))
    assert found.meets
    assert found.short_of_target > 0
    assert min(one.p10_days for one in found.designs) >= 4.0


def test_what_is_dropped_early_would_have_failed_in_the_end():
    """Chunks end after some hundred runs: with a target and without one the same ones are left."""
    question = solarsim.ask(month=11, days=4, runs=24)
    van = question.van
    space = space_of(
        van, panels=[van.panels], batteries=[van.battery], counts=[1, 2, 3], strings=[1, 2, 3, 4]
    )
    cases, _, whole = cases_of(van, space)
    wanted = np.ones(whole, dtype=bool)
    every = evaluate([question], cases, wanted, Target()).situations
    for target in (Target(chance=0.6), Target(days=3.0)):
        left = evaluate([question], cases, wanted, target).situations
        assert left == {
            number: one
            for number, one in every.items()
            if (target.chance is None or one[0].chance_lasts >= target.chance)
            and (target.days is None or one[0].days.p10 >= target.days)
        }
        assert 0 < len(left) < whole


@pytest.mark.slow
def test_where_and_when_it_is_worst_counts():
    both = search(
        solarsim.ask(days=3, runs=8),
        places=["Salzburg, AT", "Lisbon, PT"],
        months=[3, 7],
        kinds=["own"],
        panels=[2],
        strings=[2],
    )
    (one,) = both.designs
    assert len(one.situations) == len(both.situations) == 4
    for each in one.situations:
        alone = solarsim.stay(place=each.place, month=each.month, days=3, runs=8)
        assert (each.days, each.chance_lasts) == (alone.days, alone.chance_lasts)
    assert one.p10_days == min(each.days.p10 for each in one.situations)


def test_too_much_is_refused_before_any_work(monkeypatch):
    # How the panels of a kind and tilt lie is what takes longest before the first answer.
    def laid(*_):
        raise AssertionError("no panel is laid before the designs are counted")

    monkeypatch.setattr(space, "best_layouts", laid)
    with pytest.raises(InputError, match=f"more than {MAX_CANDIDATES:,} designs"):
        solarsim.search(
            batteries=["library"], strings=range(1, 97), tilts_deg=range(90), dcdc_a=range(40)
        )


def test_nothing_to_try_is_refused():
    with pytest.raises(InputError, match="whole strings of 2"):
        solarsim.search("long-stayer", panels=[1, 3])


def test_where_someones_health_depends_the_days_of_99_stays_in_100_stand_first():
    profile = solarsim.Profile.build(
        "Sleeper", ["breathing device", "compressor fridge 65 L"], medical=["breathing device"]
    )
    question = solarsim.ask(profile=profile, month=6, days=2, runs=300)
    asked = {"kinds": ["own"], "panels": [2], "strings": [2]}
    found = search(question, **asked, limits=Limits(target_days=2.0))
    alone = solarsim.stay(question)
    assert found.designs[0].p1_days == alone.days.p1 is not None
    assert found.target.startswith("2 days in nine stays of ten, and the whole stay of 2 days in ")
    assert "99 %" in found.target
    assert any("breathing device" in note for note in found.notes)
    console = Console(file=io.StringIO(), width=80)
    print_search(found, console)
    head = next(line for line in console.file.getvalue().splitlines() if "P10 " in line)
    assert head.index("P1 ") < head.index("P10 ")


@pytest.mark.slow
def test_where_someones_health_depends_designs_are_compared_by_the_days_of_99_stays_in_100():
    profile = solarsim.Profile.build(
        "Sleeper", ["breathing device", "compressor fridge 65 L"], medical=["breathing device"]
    )
    question = solarsim.ask(profile=profile, month=11, days=4, runs=300)
    found = search(question, kinds=["own"], panels=[1, 2, 3], strings=[2, 3])
    for one in found.designs:
        # No named design costs and weighs as little as another and is safe for longer.
        for other in found.designs:
            no_more = (
                other.cost_in_panel_w <= one.cost_in_panel_w and other.parts_kg <= one.parts_kg
            )
            assert one is other or not (no_more and other.p1_days >= one.p1_days)
    assert found.designs
    for one in found.designs:
        alone = solarsim.stay(one.van, profile=profile, month=11, days=4, runs=300)
        assert alone.days.p1 == one.p1_days
