"""The whole app in another language: in the browser's at first, by the box later, nothing lost."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlsplit

import pytest

from solarsim.app.language import _own_name
from solarsim.app.link import design_from_code
from solarsim.app.views import PLACES
from solarsim.present.sheet.texts import languages, load_texts
from tests.browser.test_story import close_inputs, fits, headline, pick, settled

# A page of answers and the widest one of tables.
LOOKED_AT = ("Answer", "Electrical")
LANGUAGES = [language for language in languages() if language != "en"]


def said(language, text):
    return load_texts(language)["app"][text]


def opened(open_page, size, language, view="Answer", **given):
    ready = said(language, "Hand over")
    page = open_page(size, query=f"?view={view}&lang={language}", ready=ready, **given)
    settled(page)
    return page


def held(page):
    return design_from_code(parse_qs(urlsplit(page.url).query)["design"][0])


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_phone_holds_it(open_page, faults, language):
    for view in LOOKED_AT:
        page = opened(open_page, "phone", language, view)
        assert fits(page) == [True, []], view
        assert faults(page) == [], view
        assert page.locator("html").get_attribute("lang") == load_texts(language)["language"]
        page.close()


def test_it_begins_in_the_browser_s_and_the_choice_loses_nothing(open_page):
    page = open_page("desk", locale="de-DE", ready=said("de", "Hand over"))
    settled(page)
    german = headline(page)
    figures = page.get_by_test_id("stMetricValue").all_inner_texts()
    page.get_by_label(said("de", "Panels"), exact=True).fill("3")
    page.get_by_label(said("de", "Batteries"), exact=True).fill("4")
    page.keyboard.press("Enter")
    settled(page)
    before = held(page)
    assert (before.van.panels.count, before.van.battery.units) == (3, 4)
    shown = page.get_by_test_id("stMetricValue").all_inner_texts()
    assert shown != figures
    sidebar = page.get_by_test_id("stSidebar")
    sidebar.get_by_text(said("de", "Language and units")).click()
    # Typed right before the choice, and not sent.
    page.get_by_label(said("de", "People"), exact=True).fill("3")
    box = sidebar.get_by_role("combobox", name=re.compile(r"\(Language\)"))
    pick(page, box, _own_name("en"))
    page.get_by_text("Hand over").first.wait_for()
    settled(page)
    assert headline(page) != german
    after = held(page)
    assert (after.van, after.profile.cabin.people) == (before.van, 3)
    assert page.get_by_label("Panels", exact=True).input_value() == "3"
    assert page.get_by_label("Batteries", exact=True).input_value() == "4"


def test_the_words_of_the_style_sheet_are_in_it(open_page):
    page = opened(open_page, "phone", "fr")
    button = page.get_by_test_id("stExpandSidebarButton")
    content = button.evaluate("one => getComputedStyle(one, '::after').content")
    assert content == f'"{said("fr", "Design")}"'
    button.click()
    page.get_by_label(said("fr", "Place"), exact=True).wait_for()
    close_inputs(page, "phone")
    for place in PLACES:
        name = said("fr", place)
        assert page.get_by_role("radio", name=name, exact=True).count() == 1
