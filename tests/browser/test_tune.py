"""The heat map of panels and battery units under a finger."""

from __future__ import annotations

import re

import pytest

from solarsim.app.link import design_from_link
from tests.browser.test_story import settled, view


@pytest.mark.parametrize("size", ["phone", pytest.param("desk", marks=pytest.mark.slow)])
def test_a_cell_is_picked_by_a_click(open_page, size):
    page = open_page(size)
    settled(page)
    view(page, "Tune")
    picked = page.get_by_role("button", name="Build 2 panels and 4 units")
    picked.wait_for()
    cells = page.locator(".js-plotly-plot .nsewdrag").first
    cells.scroll_into_view_if_needed()
    box = cells.bounding_box()
    # Off the cell's middle: the last column, and the third row of six from below.
    page.mouse.click(box["x"] + 0.94 * box["width"], box["y"] + 0.53 * box["height"])
    page.get_by_role("button", name="Build 3 panels and 3 units").wait_for()
    settled(page)
    page.get_by_label("Units in the cell", exact=True).wait_for()
    assert page.get_by_label("Units in the cell", exact=True).input_value() == "3"


def test_a_price_typed_right_before_a_cell_is_built_counts(open_page):
    page = open_page("desk", query="?view=Tune", ready="Take one of them")
    settled(page)
    sidebar = page.get_by_test_id("stSidebar")
    sidebar.get_by_text("Bank and charging", exact=True).click()
    price = sidebar.get_by_label("Price of one unit", exact=True)
    price.fill("990,5")
    page.get_by_test_id("stMain").get_by_role("button", name=re.compile("^Build")).click()
    page.get_by_text("The design has ").first.wait_for()
    settled(page)
    assert price.input_value() == "990.5"
    assert design_from_link(page.url).van.battery.cost == 990.5
