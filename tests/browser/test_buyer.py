"""The buyer's screen, moved by its sliders and printed."""

from __future__ import annotations

import re

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.present.words import counted_text
from tests.browser.test_story import fits, pick, settled


def test_the_month_is_moved_and_the_page_printed(open_page, faults):
    page = open_page("phone", query="?view=Buyer", ready="Print this page")
    settled(page)
    january = stay(ask())
    page.get_by_text(counted_text(january)).wait_for()
    page.get_by_role("slider").first.focus()
    page.keyboard.press("ArrowRight")
    february = stay(ask(month=2))
    page.get_by_text(counted_text(february)).wait_for()
    settled(page)
    assert faults(page) == []
    button = page.get_by_role("button", name="Print this page")
    page.evaluate("window.print = () => { window.printed = true; }")
    button.click()
    assert page.evaluate("window.printed")
    page.emulate_media(media="print", color_scheme="dark")
    for hidden in ("stSlider", "stButtonGroup", "stHeader"):
        assert not page.get_by_test_id(hidden).first.is_visible(), hidden
    assert not button.is_visible()
    line = page.get_by_text("Nine stays in ten near")
    assert line.is_visible()
    assert line.evaluate("e => getComputedStyle(e).color") == "rgb(0, 0, 0)"
    assert page.get_by_text("Expected, not guaranteed").is_visible()


def test_a_link_brings_its_language_and_the_box_another(open_page, faults):
    page = open_page("phone", query="?view=Buyer&lang=de", ready="Diese Seite drucken")
    settled(page)
    assert page.evaluate("document.documentElement.lang") == "de"
    assert page.get_by_role("heading", name=re.compile("^Verlässlich im Januar")).is_visible()
    assert fits(page) == [True, []]
    assert faults(page) == []
    page.emulate_media(media="print")
    assert not page.get_by_test_id("stSelectbox").last.is_visible()
    page.emulate_media(media="screen")
    pick(page, page.get_by_role("combobox", name=re.compile("^Sprache")), "français")
    page.get_by_text("Imprimer cette page").wait_for()
    settled(page)
    assert page.evaluate("document.documentElement.lang") == "fr"
    assert "lang=fr" in page.url
    # A link that says nothing opens in the browser's language.
    page = open_page("phone", query="?view=Buyer", ready="Stampa questa pagina", locale="it-CH")
    settled(page)
    assert "lang=it" in page.url
