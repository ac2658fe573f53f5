"""What is typed counts as it was typed, and stays: in a browser, at a desk and on a phone."""

from __future__ import annotations

import dataclasses
import re

import pytest

from solarsim.app.draft import example, shipped_profile
from solarsim.app.link import KEPT, PARAMETER, design_code, design_from_link
from solarsim.errors import PlaceError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.roof import ROOF_TEMPLATES
from solarsim.weather.places import find_place
from tests.browser.test_story import close_inputs, headline, open_inputs, pick, settled, view

SHORT_BUS = "short bus, {} x {} m".format(*ROOF_TEMPLATES["short bus"])
GROUP = {"The van": "Where and when", "Driving, hours": "Bank and charging"}
GROUP |= {"Inverter's own draw, W": "Bank and charging", "Ready-made crews": "Who is aboard"}


def field(page, label):
    """A field beside the views, in the group that is opened for it."""
    sidebar = page.get_by_test_id("stSidebar")
    found = sidebar.get_by_label(label, exact=True)
    if label in GROUP and not found.is_visible():
        sidebar.get_by_text(GROUP[label], exact=True).click()
    found.wait_for()
    return found


def give(page, label, text):
    """Type into a field beside the views."""
    found = field(page, label)
    found.fill(text)
    found.press("Enter")
    settled(page)


def design(page):
    """The design that the page's address holds: what answers are for."""
    return design_from_link(page.url)


def holds(page, what):
    """Whether the design comes to hold what was given; the address follows the page."""
    for _ in range(60):
        if what(design(page)):
            return True
        page.wait_for_timeout(250)
    return False


def cell(page, row, text, *, steps):
    """Type over a cell of the appliances: so many steps right of the name."""
    table = page.get_by_test_id("stDataFrame").first
    table.scroll_into_view_if_needed()
    box = table.bounding_box()
    table.click(position={"x": 0.3 * box["width"], "y": 53 + 35 * row})
    for _ in range(steps):
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(150)
    page.wait_for_timeout(200)
    page.keyboard.press("Enter")
    editor = page.locator("#portal input, #portal textarea, [class*=gdg] input").first
    editor.wait_for()
    page.keyboard.press("Control+a")
    # Key by key, as a person does: what a box for numbers does to a comma shows only so.
    page.keyboard.type(text)
    page.wait_for_timeout(300)
    page.keyboard.press("Enter")
    # The table waits a moment before it tells of an edit.
    page.wait_for_timeout(600)
    settled(page)


def test_after_a_ready_made_crew_all_inputs_work(open_page):
    page = open_page("desk")
    settled(page)
    crew = shipped_profile("ski-trip").profile.name
    pick(page, field(page, "Ready-made crews"), crew)
    settled(page)
    assert design(page).profile.profile.name == crew
    for label, text in (("Place", "Bergen, NO"), ("Days without moving", "3"), ("Panels", "1")):
        give(page, label, text)
        assert field(page, label).input_value() == text
    stay = design(page).van.stay
    assert (stay.place, stay.days, design(page).van.panels.count) == ("Bergen, NO", 3, 1)
    assert "Bergen" in headline(page)
    view(page, "Appliances")
    cell(page, 0, "61", steps=1)
    assert page.get_by_test_id("stException").count() == 0
    assert holds(page, lambda found: found.profile.appliances[0].power_w == 61.0)


def test_after_a_class_of_roof_all_inputs_work(open_page):
    page = open_page("desk")
    settled(page)
    view(page, "Roof")
    pick(page, page.get_by_role("combobox", name="Begin with the roof of a"), SHORT_BUS)
    settled(page)
    give(page, "Place", "Bergen, NO")
    give(page, "Panels", "3")
    length = page.get_by_label("Length, m", exact=True)
    length.fill("5,25")
    length.press("Enter")
    settled(page)
    van = design(page).van
    assert (van.stay.place, van.panels.count, van.roof.length_m) == ("Bergen, NO", 3, 5.25)


@pytest.mark.parametrize("locale", ["de-DE", "en-US"])
def test_a_decimal_comma_is_one(open_page, locale):
    page = open_page("desk", locale=locale, query="?lang=en")
    settled(page)
    for label, text in (("Driving, hours", "0,5"), ("Inverter's own draw, W", "8,5")):
        found = field(page, label)
        found.click()
        page.keyboard.press("Control+a")
        page.keyboard.type(text)
        page.keyboard.press("Enter")
        settled(page)
    assert holds(page, lambda found: found.van.inverter.idle_w == 8.5)
    assert design(page).van.alternator.drive_h == 0.5
    view(page, "Appliances")
    cell(page, 0, "45,5", steps=1)
    assert holds(page, lambda found: found.profile.appliances[0].power_w == 45.5)


def test_a_refused_cell_holds_nothing_back_and_is_not_forgotten(open_page):
    page = open_page("desk")
    settled(page)
    names = [each.name for each in example().profile.appliances]
    lights = names.index("LED lights, dimmable")
    view(page, "Appliances")
    cell(page, lights, "abc", steps=1)
    main = page.get_by_test_id("stMain")
    main.get_by_text("must be a number").wait_for()
    cell(page, 0, "61", steps=1)
    cell(page, names.index("laptop"), "1,25", steps=2)
    assert main.get_by_text("must be a number").count() == 1
    assert holds(page, lambda found: found.profile.appliances[names.index("laptop")].use_h == 1.25)
    found = design(page).profile.appliances
    assert found[0].power_w == 61.0
    assert found[lights].power_w == example().profile.appliances[lights].power_w
    view(page, "Answer")
    view(page, "Appliances")
    main.get_by_text("must be a number").wait_for()
    cell(page, lights, "9", steps=1)
    assert holds(page, lambda found: found.profile.appliances[lights].power_w == 9.0)
    main.get_by_text("must be a number").wait_for(state="detached")


def test_an_appliance_is_taken_out(open_page):
    page = open_page("desk")
    settled(page)
    view(page, "Appliances")
    pick(page, page.get_by_role("combobox", name="Take an appliance out"), "laptop")
    page.get_by_role("button", name="Take it out").click()
    page.get_by_text("laptop is out of the table.").wait_for()
    settled(page)
    assert "laptop" not in [each.name for each in design(page).profile.appliances]


def test_what_must_not_be_built_is_said_in_every_view(open_page):
    settings = ["panels.count=4", "panels.series=4", "controller.max_input_v=75"]
    wrong = dataclasses.replace(example(), van=read_van("weekender", settings=settings))
    page = open_page("desk", query=f"?{PARAMETER}={design_code(wrong)}", ready="STOP")
    settled(page)
    for name in ("Answer", "Electrical", "Sheet", "Save"):
        view(page, name)
        page.get_by_test_id("stMain").get_by_text("STOP").first.wait_for()
        page.locator(".st-key-strip").get_by_text("STOP").wait_for()


def test_banks_are_compared_by_what_is_left_above_the_cut_off(open_page):
    lead = read_van("weekender", settings=["battery.part=100 Ah AGM"])
    kept = design_code(dataclasses.replace(example(), van=lead))
    query = f"?{PARAMETER}={design_code(example())}&{KEPT}={kept}&view=Compare"
    page = open_page("desk", query=query, ready="Side by side")
    settled(page)
    page.get_by_role("heading", name="Usable energy left in the bank").wait_for()
    chart = page.locator(".js-plotly-plot").last
    chart.get_by_text("Now, cut off at 10 %").wait_for()
    chart.get_by_text("Design A, cut off at 50 %").wait_for()
    chart.get_by_text("cut off", exact=True).wait_for()


def test_more_people_do_not_last_longer(open_page):
    page = open_page("desk")
    settled(page)
    days = []
    for people in ("1", "2", "4", "6"):
        give(page, "People", people)
        strip = page.locator(".st-key-strip").inner_text()
        days.append(float(re.match(r"[\d.]+", strip).group()))
    assert days == sorted(days, reverse=True)
    assert days[0] > days[-1]


@pytest.mark.parametrize("size", ["desk", "phone"])
def test_an_emptied_field_and_one_out_of_range_are_said(open_page, size):
    page = open_page(size)
    settled(page)
    open_inputs(page, size)
    sidebar = page.get_by_test_id("stSidebar")
    for text, words in (("", "is empty"), ("400", "must be from 1 to"), ("4", None)):
        give(page, "Days without moving", text)
        if words:
            sidebar.get_by_text(re.compile(words)).wait_for()
        old = page.locator(".st-key-strip").get_by_text("for the last values that fit")
        old.wait_for(state="visible" if words else "detached")
    close_inputs(page, size)
    assert page.get_by_test_id("stAlert").count() == 0
    assert design(page).van.stay.days == 4


def test_nothing_lies_over_what_is_typed(open_page):
    page = open_page("desk")
    settled(page)
    # A wide field: the framework writes nothing into a narrow one.
    page.get_by_label("Place", exact=True).press_sequentially("1")
    notes = page.get_by_test_id("InputInstructions")
    notes.first.wait_for(state="attached")
    for note in notes.all():
        note.wait_for(state="hidden")


@pytest.mark.parametrize(("typed", "least"), [("Portlnd", 2)])
def test_all_towns_that_may_be_meant_are_offered(open_page, typed, least):
    with pytest.raises(PlaceError) as caught:
        find_place(typed)
    meant = caught.value.choices[-1]
    assert len(caught.value.choices) >= least
    page = open_page("desk")
    settled(page)
    give(page, "Place", typed)
    box = page.get_by_test_id("stSidebar").get_by_role("combobox", name="Which one?")
    # The last of them lies below what the list shows at once: it is found by typing.
    box.fill(meant)
    page.get_by_role("option", name=meant, exact=True).click()
    settled(page)
    assert holds(page, lambda found: found.van.stay.place == meant)


def test_things_on_the_roof_do_not_stand_in_each_other(open_page):
    page = open_page("desk")
    settled(page)
    view(page, "Roof")
    for kind in ("vent", "antenna", "vent"):
        pick(page, page.get_by_role("combobox", name="Put on the roof"), kind)
        settled(page)
        page.get_by_role("button", name="Put it there").click()
        page.get_by_text("stands at x").wait_for()
        settled(page)
    things = design(page).van.roof.obstacles
    assert len(things) == len(example().van.roof.obstacles) + 3
    for number, one in enumerate(things):
        for two in things[number + 1 :]:
            apart_x = min(one.x_m + one.length_m, two.x_m + two.length_m) - max(one.x_m, two.x_m)
            apart_y = min(one.y_m + one.width_m, two.y_m + two.width_m) - max(one.y_m, two.y_m)
            assert min(apart_x, apart_y) <= 1e-9, (one.name, two.name)


def test_panels_taken_from_the_roof_bring_their_controller(open_page):
    page = open_page("desk")
    settled(page)
    view(page, "Roof")
    pick(page, page.get_by_label("Panels drawn", exact=True), "3")
    settled(page)
    page.get_by_role("button", name="Take 3 panels").click()
    page.get_by_text("They need a controller").wait_for()
    settled(page)
    van = design(page).van
    assert van.panels.count == 3
    assert van.controller.max_output_a * 14.6 >= 3 * van.panels.power_w * van.controller.efficiency


def test_a_saved_name_keeps_its_letters(open_page):
    page = open_page("desk")
    settled(page)
    give(page, "The van", "Größerer Kämper №2")
    view(page, "Save")
    with page.expect_download() as download:
        page.get_by_role("button", name="The van, as TOML").click()
    assert download.value.suggested_filename == "größerer-kämper-2.toml"


def test_the_sheet_s_places_are_not_forgotten(open_page):
    page = open_page("desk")
    settled(page)
    view(page, "Sheet")
    places = page.get_by_label(re.compile("^More places"))
    places.fill("Bergen, NO\nOslo, NO")
    page.get_by_role("button", name="Make the sheet").click()
    page.get_by_role("button", name="The sheet, as PDF").wait_for(timeout=120_000)
    page.get_by_text("The answer's own stay begins on").wait_for()
    settled(page)
    view(page, "Answer")
    view(page, "Sheet")
    assert places.input_value() == "Bergen, NO\nOslo, NO"
    page.get_by_role("button", name="The sheet, as PDF").wait_for(timeout=120_000)
