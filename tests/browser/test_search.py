"""A search from the form to the design, on a phone and at a desk."""

from __future__ import annotations

import pytest

from tests.browser.test_story import fits, settled, view


@pytest.mark.parametrize("size", ["phone", pytest.param("desk", marks=pytest.mark.slow)])
def test_a_build_is_searched_looked_at_and_taken(open_page, faults, size):
    page = open_page(size)
    settled(page)
    view(page, "Search")
    page.get_by_role("button", name="Search", exact=True).click()
    page.get_by_role("heading", name="Take one of them").wait_for(timeout=60_000)
    page.locator(".js-plotly-plot .main-svg").first.wait_for()
    settled(page)
    assert faults(page) == []
    assert fits(page) == [True, []]
    said = page.get_by_role("heading", name="Build 2 x 200 W rigid").inner_text()
    assert "4 x 100 Ah LFP" in said
    assert "400 Ah" not in page.locator(".st-key-strip").inner_text()
    page.get_by_role("button", name="Take it").click()
    page.locator(".st-key-strip").get_by_text("400 Ah LFP").wait_for()
    settled(page)
    page.get_by_text("search again").wait_for()
