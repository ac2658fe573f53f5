"""The buyer's screen says what the command line says, the safe figure first."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.draft import example, shipped_profile
from solarsim.app.plain import plain
from solarsim.app.strip import strip_lines
from solarsim.app.views.buyer import asked_design, sure_text
from solarsim.inputs.percent import chance_text
from solarsim.inputs.profile import Profile
from solarsim.present.sheet.texts import load_texts
from solarsim.present.words import at_least_text, counted_text, days_text
from tests.app.conftest import FEW_RUNS


@pytest.fixture
def page(app, visit):
    return visit(app, "Buyer")


def slider(page, label):
    return next(one for one in page.select_slider if one.label == label)


def says(page, answer, month):
    """The safe figure stands first; the others follow in the line below it."""
    days = answer.days
    assert page.title[0].value == plain(counted_text(answer))
    assert f"days in {month} (9 stays in 10)" in counted_text(answer)
    shown = [one.value for one in page.markdown]
    line = next(one for one in shown if one.startswith("Nine stays in ten near"))
    assert f"last **{at_least_text(days.p10, days.follow_days)}**" in line
    assert f"half of them **{at_least_text(days.p50, days.follow_days)}**" in line
    assert f"all {answer.dates.days} days: **{chance_text(answer.chance_lasts)}**" in line


def test_it_begins_with_the_design_s_own_month_and_people(page):
    says(page, stay(ask(runs=FEW_RUNS)), "January")
    assert slider(page, "How one lives").value == "Weekend couple"
    assert any("Weekender" in one.value for one in page.markdown)


def test_two_sliders_give_the_command_line_s_figures(page):
    slider(page, "Month").set_value(10)
    slider(page, "How one lives").set_value("Typical")
    page.run()
    assert not page.exception
    says(page, stay(ask(month=10, profile="typical", runs=FEW_RUNS)), "October")
    assert page.session_state["design"] == example(), "it only looks"


def test_ways_of_living_go_from_light_to_heavy(page):
    assert slider(page, "How one lives").options == ["Light", "Weekend couple", "Typical", "Heavy"]


@pytest.mark.slow
def test_other_people_aboard_are_the_ones_that_are_shown(page):
    slider(page, "How one lives").set_value("Weekend couple")
    page.run()
    crew = shipped_profile("remote-workers")
    page.session_state["design"] = dataclasses.replace(example(), profile=crew)
    page.run()
    assert not page.exception
    assert slider(page, "How one lives").value == crew.profile.name


@pytest.mark.slow
def test_people_whom_the_van_cannot_serve_are_refused_in_place(page):
    design = example()
    van = design.van.model_copy(update={"inverter": None})
    page.session_state["design"] = dataclasses.replace(
        design, van=van, profile=shipped_profile("light")
    )
    page.session_state["in_inverter"] = False
    page.run()
    ways = slider(page, "How one lives")
    assert ways.options[-1] == "Heavy", "what cannot be served stands last"
    ways.set_value("Heavy")
    page.run()
    assert not page.exception
    assert any(one.value.startswith("Heavy: ") and "inverter" in one.value for one in page.error)


def test_dates_of_one_s_own_stay_in_their_month():
    van = ask(settings=["stay.start=2026-03-05"]).van
    design = dataclasses.replace(example(), van=van)
    assert asked_design(design, 3) is design
    june = asked_design(design, 6).van.stay
    assert (june.start, june.month) == (None, 6)


def test_where_health_depends_the_worst_of_a_hundred_stands_first():
    profile = Profile.build("Sleeper", ["breathing device"], medical=["breathing device"])
    answer = stay(ask(profile=profile, days=7, runs=300))
    p1, p10 = days_text(answer.to_dict()["medical"]["p1_days"], 30), days_text(answer.days.p10, 30)
    texts = load_texts()
    assert sure_text(answer, texts).startswith(f"99 stays in 100 near Salzburg, AT last **{p1}")
    assert strip_lines(answer, texts)[0].startswith(f"**{p1}** in 99 stays of 100")
    assert counted_text(answer).startswith("NOT SAFE for those who depend on the breathing device")
    usual = dataclasses.replace(answer, medical=None)
    assert sure_text(usual, texts).startswith("Nine stays in ten near")
    assert strip_lines(usual, texts)[0].startswith(f"**{p10}** in 9 stays")
