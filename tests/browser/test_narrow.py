"""What is wider than a phone moves in a box of its own; the page stays."""

from __future__ import annotations

import pytest

from tests.browser.test_story import settled

WIDE = 390
PAGE = """() => {
    const main = document.querySelector('[data-testid=stMain]');
    return [document.documentElement.scrollWidth, main.scrollWidth];
}"""
BOXES = """() => [...document.querySelectorAll('.sideways')].map(box => {
    box.scrollLeft = 10000;
    const picture = box.querySelector('img').getBoundingClientRect();
    const edges = box.getBoundingClientRect();
    return [edges.left, edges.right, box.scrollWidth - box.clientWidth, box.scrollLeft,
            picture.right];
})"""


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_the_wiring_plan_scrolls_by_itself(open_page, size):
    page = open_page(size, query="?view=Electrical", ready="Wiring plan")
    settled(page)
    page.locator(".sideways img").first.wait_for()
    boxes = page.evaluate(BOXES)
    assert len(boxes) >= 2
    wide = page.viewport_size["width"]
    for left, right, over, scrolled, end in boxes:
        assert left >= 0
        assert right <= wide
        # All the way to its right edge, which then lies within the page.
        assert scrolled == pytest.approx(over, abs=1)
        assert end <= wide + 1
    assert page.evaluate(PAGE)[0] == wide
    assert page.evaluate(PAGE)[1] <= wide
    if size == "phone":
        assert max(over for _, _, over, _, _ in boxes) > 100
        assert page.locator(".sideways-hint").first.is_visible()
    else:
        assert not page.locator(".sideways-hint").first.is_visible()


def test_the_grid_of_a_trip_scrolls_by_itself_and_keeps_the_places(open_page):
    page = open_page("phone", query="?view=Trip", ready="A trip of several stops")
    settled(page)
    grid = page.get_by_test_id("stDataFrame").first
    grid.scroll_into_view_if_needed()
    box = grid.bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= WIDE
    assert page.evaluate(PAGE) == [WIDE, WIDE]
    before = grid.screenshot()
    grid.hover()
    page.mouse.wheel(600, 0)
    page.wait_for_timeout(800)
    moved = page.evaluate(
        "[...document.querySelectorAll('[data-testid=stDataFrame] .dvn-scroller')]"
        ".map(box => box.scrollLeft)"
    )
    assert moved[0] > 50
    assert grid.screenshot() != before
    assert page.evaluate(PAGE) == [WIDE, WIDE]
    assert page.locator(".sideways-hint").first.is_visible()


def test_the_answer_of_a_trip_stands_as_cards(open_page):
    page = open_page("phone", query="?view=Trip", ready="A trip of several stops")
    settled(page)
    page.get_by_role("button", name="Ask for this trip").click()
    page.get_by_role("heading", name="to get through").wait_for(timeout=60_000)
    settled(page)
    page.get_by_text("Stops as a table", exact=True).click()
    rows = page.locator(".numbers tr[role=row]")
    rows.nth(1).wait_for()
    assert page.evaluate(PAGE) == [WIDE, WIDE]
    for cell in rows.nth(1).locator("td").all():
        box = cell.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= WIDE
