"""The interview's view gives what the command gives, and the people go aboard with their mark."""

from __future__ import annotations

import pytest

import solarsim
from solarsim.app.link import design_code, design_from_link


@pytest.fixture
def page(app, visit):
    return visit(app, "Interview")


def make(page):
    next(one for one in page.button if one.label == "Make the people aboard").click()
    page.run()
    assert not page.exception
    return page


def press(page, label):
    next(one for one in page.button if one.label == label).click()
    page.run()
    assert not page.exception


def shown(page):
    every = (*page.title, *page.header, *page.subheader, *page.markdown, *page.warning)
    return " ".join(one.value for one in every)


def said(page):
    return " ".join(one.value for one in (*page.warning, *page.info, *page.error, *page.markdown))


def test_twelve_questions_and_nothing_before_they_are_answered(page):
    asked = [one.value for one in page.markdown if one.value.startswith("**")]
    assert sum(one[2].isdigit() for one in asked) >= 12
    assert "Take these people aboard" not in [one.label for one in page.button]


def test_the_answers_make_the_commands_own_profile(page):
    page.number_input(key="interview_people").set_value(3)
    page.multiselect(key="interview_cooking").set_value(["gas", "kettle"])
    page.selectbox(key="interview_fridge").set_value("small")
    make(page)
    by_hand = solarsim.interview(people=3, cooking=["gas", "kettle"], fridge="small")
    press(page, "Take these people aboard")
    assert page.session_state["design"].profile.appliances == by_hand.profile.appliances
    assert page.session_state["design"].profile.cabin.people == 3
    assert "Aboard now&#58; Client" in said(page)


@pytest.mark.slow
def test_a_medical_device_goes_along_wherever_the_answer_is_spoken(page, visit):
    page.multiselect(key="interview_medical").set_value(["breathing device"])
    make(page)
    assert "never rely on this alone" in said(page)
    press(page, "Take these people aboard")
    design = page.session_state["design"]
    assert design.profile.medical == ("breathing device",)
    # The page's address and a link carry the mark.
    assert design_from_link(design_code(design)).profile.medical == design.profile.medical
    visit(page, "Answer")
    assert "never rely on this alone" in said(page)
    assert "NOT SHOWN TO BE SAFE" in shown(page)
    assert "NOT SHOWN TO BE SAFE" in page.title[0].value.partition("&#46; ")[0]
    assert "**not known** in 99 stays of 100" in said(page)
    assert "For the medical device: **not shown to be safe**" in said(page)
    visit(page, "Seasons")
    assert [one.value for one in page.metric if one.label == "Days, 99 in 100"] == ["not known"]
    assert [one.label for one in page.metric][-1] == "Months with 99 %"
    visit(page, "Buyer")
    assert "NOT SHOWN TO BE SAFE" in page.title[0].value
    line = next(one.value for one in page.markdown if "half of them" in one.value)
    assert line.startswith("How long 99 stays in 100 near Salzburg")


@pytest.mark.slow
def test_the_people_have_the_name_that_the_form_was_given(page):
    page.text_input(key="interview_name").set_value("Order 7")
    make(page)
    press(page, "Take these people aboard")
    assert page.session_state["design"].profile.profile.name == "Order 7"


@pytest.mark.slow
def test_a_place_that_is_none_is_refused_in_place(page):
    page.text_input(key="interview_place").set_value("Nowhereville")
    make(page)
    assert any("Nowhereville" in one.value for one in page.error)
