"""The map in a browser: asked by its button, and usable by all."""

from __future__ import annotations

import pytest

from tests.browser.test_story import fits, settled, view


@pytest.mark.parametrize(("size", "scheme"), [("phone", "light"), ("desk", "dark")])
def test_a_map_is_drawn_and_can_be_used_by_all(open_page, faults, size, scheme):
    page = open_page(size, scheme=scheme)
    settled(page)
    view(page, "Map")
    page.get_by_role("textbox", name="Country, area or box").fill("47, 12, 48, 14")
    page.get_by_role("button", name="Draw the map").click()
    page.locator(".js-plotly-plot .main-svg").first.wait_for()
    settled(page)
    assert faults(page) == []
    assert fits(page) == [True, []]
    with page.expect_download() as download:
        page.get_by_role("button", name="The cells, as CSV").click()
    assert download.value.suggested_filename.endswith(".csv")
    text = download.value.path().read_text(encoding="utf-8")
    assert text.startswith("van,month,latitude_deg,longitude_deg")
    assert len(text.splitlines()) == 3
