"""From a monitor's export to the calibrated van, by a thumb."""

from __future__ import annotations

import dataclasses
import re
import tomllib

from solarsim.answers.question import ask
from solarsim.inputs.files.van import van_from_data
from solarsim.weather.readers.file import read_weather_file
from tests.answers.calibrate.log_by_hand import make_log
from tests.browser.test_story import fits, headline, settled, view
from tests.weather.readers.epw_by_hand import GREENSBORO


def test_a_log_is_held_against_the_van_and_the_van_taken(open_page, faults, tmp_path):
    place = ask("weekender", place="36.10, -79.95", runs=1).place
    year = dataclasses.replace(read_weather_file(GREENSBORO), place=place)
    path = tmp_path / "monitor <b>.csv"
    make_log(year, first="2001-06-01", days=14).table.to_csv(path, index=False)
    page = open_page("phone")
    settled(page)
    view(page, "Log")
    main = page.get_by_test_id("stMain")
    main.locator("input[type=file]").set_input_files(path)
    page.get_by_role("heading", name="Take it along").wait_for()
    main.get_by_text("Log of monitor <b>.csv").wait_for()
    settled(page)
    page.get_by_text("Say otherwise", exact=True).click()
    page.get_by_text("What each rests on", exact=True).click()
    plot = page.locator(".js-plotly-plot").first
    plot.get_by_text("model after", exact=True).wait_for()
    settled(page)
    assert faults(page) == []
    assert fits(page) == [True, []]
    # What is said otherwise is told in place, and mended.
    clock = page.get_by_label("Clock of the stamps", exact=True)
    clock.fill("noon")
    page.get_by_role("button", name="Read it so").click()
    main.get_by_text("must be an offset such as").wait_for()
    assert page.get_by_test_id("stException").count() == 0
    clock.fill("")
    page.get_by_role("button", name="Read it so").click()
    said = page.get_by_role("heading", name=re.compile("^By its log"))
    said.wait_for()
    days = re.search(r"lasts ([\d.]+) days", said.inner_text())[1]
    with page.expect_download() as download:
        page.get_by_role("button", name="The calibrated van, as TOML").click()
    assert download.value.suggested_filename == "weekender-calibrated.toml"
    tables = tomllib.loads(download.value.path().read_text(encoding="utf-8"))
    assert (
        van_from_data(tables, source="download").stay.profile == "weekender-calibrated-loads.toml"
    )
    page.get_by_role("button", name="Take the calibrated van as the design").click()
    page.get_by_text("The calibrated van is the design now").wait_for()
    settled(page)
    view(page, "Answer")
    assert "Weekender, calibrated" in headline(page)
    assert page.get_by_test_id("stMetricValue").nth(1).inner_text() == days
