"""The wiring plan and the list of what to buy: from the app, and as pages of their own."""

from __future__ import annotations

import pytest

from solarsim.answers.buy.buy import buy_of
from solarsim.answers.question import ask
from solarsim.answers.wiring.wiring import wiring
from solarsim.present.buy.make import list_bytes
from solarsim.present.wiring.make import plan_bytes

SIZES = {"phone": (390, 844), "desk": (1280, 900)}
STOPPED = ("wiring.bank_inverter.wire=10 AWG", "wiring.bank_inverter.fuse_a=300")


@pytest.mark.parametrize("size", SIZES)
def test_pages_fit_scroll_their_pictures_and_can_be_used_by_all(browser, faults, size):
    plan = wiring(ask("long-stayer", settings=STOPPED))
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    for content in (plan_bytes(plan, ".html"), list_bytes(buy_of(plan.check), ".html")):
        page.set_content(content.decode())
        assert page.evaluate("document.documentElement.scrollWidth") == width
        assert page.get_by_text("does not protect").first.is_visible()
        assert faults(page) == []
    page.set_content(plan_bytes(plan, ".html").decode())
    # Letters stay as large as they are drawn, or nearly: a narrow page scrolls the picture.
    assert page.locator(".panel svg").first.bounding_box()["width"] >= 640
    context.close()


def test_the_plan_is_taken_away(open_page):
    page = open_page("desk", query="?view=Electrical", ready="What to buy")
    for name, file in (
        ("Plan and test sheet, as PDF", "weekender-wiring.pdf"),
        ("Every run, as CSV", "weekender-wiring.csv"),
        ("What to buy, as a workbook", "weekender-buy.xlsx"),
    ):
        with page.expect_download() as download:
            page.get_by_role("button", name=name).click()
        assert download.value.suggested_filename == file
        assert download.value.path().stat().st_size > 1000
