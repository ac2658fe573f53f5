"""The search's view: it says what the command says, and a build that is taken is the design."""

from __future__ import annotations

import dataclasses
import html

import pytest

from solarsim.answers.question import ask
from solarsim.answers.search.designs import Limits
from solarsim.answers.search.search import search
from solarsim.app import answering
from solarsim.app.views.search import worst_of
from solarsim.errors import InputError
from solarsim.present.search.text import lead_text
from tests.app.conftest import FEW_RUNS, tables


@pytest.fixture
def page(app, visit):
    return visit(app, "Search")


def send(page):
    next(b for b in page.main.button if b.label == "Search").click().run()
    assert not page.exception
    return page


def heads(page):
    return [html.unescape(head.value) for head in page.main.header]


def asked(page, **given):
    design = page.session_state["design"]
    question = ask(design.van, profile=design.profile, runs=FEW_RUNS)
    return search(question, kinds=["own"], batteries=["own"], **given)


def test_the_answer_is_the_command_s_and_a_build_that_is_taken_is_the_design(page):
    send(page)
    answer = asked(page)
    assert answer.choice is not None
    assert lead_text(answer) in heads(page)
    (table,) = tables(page)
    assert len(next(iter(table.values()))) == min(len(answer.designs), 20)
    before = page.session_state["design"].van
    page.button(key="search_take").click().run()
    assert not page.exception
    van = page.session_state["design"].van
    assert (van.panels.count, van.battery.units) == (answer.choice.panels, answer.choice.units)
    assert (van.panels.count, van.battery.units) != (before.panels.count, before.battery.units)
    assert van.stay == before.stay
    assert any("search again" in info.value for info in page.info)


@pytest.mark.slow
def test_limits_months_and_tilts_reach_the_search(page):
    page.text_input(key="search_kg").set_value("80,5")
    page.multiselect(key="search_months").set_value([6, 7])
    page.multiselect(key="search_tilts").set_value([0.0, 30.0])
    send(page)
    limited = asked(page, months=[6, 7], tilts_deg=[0.0, 30.0], limits=Limits(max_parts_kg=80.5))
    assert lead_text(limited) in heads(page)
    assert limited.excluded
    (table,) = tables(page)
    assert max(map(float, table["kg"])) <= 80.5


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("key", "typed", "told"),
    [
        ("search_price", "100", "no price for"),
        ("search_days", "x", "must be a number"),
        ("search_rise", "9", "Height: got 9.0; must be 0 to 3 m"),
    ],
)
def test_what_cannot_be_is_said(page, key, typed, told):
    page.text_input(key=key).set_value(typed)
    send(page)
    said = [html.unescape(error.value) for error in page.main.error]
    assert any(told in each for each in said), said


def test_the_page_tries_no_more_than_it_says(page, monkeypatch):
    monkeypatch.setattr(answering, "MAX_DESIGNS_HERE", 5)
    answering.search_answer.clear()
    with pytest.raises(InputError, match="more than 5 designs"):
        answering.search_answer(page.session_state["design"], answering.SearchWish(), None)


@pytest.mark.slow
def test_the_worst_situation_is_that_of_the_days_that_are_safe(page):
    (design, *_) = asked(page, months=[1, 7]).designs
    winter, summer = design.situations
    rare = dataclasses.replace(summer, days=dataclasses.replace(summer.days, p1=0.5))
    often = dataclasses.replace(winter, days=dataclasses.replace(winter.days, p1=1.5))
    both = dataclasses.replace(design, situations=(often, rare))
    assert winter.days.p10 < summer.days.p10
    assert worst_of(both, medical=False) == often
    assert worst_of(both, medical=True) == rare
