"""Units and decimal signs in a browser: what is typed counts, and the design stays what it was."""

from __future__ import annotations

import re
from operator import attrgetter

import pytest

from solarsim.app.link import design_code, design_from_link
from solarsim.app.units.chosen import DECIMALS, SYSTEMS
from tests.browser.test_nothing_lost import field, give
from tests.browser.test_story import close_inputs, fits, headline, open_inputs, pick, settled, view

WARM_C = attrgetter("profile.cabin.heater_set_point_c")
NIGHT_C = attrgetter("profile.cabin.night_set_point_c")
# Inputs by their label in US units: their group, what is typed, where it lands, and its value.
BESIDE = (
    ("Heated to, °F", "Who is aboard", "68", WARM_C, 20.0),
    ("Heated at night to, °F", "Who is aboard", "50", NIGHT_C, 10.0),
    ("Driving, hours", "Bank and charging", "0,5", attrgetter("van.alternator.drive_h"), 0.5),
    ("Days without moving", None, "4", attrgetter("van.stay.days"), 4),
)
ROOF = (
    ("Length, ft in", "11' 2\"", attrgetter("van.roof.length_m"), 3.4036),
    ("Width, ft in", "62 1/2 in", attrgetter("van.roof.width_m"), 1.5875),
    ("Free along the edge, ft in", "1 in", attrgetter("van.roof.margin_m"), 0.0254),
    ("Between panels, ft in", "1 in", attrgetter("van.roof.gap_m"), 0.0254),
    ("Walkway, ft in", "0", attrgetter("van.roof.walkway_m"), 0.0),
)
PAIRS = (("metric", "point"), ("us", "point"), ("place", "comma"), ("us", None))


def held(page):
    """The design in the page's address, which follows the page."""
    settled(page)
    page.wait_for_function("location.search.includes('design=')")
    return design_from_link(page.url)


def comes(page, what, wanted):
    """Whether the design comes to hold what was given."""
    for _ in range(40):
        if what(held(page)) == wanted:
            return True
        page.wait_for_timeout(250)
    return False


def choose(page, *, system=None, decimals=None):
    """Choose units or signs beside the views."""
    sidebar = page.get_by_test_id("stSidebar")
    box = sidebar.get_by_role("combobox", name=re.compile("^Units of measure"))
    if not box.is_visible():
        sidebar.get_by_text("Language and units", exact=True).click()
        box.wait_for()
    if system is not None:
        pick(page, box, SYSTEMS[system])
        settled(page)
    if decimals is not None:
        signs = sidebar.get_by_role("combobox", name=re.compile("^Decimal sign"))
        pick(page, signs, DECIMALS[decimals])
        settled(page)


def code(page):
    """The design in the page's address, to the byte."""
    return design_code(held(page))


def test_each_number_between_the_choice_and_back(open_page):
    page = open_page("desk")
    settled(page)
    began = code(page)
    choose(page, system="us", decimals="comma")
    assert code(page) == began
    opened = set()
    for label, group, text, value, wanted in BESIDE:
        if group is not None and group not in opened:
            page.get_by_test_id("stSidebar").get_by_text(group, exact=True).click()
            opened.add(group)
        give(page, label, text)
        assert comes(page, value, wanted), label
    view(page, "Roof")
    for label, text, value, wanted in ROOF:
        box = page.get_by_label(label, exact=True)
        box.fill(text)
        box.press("Enter")
        settled(page)
        assert comes(page, value, wanted), label
    typed = code(page)
    for system, decimals in PAIRS:
        choose(page, system=system, decimals=decimals)
        assert code(page) == typed, (system, decimals)
    assert page.get_by_label("Length, ft in", exact=True).input_value() == "11' 2\""
    assert field(page, "Heated to, °F").input_value() == "68,0"


def test_what_is_typed_as_the_choice_is_made_counts_in_its_own_units(open_page):
    page = open_page("desk")
    settled(page)
    choose(page, system="metric")
    page.get_by_test_id("stSidebar").get_by_text("Who is aboard", exact=True).click()
    warm = field(page, "Heated to, °C")
    warm.fill("21,5")
    choose(page, system="us")
    assert comes(page, WARM_C, 21.5)
    assert field(page, "Heated to, °F").input_value() == "70.7"


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_the_choice_is_seen_everywhere_and_kept(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    choose(page, system="us", decimals="comma")
    close_inputs(page, size)
    assert "units=us&decimals=comma" in page.url
    strip = page.locator(".st-key-strip").inner_text()
    assert not re.search(r"\d\.\d", strip), strip
    assert not re.search(r"\d\.\d", headline(page))
    # The sign that the chart's own code takes for its axes and what it says under the pointer.
    separators = page.evaluate("document.querySelector('.js-plotly-plot')._fullLayout.separators")
    assert separators == ",\N{NARROW NO-BREAK SPACE}"
    view(page, "Roof")
    assert page.get_by_text("from the left side, ft").is_visible()
    assert fits(page)
    page.reload()
    length = page.get_by_label("Length, ft in", exact=True)
    length.wait_for()
    page.wait_for_function("box => box.value.endsWith('\"')", arg=length.element_handle())


def test_a_place_and_a_browser_bring_their_own(open_page):
    page = open_page("desk", locale="de-DE", query="?lang=en")
    settled(page)
    page.get_by_test_id("stMetricValue").first.wait_for(timeout=60_000)
    assert re.search(r"\d,\d", page.get_by_test_id("stMetricValue").first.inner_text())
    assert field(page, "Place").input_value() == "Salzburg, AT"
    give(page, "Place", "Portland, OR, US")
    page.get_by_test_id("stSidebar").get_by_text("Who is aboard", exact=True).click()
    assert field(page, "Heated to, °F").input_value() == "66,2"
    assert "units=" not in page.url
