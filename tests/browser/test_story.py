"""What a builder does, on a phone and at a desk, with a buyer beside them."""

from __future__ import annotations

import re
import time
import tomllib

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.views import VIEWS
from solarsim.present.words import CAUTIONS
from solarsim.spec.van_file import read_van, van_from_data

sizes = pytest.mark.parametrize("size", ["phone", "desk"])
CHANGED = "old => document.querySelector('[data-testid=stMain] h3')?.innerText !== old"


def view(page, name):
    page.get_by_role("radio", name=name, exact=True).click()
    settled(page)


def settled(page):
    """Wait until the page has been drawn and nothing runs."""
    # What was clicked needs a moment to reach the server.
    page.wait_for_timeout(150)
    page.wait_for_function(
        "() => document.querySelector('[data-testid=stApp]')"
        "?.getAttribute('data-test-script-state') === 'notRunning'"
    )
    page.wait_for_timeout(150)


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
    return page.get_by_role("heading").first.inner_text()


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


@pytest.mark.parametrize(("size", "scheme"), [("phone", "dark"), ("desk", "light")])
def test_every_view_fits_and_warns(open_page, size, scheme):
    page = open_page(size, scheme=scheme)
    settled(page)
    for name in VIEWS:
        view(page, name)
        assert page.get_by_text(CAUTIONS).count() == 1
        assert fits(page) == [True, []], name
        assert page.get_by_test_id("stException").count() == 0
        if name in {"Answer", "Tune", "Changes", "Seasons"}:
            page.locator(".js-plotly-plot .main-svg").first.wait_for()


@sizes
def test_one_change_shows_the_new_answer_quickly(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    page.get_by_text("Bank and charging").click()
    page.get_by_label("Units", exact=True).wait_for()
    took_s = []
    own_s = one_answer_s()
    for units in ("3", "4", "5"):
        before = headline(page)
        page.get_by_label("Units", exact=True).fill(units)
        begun = time.perf_counter()
        page.keyboard.press("Enter")
        page.wait_for_function(CHANGED, arg=before)
        took_s.append(time.perf_counter() - begun)
        settled(page)
    # Seen: 0.4 to 0.5 s on two quiet cores, where one answer takes 0.28 s. The bound only tells a
    # page that works several answers out for one change; times are measured by hand.
    assert sorted(took_s)[1] < max(2.0, 6.0 * own_s), (took_s, own_s)


@sizes
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
    town = page.get_by_role("option", name="Springfield, MO, US")
    for _ in range(5):
        # A list that opens while the page is still being drawn closes again.
        sidebar.get_by_label("Which one?").click()
        page.wait_for_timeout(500)
        if town.is_visible():
            break
    town.click()
    page.get_by_text(re.compile("near Springfield")).wait_for()
    settled(page)
    close_inputs(page, size)
    assert page.get_by_test_id("stAlert").count() == 0


@sizes
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
    page.get_by_text(f"Units: {units} → 2").wait_for()
    assert fits(page) == [True, []]
    open_inputs(page, size)
    page.get_by_text("Roof and panels").click()
    assert page.get_by_label("Panels", exact=True).input_value() == panels


@sizes
def test_a_link_works_for_somebody_else(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
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


@sizes
def test_watts_are_typed_into_the_table(open_page, size):
    page = open_page(size)
    settled(page)
    view(page, "Appliances")
    metric = page.get_by_test_id("stMetricValue").first
    before = float(metric.inner_text().replace(",", ""))
    table = page.get_by_test_id("stDataFrame").first
    table.scroll_into_view_if_needed()
    # The first row is the fridge, its name left of its watts; the table is drawn on a canvas.
    table.click(position={"x": 110, "y": 53})
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    page.keyboard.press("Enter")
    cell = page.locator("#portal input, [class*=gdg] input").first
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


def test_the_views_are_reached_by_keyboard(open_page):
    page = open_page("desk")
    settled(page)
    page.get_by_role("radio").first.wait_for()
    for _ in range(150):
        page.keyboard.press("Tab")
        page.wait_for_timeout(20)
        role = page.evaluate("document.activeElement.getAttribute('role')")
        if role == "radio":
            break
    else:
        pytest.fail("no Tab leads to the views")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Space")
    page.get_by_role("heading", name="What they use").wait_for()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_can_be_read(open_page, scheme):
    """4.5 : 1, or 3 : 1 where it is large; WCAG 2.1, 1.4.3."""
    page = open_page("desk", scheme=scheme)
    settled(page)
    weak = page.evaluate(
        """() => {
            const parse = c => (c.match(/[\\d.]+/g) || []).map(Number);
            const over = (f, b) => {
                const a = f.length > 3 ? f[3] : 1;
                return [0, 1, 2].map(i => a * f[i] + (1 - a) * b[i]);
            };
            const lum = c => [0.2126, 0.7152, 0.0722].reduce((s, w, i) => {
                const v = c[i] / 255;
                return s + w * (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
            }, 0);
            const found = [];
            for (const e of document.querySelectorAll('p, h3, label, span, li, button')) {
                const text = [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim());
                if (!text || !e.offsetParent || e.closest('svg,[aria-disabled=true]')) continue;
                // Icons are letters of a font.
                if (e.dataset.testid === 'stIconMaterial') continue;
                const layers = [];
                for (let p = e; p; p = p.parentElement)
                    layers.unshift(parse(getComputedStyle(p).backgroundColor));
                const back = layers.reduce((b, c) => c.length ? over(c, b) : b, [255, 255, 255]);
                const style = getComputedStyle(e);
                const [a, b] = [lum(over(parse(style.color), back)), lum(back)];
                const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
                const large = parseFloat(style.fontSize) >= 24;
                if (ratio < (large ? 3 : 4.5)) found.push(e.innerText + ' ' + ratio.toFixed(2));
            }
            return found;
        }"""
    )
    assert weak == []
