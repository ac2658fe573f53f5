"""The log's view: a log of known truth, what is said of its reading, and the van it leads to."""

from __future__ import annotations

import dataclasses
import types

import numpy as np
import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from solarsim.answers.calibrate.log import LOG_QUANTITIES
from solarsim.answers.question import ask
from solarsim.app.answering import log_answer
from solarsim.app.plain import plain
from solarsim.app.uploads.log_file import QUANTITIES, LogFile, LogStatement, bank_log, headings_of
from solarsim.app.uploads.opening import opened
from solarsim.app.views import log as log_view
from solarsim.errors import InputError
from solarsim.present.calibrate.text import calibrate_headline, calibrated_files
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.years.history import HistoryYear, store_year
from tests.answers.calibrate.log_by_hand import make_log
from tests.app.conftest import ROOT, tables, take
from tests.app.test_page import figures, shown
from tests.weather.readers.epw_by_hand import GREENSBORO

PLACE = "36.10, -79.95"
DAYS = 40


@pytest.fixture(scope="module")
def year():
    place = ask("weekender", place=PLACE, runs=1).place
    return dataclasses.replace(read_weather_file(GREENSBORO), place=place)


@pytest.fixture(scope="module")
def truth(year):
    return make_log(year, first="2001-06-01", days=DAYS, load_factor=1.5)


@pytest.fixture(scope="module")
def csv(truth):
    return truth.table.to_csv(index=False).encode()


@pytest.fixture(autouse=True)
def no_history(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))


@pytest.fixture
def page(app, visit):
    """The view, at the place where the log was written."""
    app.text_input(key="in_stay.place").set_value(PLACE).run()
    return visit(app, "Log")


def upload(page, content, name="log.csv"):
    box = page.file_uploader(key=f"log_upload_{page.session_state['log_round']}")
    box.set_value((name, content, "text/csv")).run()
    assert not page.exception
    return page


def say(page, **positions):
    """Fill the form: positions of headings from 1, as the boxes list them."""
    for what, value in positions.items():
        page.selectbox(key=f"log_form_{what}").set_value(value)
    next(one for one in page.button if one.label == "Read it so").click()
    page.run()
    assert not page.exception
    return page


def estimates(page):
    rows = page.dataframe[0].value
    return dict(
        zip(rows["estimate"], rows["by the log"].str.split().str[0].astype(float), strict=True)
    )


def test_nothing_is_asked_of_a_page_without_a_log(page):
    assert [heading.value for heading in page.title] == ["The battery monitor's log"]
    assert not page.dataframe
    assert not page.error


@pytest.mark.slow
def test_nobody_sees_another_s_log(page, csv, visit):
    """A second visitor of the same server, on the same view, with the same van."""
    other = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60).run()
    other.text_input(key="in_stay.place").set_value(PLACE).run()
    visit(other, "Log")
    upload(page, csv, "mine.csv")
    assert page.dataframe
    other.run()
    assert not other.dataframe
    assert "mine.csv" not in shown(other)
    # Nor does a visitor who comes later.
    later = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60).run()
    assert not visit(later, "Log").dataframe


@pytest.mark.slow
def test_a_log_gives_its_truth_back(page, truth, csv):
    upload(page, csv)
    assert not page.error
    found = estimates(page)
    assert found["base load"] == pytest.approx(truth.load_w.mean(), rel=0.05)
    # Judged by the climate, not by the days' own sky.
    assert found["solar yield"] == pytest.approx(truth.yield_factor, rel=0.2)
    assert found["usable capacity"] == pytest.approx(200.0 * truth.capacity_factor, rel=0.08)
    answer = log_answer(page.session_state["design"], LogFile("log.csv", csv), LogStatement())
    text = shown(page)
    assert plain(calibrate_headline(answer)) in text
    assert "current &#61; 'Battery current &#40;A&#41;'" in text
    assert "embedded climate" in text
    assert "As promised" in text
    by_hour, daily = tables(page)
    loads_w = [float(text) for text in by_hour["by the log, W"]]
    assert loads_w == pytest.approx(list(truth.load_w), rel=0.12)
    assert len(daily["day"]) == DAYS
    assert [one.proto.label for one in page.get("download_button")] == [
        "The calibrated van, as TOML",
        "Its loads, as TOML",
    ]


@pytest.mark.slow
def test_what_is_taken_away_opens_again(page, csv):
    design = page.session_state["design"]
    answer = log_answer(design, LogFile("log.csv", csv), LogStatement())
    found, said = design, ""
    for name, content in calibrated_files(answer, "own").items():
        found, more = opened(found, name, content)
        said += more
    assert "names the people 'own-loads.toml'" in said
    assert found.van.battery.unit_capacity_ah == answer.van_tables["battery"]["unit_capacity_ah"]
    assert found.profile.hourly.dc_w == tuple(answer.profile_tables["hourly"]["dc_w"])


@pytest.mark.slow
def test_the_log_stays_while_other_views_are_looked_at(page, visit, csv):
    upload(page, csv)
    say(page, positive="in")
    visit(page, "Save")
    visit(page, "Log")
    assert estimates(page)["base load"] > 40.0
    assert "as stated" in shown(page)
    assert page.selectbox(key="log_form_positive").value == "in"
    page.button(key="log_drop").click().run()
    assert not page.exception
    assert not page.dataframe
    assert page.session_state["log_round"] == 1


@pytest.mark.slow
def test_a_weather_file_judges_the_light_where_it_covers_the_dates(page, csv):
    upload(page, csv)
    box = page.file_uploader(key=f"weather_{page.session_state['uploads']}")
    box.set_value(("typical.csv", GREENSBORO.read_bytes(), "text/csv")).run()
    assert not page.exception
    assert "embedded climate" not in shown(page)
    assert "judged by typical&#46;csv" in shown(page)
    assert "/tmp" not in shown(page)
    assert estimates(page)["solar yield"] == pytest.approx(0.82, rel=0.05)
    moved = csv.replace(b"\n2001-", b"\n2011-")
    upload(page, moved)
    assert "The weather file does not cover the log's dates." in shown(page)
    assert "embedded climate" in shown(page)


@pytest.mark.slow
def test_years_that_are_fetched_judge_the_light_at_once(page, year, csv):
    upload(page, csv)
    assert "embedded climate" in shown(page)
    zone_h = round(-year.place.utc_offset_h)
    columns = {
        "ghi_w_m2": year.ghi_w_m2,
        "dni_w_m2": year.dni_w_m2,
        "dhi_w_m2": year.dhi_w_m2,
        "temp_air_c": year.temp_air_c,
        "relative_humidity_pct": 100.0 * year.relative_humidity,
        "wind_speed_m_s": year.wind_speed_m_s,
        "precipitation_mm_h": np.zeros(8760),
    }
    columns = {name: np.roll(values, zone_h) for name, values in columns.items()}
    store_year(year.place, HistoryYear(2001, columns, year.place.elevation_m, "by hand"))
    page.run()
    assert not page.exception
    assert "embedded climate" not in shown(page)
    assert estimates(page)["solar yield"] == pytest.approx(0.82, rel=0.05)


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"\x00\x01\x02" * 50, "not text"),
        (b"time,volts\n2024-01-01 00:00,13.2\n2024-01-01 01:00,13.2\n", "spans 1 hours"),
        (b"name,colour\nfridge,white\nheater,black\n", "time"),
    ],
)
def test_a_file_that_is_no_log_is_said_in_place(page, content, words):
    upload(page, content, "<i>.csv")
    assert len(page.error) == 1
    assert words in page.error[0].value
    assert page.error[0].value.startswith("&#60;i&#62;&#46;csv")
    assert "/tmp" not in page.error[0].value
    assert not page.dataframe


@pytest.mark.slow
def test_a_file_that_is_too_large_is_not_taken(page):
    given = types.SimpleNamespace(name="big.csv", size=log_view.MAX_LOG_BYTES + 1)
    page.session_state["given"] = given
    take(page, log_view._take_log, "given")
    page.run()
    assert "larger than 5 MB" in page.error[0].value
    assert "log_file" not in page.session_state


@pytest.mark.slow
def test_a_wrong_statement_is_said_in_one_line_and_mended(page, csv):
    upload(page, csv)
    say(page, soc=4, positive="out")
    assert len(page.error) == 1
    assert "Battery current" in page.error[0].value
    assert "0&#46;&#46;1 or 0&#46;&#46;100" in page.error[0].value
    assert "\n" not in page.error[0].value
    assert not page.dataframe
    say(page, soc=4, current=4)
    assert "for soc and current; a column is one quantity" in page.error[0].value
    say(page, soc=0, current=4, positive="")
    assert not page.error
    assert estimates(page)["base load"] > 40.0


@pytest.mark.slow
def test_a_clock_that_is_none_is_said(page, csv):
    upload(page, csv)
    page.text_input(key="log_form_timezone").set_value("../../etc")
    say(page)
    assert "must be an offset such as" in page.error[0].value
    page.text_input(key="log_form_timezone").set_value("UTC-4")
    say(page)
    assert not page.error


@pytest.mark.slow
def test_the_calibrated_van_becomes_the_design_and_goes_again(page, visit, csv):
    upload(page, csv)
    before = page.session_state["design"]
    # The middle of the second row of figures and of the first.
    by_the_log = page.metric[4].value
    assert by_the_log != page.metric[1].value
    page.button(key="log_take").click().run()
    assert not page.exception
    after = page.session_state["design"]
    assert "calibrated van is the design now" in page.info[0].value
    assert after.van.battery.unit_capacity_ah < before.van.battery.unit_capacity_ah
    assert after.profile.hourly is not None
    assert page.text_input(key="in_van.name").value == "Weekender, calibrated"
    # The view goes on telling what the log said of the van before.
    assert page.button(key="log_take").disabled
    assert "It is the design now." in shown(page)
    assert page.metric[4].value == by_the_log
    visit(page, "Answer")
    assert figures(page)["Days, middle"] == by_the_log
    visit(page, "Log")
    page.text_input(key="in_battery.units").set_value("3").run()
    assert not page.exception
    assert "with changes since" in shown(page)
    page.button(key="log_back").click().run()
    assert not page.exception
    assert page.session_state["design"] == before
    assert "log_back" not in [one.key for one in page.button]


@pytest.mark.slow
def test_two_visitors_share_no_log(page, csv):
    upload(page, csv)
    other = AppTest.from_file(str(page._script_path), default_timeout=60)
    other.session_state["view"] = "Log"
    other.run()
    assert not other.exception
    assert not other.dataframe
    assert "log_file" not in other.session_state


# --- without a page ---


def test_the_form_asks_for_every_quantity():
    assert set(QUANTITIES) == set(LOG_QUANTITIES)


def test_the_bytes_are_read_not_the_name(csv):
    question = ask("weekender", place=PLACE, runs=1)
    named = bank_log(LogFile("../../etc/passwd", csv), question, LogStatement())
    assert len(named.times) in range(24 * DAYS - 2, 24 * DAYS + 1)
    assert headings_of(LogFile("x", csv))[:2] == ("Timestamp", "SOC (%)")


def test_a_time_zone_moves_the_hours(csv):
    question = ask("weekender", place=PLACE, runs=1)
    log = LogFile("x.csv", csv)
    own = bank_log(log, question, LogStatement())
    west = bank_log(log, question, LogStatement(timezone="UTC-7"))
    assert west.times[0] - own.times[0] == pd.Timedelta(hours=3)


def test_a_statement_of_no_heading_is_refused(csv):
    question = ask("weekender", place=PLACE, runs=1)
    said = LogStatement(columns=(("soc", "Nowhere"),))
    with pytest.raises(InputError, match=r"log\.csv: columns: got 'Nowhere' for soc"):
        bank_log(LogFile("log.csv", csv), question, said)
