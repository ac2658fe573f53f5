"""Begin with a class of van in two clicks, and take changes back."""

from __future__ import annotations

from tests.browser.test_story import (
    a_phone_as_a_rule,
    close_inputs,
    fits,
    headline,
    open_inputs,
    settled,
    view,
)


@a_phone_as_a_rule
def test_two_clicks_to_a_van_and_a_key_back(open_page, faults, size):
    page = open_page(size, scheme="light" if size == "phone" else "dark")
    settled(page)
    before = headline(page)
    page.get_by_role("button", name="Start from a class").click()
    page.get_by_text("Roof 5.5 x 2.1 m").wait_for()
    settled(page)
    # What floats over the page is placed in its frame a moment after it can be read.
    page.mouse.move(5, 5)
    page.wait_for_timeout(500)
    assert faults(page) == []
    page.get_by_role("button", name="Coach-built", exact=True).click()
    page.get_by_role("heading").filter(has_text="Coach-built").wait_for()
    settled(page)
    assert page.get_by_text("Roof 5.5 x 2.1 m").count() == 0
    assert (fits(page), faults(page)) == ([True, []], [])
    page.get_by_role("button", name="Undo").focus()
    page.keyboard.press("Enter")
    page.get_by_text("Undone: the van's name").wait_for()
    settled(page)
    assert headline(page) == before
    assert page.get_by_role("button", name="Undo").is_disabled()


@a_phone_as_a_rule
def test_a_change_is_taken_back_from_another_view_and_done_again(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    days = page.get_by_label("Days without moving", exact=True)
    days.fill("9")
    days.press("Enter")
    page.get_by_text("all 9 days").first.wait_for()
    close_inputs(page, size)
    settled(page)
    view(page, "Save")
    page.get_by_role("button", name="Undo").click()
    page.get_by_text("Undone: Days without moving: 9 → 7.").wait_for()
    settled(page)
    page.get_by_role("button", name="Redo").click()
    page.get_by_text("Done again: Days without moving: 7 → 9.").wait_for()
    settled(page)
    view(page, "Answer")
    page.get_by_text("all 9 days").first.wait_for()
