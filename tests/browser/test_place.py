"""The place: towns while one types, and a map to click on."""

from __future__ import annotations

from solarsim.app.link import design_from_link
from tests.browser.test_story import a_phone_as_a_rule, open_inputs, settled


def becomes(page, asked):
    """Wait until the design's place is as asked; the page's address holds it."""
    found = ""
    for _ in range(100):
        found = design_from_link(page.evaluate("location.href")).van.stay.place
        if asked(found):
            break
        page.wait_for_timeout(200)
    settled(page)
    return found


def typed(page, text):
    """Type into the place's field; letters that come while the page is being drawn may be lost."""
    from playwright.sync_api import TimeoutError as TooLate

    field = page.get_by_label("Place", exact=True)
    for last in (False, False, True):
        settled(page)
        field.click()
        field.fill("")
        field.press_sequentially(text, delay=40)
        try:
            page.get_by_role("option").first.wait_for(timeout=20_000 if last else 8_000)
            break
        except TooLate:
            if last:
                raise
    return field


@a_phone_as_a_rule
def test_towns_are_offered_while_one_types_and_one_is_taken(open_page, faults, size):
    page = open_page(size, scheme="dark" if size == "phone" else "light")
    settled(page)
    open_inputs(page, size)
    field = typed(page, "münch")
    page.get_by_role("option", name="Munich, Germany").wait_for()
    assert faults(page) == []
    assert field.get_attribute("aria-expanded") == "true"
    page.get_by_role("option", name="Munich, Germany").click()
    assert becomes(page, lambda place: place == "Munich, DE") == "Munich, DE"
    assert field.input_value() == "Munich, DE"
    assert page.get_by_role("option").count() == 0
    # By keys alone, and Escape leaves what was typed.
    typed(page, "salz")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert becomes(page, lambda place: place != "Munich, DE") == "Salzgitter, DE"
    field = typed(page, "berg")
    page.keyboard.press("Escape")
    assert (page.get_by_role("option").count(), field.input_value()) == (0, "berg")


@a_phone_as_a_rule
def test_a_spot_on_the_map_becomes_the_place(open_page, faults, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    page.get_by_role("button", name="Choose on a map").click()
    page.get_by_text("Now: 47.80, 13.04").wait_for()
    plan = page.locator(".place-map svg")
    plan.get_by_text("Vienna").or_(plan.get_by_text("Berlin")).first.wait_for()
    settled(page)
    assert faults(page) == []
    page.get_by_role("button", name="Nearer").click()
    plan.get_by_text("Munich").wait_for()
    settled(page)
    box = plan.bounding_box()
    page.mouse.click(box["x"] + 0.75 * box["width"], box["y"] + 0.25 * box["height"])
    found = becomes(page, lambda place: place != "Salzburg, AT")
    latitude, longitude = map(float, found.split(","))
    # A quarter of five degrees up; a quarter of the width, squeezed by the latitude, to the right.
    assert abs(latitude - 49.05) < 0.1
    assert abs(longitude - 15.32) < 0.15
    assert page.get_by_label("Place", exact=True).input_value() == found
