"""A trip from a file of stops, and what is taken away of it, by a thumb."""

from __future__ import annotations

import json
import tomllib

from solarsim.inputs.files.trip import trip_from_data
from tests.browser.test_story import fits, settled, view

STOPS = """place,arrive,nights,drive_h,plugged_nights,people
"Lulea, SE",2026-03-27,2,,,
"Tornio, FI",,1,1.5,1,3
"""


def test_a_trip_is_asked_for_and_taken_away(open_page, faults, tmp_path):
    path = tmp_path / "north <b>.csv"
    path.write_text(STOPS, encoding="utf-8")
    page = open_page("phone", scheme="dark")
    settled(page)
    view(page, "Trip")
    main = page.get_by_test_id("stMain")
    # The shipped one, by the button.
    page.get_by_role("button", name="Ask for this trip").click()
    page.get_by_role("heading", name="to get through 9 stops").wait_for()
    # Until the page is drawn whole, the upload of before stands beside the new one.
    settled(page)
    # Another, by its file, which is asked about at once.
    main.locator("input[type=file]").set_input_files(path)
    page.get_by_role("heading", name="to get through 2 stops").wait_for()
    settled(page)
    page.locator(".js-plotly-plot .main-svg").first.wait_for()
    page.get_by_text("Stops as a table", exact=True).click()
    settled(page)
    assert faults(page) == []
    assert fits(page) == [True, []]
    assert page.get_by_test_id("stException").count() == 0
    with page.expect_download() as download:
        page.get_by_role("button", name="The trip, as TOML").click()
    assert download.value.suggested_filename == "north-b.toml"
    tables = tomllib.loads(download.value.path().read_text(encoding="utf-8"))
    again = trip_from_data(tables, source="download")
    assert (again.name, again.stops[1].people) == ("north <b>", 3)
    with page.expect_download() as download:
        page.get_by_role("button", name="The answer, as JSON").click()
    document = json.loads(download.value.path().read_text(encoding="utf-8"))
    assert [stop["plugged_nights"] for stop in document["stops"]] == [0, 1]
    # It is there again after another view was looked at.
    view(page, "Seasons")
    view(page, "Trip")
    page.get_by_role("heading", name="to get through 2 stops").wait_for()
