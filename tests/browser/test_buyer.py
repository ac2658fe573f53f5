"""The buyer's screen, moved by its sliders and printed."""

from __future__ import annotations

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.present.words import counted_text
from tests.browser.test_story import settled


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
