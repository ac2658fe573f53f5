"""What a builder does, on a phone and at a desk, with a buyer beside them."""

from __future__ import annotations

import dataclasses
import re
import time
import tomllib

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.draft import example
from solarsim.app.link import design_code
from solarsim.app.views import TITLES, VIEWS, place_of
from solarsim.app.widgets.fields import GROUPS
from solarsim.inputs.files.van import read_van, van_from_data
from solarsim.present.words import CAUTIONS

a_phone_as_a_rule = pytest.mark.parametrize(
    "size", ["phone", pytest.param("desk", marks=pytest.mark.slow)]
)
CHANGED = "old => document.querySelector('[data-testid=stMain] h1')?.innerText !== old"


def view(page, name):
    """Go to a view; a click while the page is still being drawn may be lost."""
    from playwright.sync_api import TimeoutError as TooLate

    place, title = place_of(name), TITLES.get(name, name)
    there = "name => new URLSearchParams(location.search).get('view') === name"
    for last in (False, False, True):
        page.locator(".st-key-place").get_by_role("radio", name=place, exact=True).click()
        try:
            page.locator(".st-key-views").get_by_role("radio", name=title, exact=True).click()
            page.wait_for_function(there, arg=name, timeout=20_000 if last else 8_000)
            break
        except TooLate:
            if last:
                raise
    settled(page)


def settled(page):
    """Wait until the page has been drawn and nothing has run for a while.

    What was clicked or typed needs a moment to reach the server, longer on a busy machine.
    """
    page.wait_for_function(
        """() => {
            const app = document.querySelector('[data-testid=stApp]');
            const still = app?.getAttribute('data-test-script-state') === 'notRunning';
            const now = performance.now();
            if (!still || window.stillSince === undefined) window.stillSince = now;
            if (still && now - window.stillSince > 500) {
                delete window.stillSince;
                return true;
            }
            return false;
        }"""
    )


def pick(page, box, name):
    """Choose from a list; one that opens while the page is still being drawn closes again."""
    option = page.get_by_role("option", name=name, exact=True)
    for _ in range(5):
        box.click()
        page.wait_for_timeout(500)
        if option.is_visible():
            break
    option.click()


def open_inputs(page, size):
    if size == "phone":
        page.get_by_test_id("stExpandSidebarButton").click()
        page.get_by_label("Place", exact=True).wait_for()


def close_inputs(page, size):
    if size == "phone":
        page.get_by_test_id("stSidebarCollapseButton").get_by_role("button").click()
        page.wait_for_timeout(400)


def one_answer_s():
    """How long one answer takes on this machine just now, without any page."""
    question = ask()
    stay(question)
    spans_s = []
    for _ in range(3):
        begun = time.perf_counter()
        stay(question)
        spans_s.append(time.perf_counter() - begun)
    return sorted(spans_s)[1]


def headline(page):
    # Where its lines break is the page's matter.
    return " ".join(page.get_by_role("heading").first.inner_text().split())


def fits(page):
    """Nothing stands out to the right of the page."""
    return page.evaluate(
        """() => {
            const wide = document.documentElement.clientWidth + 1;
            const main = document.querySelector('[data-testid=stMain]');
            const stray = [...main.querySelectorAll('p, h1, h2, h3, button, input, canvas')]
                .filter(e => e.offsetParent && !e.closest('[data-testid=stCode],[class*=dvn]'))
                .filter(e => e.getBoundingClientRect().right > wide)
                .map(e => e.tagName + ' ' + e.innerText);
            return [main.scrollWidth <= wide, stray];
        }"""
    )


# Every view at both sizes and in both schemes; colours do not depend on the size.
@pytest.mark.parametrize(("size", "scheme"), [("phone", "light"), ("desk", "dark")])
def test_every_view_fits_warns_and_can_be_used_by_all(open_page, faults, size, scheme):
    page = open_page(size, scheme=scheme)
    settled(page)
    for name in VIEWS:
        view(page, name)
        assert page.get_by_text(CAUTIONS).count() == 1
        assert faults(page) == [], name
        assert fits(page) == [True, []], name
        assert page.get_by_test_id("stException").count() == 0
        if name in {"Answer", "Roof", "Tune", "Changes", "Seasons"}:
            page.locator(".js-plotly-plot .main-svg").first.wait_for()


@a_phone_as_a_rule
def test_one_change_shows_the_new_answer_quickly(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    took_s = []
    own_s = one_answer_s()
    for units in ("3", "4", "5"):
        before = headline(page)
        page.get_by_label("Batteries", exact=True).fill(units)
        begun = time.perf_counter()
        page.keyboard.press("Enter")
        page.wait_for_function(CHANGED, arg=before)
        took_s.append(time.perf_counter() - begun)
        settled(page)
    # Seen: 0.4 to 0.5 s on two quiet cores, where one answer takes 0.28 s. The bound only tells a
    # page that works several answers out for one change; times are measured by hand.
    assert sorted(took_s)[1] < max(2.0, 6.0 * own_s), (took_s, own_s)


@a_phone_as_a_rule
def test_a_mistake_is_said_in_place_and_mended(open_page, size):
    page = open_page(size)
    settled(page)
    before = headline(page)
    open_inputs(page, size)
    place = page.get_by_label("Place", exact=True)
    place.fill("Springfield")
    place.press("Enter")
    sidebar = page.get_by_test_id("stSidebar")
    sidebar.get_by_text("choose by name and country").wait_for()
    assert headline(page) == before
    settled(page)
    pick(page, sidebar.get_by_label("Which one?"), "Springfield, MO, US")
    page.get_by_text(re.compile("near Springfield")).wait_for()
    settled(page)
    close_inputs(page, size)
    assert page.get_by_test_id("stAlert").count() == 0


@a_phone_as_a_rule
def test_a_cell_is_built_and_compared(open_page, size):
    page = open_page(size)
    settled(page)
    view(page, "Compare")
    page.get_by_role("button", name="Keep the present design").click()
    settled(page)
    view(page, "Tune")
    button = page.get_by_role("button", name=re.compile("^Build .* panels and .* units$"))
    said = button.inner_text()
    button.click()
    page.get_by_text("The design has").wait_for()
    settled(page)
    panels, units = re.findall(r"\d+", said)
    view(page, "Compare")
    page.get_by_text(f"Batteries: {units} → 2").wait_for()
    assert fits(page) == [True, []]
    open_inputs(page, size)
    assert page.get_by_label("Panels", exact=True).input_value() == panels


@a_phone_as_a_rule
def test_a_link_works_for_somebody_else(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    page.get_by_test_id("stSidebar").get_by_text("Where and when", exact=True).click()
    name = page.get_by_label("The van", exact=True)
    name.fill("Sent <b>along</b>")
    name.press("Enter")
    page.get_by_role("heading").filter(has_text="Sent <b>along</b>").wait_for()
    close_inputs(page, size)
    settled(page)
    view(page, "Save")
    link = page.get_by_test_id("stCode").inner_text().strip()
    other = open_page(size, query="?" + link.partition("?")[2])
    other.get_by_text("This is the design of the link.").wait_for()
    assert "Sent <b>along</b>" in headline(other)


def test_a_damaged_link_is_said(open_page):
    page = open_page("phone", query="?design=1.abc")
    page.get_by_text("is damaged").wait_for()
    assert "Weekender" in headline(page)


def test_the_saved_van_is_the_van(open_page):
    page = open_page("desk")
    settled(page)
    view(page, "Save")
    with page.expect_download() as download:
        page.get_by_role("button", name="The van, as TOML").click()
    assert download.value.suggested_filename == "weekender.toml"
    tables = tomllib.loads(download.value.path().read_text(encoding="utf-8"))
    assert van_from_data(tables, source="download") == read_van("weekender")


@a_phone_as_a_rule
def test_watts_are_typed_into_the_table(open_page, size):
    page = open_page(size)
    settled(page)
    view(page, "Appliances")
    metric = page.get_by_test_id("stMetricValue").first
    before = float(metric.inner_text().replace(",", ""))
    table = page.get_by_test_id("stDataFrame").first
    table.scroll_into_view_if_needed()
    # The first row is the fridge, its name left of its watts; the table is drawn on a canvas.
    table.click(position={"x": 0.3 * table.bounding_box()["width"], "y": 53})
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    page.keyboard.press("Enter")
    cell = page.locator("#portal input, #portal textarea, [class*=gdg] input").first
    cell.wait_for()
    cell.fill("150")
    page.wait_for_timeout(400)
    page.keyboard.press("Enter")
    page.wait_for_function(
        "old => parseFloat(document.querySelector('[data-testid=stMetricValue]').innerText"
        ".replace(',', '')) > old + 100",
        arg=before,
    )
    settled(page)
    assert page.get_by_test_id("stAlert").count() == 0


def test_three_keys_lead_past_the_inputs_to_the_views(open_page):
    page = open_page("desk")
    role = None
    # What is drawn anew while keys are pressed loses the focus: on a busy machine try again.
    for _ in range(3):
        settled(page)
        for key in ("Tab", "Enter", "Tab"):
            page.keyboard.press(key)
            page.wait_for_timeout(300)
        role = page.evaluate("document.activeElement.getAttribute('role')")
        if role == "radio":
            break
        page.reload()
        page.get_by_role("heading", name="What to change first").wait_for()
    assert role == "radio"
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Space")
    page.get_by_role("heading", name="The client's interview").wait_for()


@pytest.mark.slow
def test_all_inputs_can_be_used_by_all(open_page, faults):
    """With every group open, numbers from a datasheet, and a mistake on the page."""
    page = open_page("phone", scheme="dark")
    settled(page)
    open_inputs(page, "phone")
    for title in GROUPS.values():
        page.get_by_test_id("stSidebar").get_by_text(title, exact=True).click()
    page.get_by_label("Panel", exact=True).click()
    page.keyboard.type("own")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Take these numbers").wait_for()
    settled(page)
    page.get_by_label("Place", exact=True).fill("Xyzzyville")
    page.keyboard.press("Enter")
    page.get_by_test_id("stSidebar").get_by_text("no town of that name").wait_for()
    settled(page)
    assert faults(page) == []


def test_loading_the_page_anew_loses_nothing(open_page):
    page = open_page("phone")
    settled(page)
    view(page, "Compare")
    page.get_by_role("button", name="Keep the present design").click()
    settled(page)
    before = page.evaluate("history.length")
    open_inputs(page, "phone")
    page.get_by_test_id("stSidebar").get_by_text("Where and when", exact=True).click()
    name = page.get_by_label("The van", exact=True)
    name.fill("Typed & <not> saved")
    name.press("Enter")
    page.get_by_test_id("stMain").get_by_text("Typed & <not> saved").wait_for()
    settled(page)
    close_inputs(page, "phone")
    assert page.evaluate("history.length") == before
    page.reload()
    page.get_by_text("Design A", exact=True).wait_for()
    settled(page)
    view(page, "Answer")
    assert "Typed & <not> saved" in headline(page)


def test_the_roof_is_drawn_anew_and_its_count_taken(open_page):
    page = open_page("phone")
    settled(page)
    view(page, "Roof")
    page.get_by_text("holds 3 x 200 W rigid: 600 W").wait_for()
    plan = page.locator(".js-plotly-plot").first
    plan.get_by_text("roof fan").wait_for()
    length = page.get_by_label("Length, m", exact=True)
    length.fill("4.9")
    length.press("Enter")
    page.get_by_text("holds 5 x 200 W").wait_for()
    settled(page)
    plan.get_by_text("4.90 m").wait_for()
    pick(page, page.get_by_label("Panels drawn", exact=True), "5")
    page.get_by_role("button", name="Take 5 panels").click()
    page.get_by_text("The design has 5 panels now.").wait_for()
    settled(page)
    plan.get_by_text("5", exact=True).first.wait_for()
    # Five panels charge with more than two batteries take, which every view says.
    words = [box.inner_text() for box in page.get_by_test_id("stAlert").all()]
    assert all("STOP" in said or "has 5 panels now" in said for said in words), words
    with page.expect_download() as download:
        page.get_by_role("button", name="The plan, as SVG").click()
    assert b"<svg" in download.value.path().read_bytes()
    assert fits(page) == [True, []]


def test_the_worst_electrical_finding_stands_first(open_page, faults):
    settings = ["panels.count=4", "panels.series=4", "controller.max_input_v=75"]
    settings += ["alternator.dcdc_a=60", "wiring.bank_inverter.wire=16 AWG"]
    design = dataclasses.replace(example(), van=read_van("weekender", settings=settings))
    page = open_page("desk", query=f"?design={design_code(design)}", ready="STOP")
    settled(page)
    view(page, "Electrical")
    page.get_by_role("heading", name="Cables and fuses").wait_for()
    settled(page)
    words = [box.inner_text().split(",")[0] for box in page.get_by_test_id("stAlert").all()[1:]]
    ranks = [["⬣ STOP", "▲ WARN", "● NOTE"].index(word) for word in words]
    assert ranks == sorted(ranks)
    assert {0, 1} <= set(ranks)
    assert faults(page) == []
    rating = page.get_by_label("Alternator, A", exact=True)
    assumed = page.get_by_text("an alternator that is taken as 150 A")
    assumed.wait_for()
    rating.fill("240")
    rating.press("Enter")
    assumed.wait_for(state="detached")
    with page.expect_download() as download:
        page.get_by_role("button", name="Cables and fuses, as CSV").click()
    assert download.value.suggested_filename == "weekender-cables.csv"
    lines = download.value.path().read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# Expected, not guaranteed")
    assert any(line.startswith("positive bus to inverter,") for line in lines)
    assert fits(page) == [True, []]


def test_no_table_is_taken_away_as_it_stands(open_page):
    """The browser's own CSV would hold names as formulas; what is taken away has its own button."""
    page = open_page("desk", query="?view=Appliances", ready="Expected, not guaranteed")
    settled(page)
    page.get_by_test_id("stDataFrame").first.hover()
    bar = page.get_by_test_id("stElementToolbar").first
    bar.get_by_role("button", name="Search").wait_for()
    assert bar.locator("[aria-label^='Download as CSV']").count() == 1
    assert not bar.locator("[aria-label^='Download as CSV']").is_visible()
    view(page, "Electrical")
    assert page.get_by_test_id("stDataFrame").count() == 0
    assert page.get_by_role("button", name="Cables and fuses, as CSV").is_visible()
