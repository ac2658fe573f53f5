"""Panels and what stands on the roof are dragged on the plan, by mouse, by thumb and by keys."""

from __future__ import annotations

from solarsim.app.link import design_from_link
from tests.browser.test_story import a_phone_as_a_rule, fits, settled, view


def roof(page):
    return design_from_link(page.evaluate("location.href")).van.roof


def becomes(page, asked):
    """Wait until the design's roof is as asked; the page's address holds it."""
    for _ in range(100):
        if asked(roof(page)):
            settled(page)
            return roof(page)
        page.wait_for_timeout(200)
    return roof(page)


def thing(page, name):
    return page.locator(f".plan .thing[data-thing='{name}']")


def drag(page, name, right_px, down_px):
    found = thing(page, name)
    found.scroll_into_view_if_needed()
    box = found.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right_px, y + down_px, steps=4)
    page.mouse.up()


def opened(open_page, size, **more):
    page = open_page(size, **more)
    settled(page)
    view(page, "Roof")
    thing(page, "panel 1").wait_for()
    settled(page)
    return page


@a_phone_as_a_rule
def test_a_fan_is_dragged_to_the_centimetre_and_the_panels_make_way(open_page, faults, size):
    page = opened(open_page, size, scheme="dark" if size == "phone" else "light")
    scale = page.locator(".plan svg").evaluate("svg => svg.getScreenCTM().a")
    drag(page, "obstacle 0", 120 * scale, -30 * scale)
    (fan,) = becomes(page, lambda found: found.obstacles[0].x_m > 1.0).obstacles
    assert (round(100 * fan.x_m) / 100, round(100 * fan.y_m) / 100) == (fan.x_m, fan.y_m)
    assert (abs(fan.x_m - 1.6) < 0.03, abs(fan.y_m - 0.3) < 0.03) == (True, True)
    assert roof(page).panels == ()
    assert (faults(page), fits(page)) == ([], [True, []])
    # The number fields below say the same, and take it back.
    page.get_by_role("button", name="Undo").click()
    assert becomes(page, lambda found: found.obstacles[0].x_m == 0.4).obstacles[0].x_m == 0.4


def test_a_panel_is_dragged_refused_over_another_and_laid_out_anew(open_page, faults):
    page = opened(open_page, "phone")
    scale = page.locator(".plan svg").evaluate("svg => svg.getScreenCTM().a")
    drag(page, "panel 1", -20 * scale, 0)
    page.get_by_text("It is back where it was.").wait_for()
    assert roof(page).panels == ()
    drag(page, "panel 0", -20 * scale, 0)
    page.get_by_role("button", name="Let the program lay the panels out").wait_for()
    places = becomes(page, lambda found: found.panels).panels
    assert len(places) == 2
    assert {place.lies for place in places} == {"crosswise"}
    assert faults(page) == []
    # The fan has no room on a panel that lies where somebody has put it.
    drag(page, "obstacle 0", (places[0].x_m - 0.3) * 100 * scale, 0)
    page.get_by_text("It is back where it was.").wait_for()
    page.get_by_role("button", name="Let the program lay the panels out").click()
    page.get_by_text("The program has laid the panels out.").wait_for()
    settled(page)
    assert roof(page).panels == ()


def test_a_thing_is_moved_by_keys_and_put_back_by_escape(open_page):
    page = opened(open_page, "desk")
    fan = thing(page, "obstacle 0")
    fan.focus()
    for key in ("Shift+ArrowRight", "ArrowRight", "ArrowDown"):
        page.keyboard.press(key)
    assert "0.51 m forwards, 0.61 m to the right" in fan.get_attribute("aria-label")
    page.keyboard.press("Escape")
    assert "0.40 m forwards, 0.60 m to the right" in fan.get_attribute("aria-label")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Enter")
    assert becomes(page, lambda found: found.obstacles[0].x_m == 0.5).obstacles[0].x_m == 0.5


def test_a_thumb_drags(open_page):
    page = opened(open_page, "phone")
    touch = page.context.new_cdp_session(page)
    fan = thing(page, "obstacle 0")
    fan.scroll_into_view_if_needed()
    box = fan.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    for kind, by in (("Start", 0), ("Move", 15), ("Move", 30), ("Move", 45), ("End", None)):
        points = [] if by is None else [{"x": x + by, "y": y}]
        touch.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": points})
    assert becomes(page, lambda found: found.obstacles[0].x_m > 0.6).obstacles[0].x_m > 0.6
