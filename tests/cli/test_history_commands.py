"""Real years and real logs on the command line; the network is a server on this machine."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from rich.console import Console

from solarsim.present.history.text import print_months
from solarsim.weather.places import find_place
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.readers.write_csv import plain_csv
from tests.answers.calibrate.log_by_hand import make_log
from tests.weather.readers.epw_by_hand import GREENSBORO
from tests.weather.years.stand_in import StandIn

PLACE = "36.10, -79.95"


@pytest.fixture(scope="module")
def year():
    return read_weather_file(GREENSBORO)


@pytest.fixture
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    for name in ("http_proxy", "HTTP_PROXY", "all_proxy", "ALL_PROXY"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path / "cache"


@pytest.mark.slow
def test_years_are_fetched_and_answered(cli, cache, tmp_path, year):
    with StandIn(year) as server:
        got = cli("weather", "get", "--place", PLACE, "--years", "2018-2019", "--url", server.url)
    assert got.code == 0
    assert "2 of 2 years fetched now" in got.err
    assert "darkest year" in got.out
    ran = cli("history", "--place", PLACE, "--years", "2018-2019", "--runs", 20, "--json", "-")
    assert (ran.code, ran.err) == (0, "")
    answer = json.loads(ran.out)
    assert [one["year"] for one in answer["years"]] == [2018, 2019]
    # The stand-in's 2019 is its darkest year.
    assert (answer["worst_year"], answer["best_year"]) == (2019, 2018)
    assert answer["climate"]["runs"] == 20
    assert answer["history"]["runs"] == 62
    assert {"p10", "p50", "p90"} <= set(answer["years"][0]["days"])
    beside = json.loads(cli("stay", "--place", PLACE, "--runs", 20, "--json", "-").out)
    assert beside["real_years"]["years"] == [2018, 2019]
    assert " of 2 real years here (2018-2019, each from 12 January)" in beside["real_years"]["text"]
    few = cli("tune", "--place", PLACE, "--climate", "history")
    assert (few.code, few.out) == (2, "")
    assert "needs 10 real years" in few.err
    assert "only 2018-2019 are at hand" in few.err
    part = cli("history", "--place", PLACE, "--years", "2017-2019", "--runs", 20, "--json", "-")
    assert "2017 is not in the cache: answering from the other 2; " in part.err
    rest = json.loads(part.out)
    assert rest["missing_years"] == [2017]
    assert rest["years"] == answer["years"]
    shown = cli(
        "history", "--place", PLACE, "--years", "2018-2019", "--runs", 20, "--plot", "h.html"
    )
    assert "The worst year was 2019" in shown.out
    assert "Side by side" in shown.out
    page = (tmp_path / "h.html").read_text()
    assert "The worst year was 2019" in page.partition("</h1>")[0]
    assert page.rstrip().endswith("</html>")


@pytest.mark.slow
def test_damaged_years_are_said_and_years_are_fetched_again_on_request(cli, cache, year):
    with StandIn(year) as server:
        asked = ("weather", "get", "--place", PLACE, "--years", "2018-2019", "--url", server.url)
        server.faults = ["", "not yet over"]
        got = cli(*asked)
        assert "solarsim: 2019 cannot be used and was not kept: light and air are there" in got.err
        assert "embedded climate\n" not in got.err
        assert "Light at 36.100 N, 79.950 W, 2018 " in got.out
        next(Path(cache).rglob("2018.csv.gz")).write_bytes(b"x")
        seen = cli("history", "--place", PLACE, "--years", "2018-2019", "--runs", 20)
        assert "2018-2019 are not in the cache (2018 is damaged): " in seen.err
        got = cli(*asked)
        assert "solarsim: damaged in the cache and fetched again: 2018\n" in got.err
        assert "2 of 2 years fetched now" in got.err
        assert "0 of 2 years fetched now" in cli(*asked).err
        assert "2 of 2 years fetched now" in cli(*asked, "--again").err


def test_a_month_without_a_year_is_a_dash():
    page = io.StringIO()
    months = [None, *[(1.0, 2.0, 3.0)] * 11]
    print_months(find_place(PLACE), None, months, "Light", Console(file=page, width=80))
    rows = [line.replace("│", " ").split() for line in page.getvalue().split("\n")]
    assert ["Jan", "-", "-", "-"] in rows
    assert ["Feb", "1.00", "2.00", "3.00"] in rows


def test_offline_says_so_in_one_line_and_goes_on(cli, cache, year):
    with StandIn(year) as gone:
        url = gone.url
    got = cli("weather", "get", "--place", PLACE, "--years", "2018", "--url", url)
    assert got.code == 0
    assert len(got.err.strip().split("\n")) == 1
    assert "cannot be reached; answers go on from the embedded climate" in got.err
    assert "embedded climate" in got.out
    ran = cli("history", "--place", PLACE, "--years", "2018", "--runs", 20)
    assert ran.code == 0
    assert len(ran.err.strip().split("\n")) == 1
    assert "2018 is not in the cache: answering from the embedded climate alone" in ran.err
    assert "No real years at hand" in ran.out


@pytest.mark.slow
def test_a_file_is_judged_and_written_out_to_be_read_again(cli, cache, tmp_path, year):
    ran = cli("weather", "check", GREENSBORO, "--out", "clean.csv", "--json", "-")
    assert ran.code == 0
    first = json.loads(ran.out)
    again = json.loads(cli("weather", "check", "clean.csv", "--json", "-").out)
    for name in ("hours", "closure_share", "above_clear_share"):
        assert again["quality"][name] == pytest.approx(first["quality"][name], abs=1e-3)
    assert first["verdict"] == {"grade": "use it", "reasons": [], "repairs": []}
    shown = cli("weather", "check", "clean.csv").out
    assert "Quality of the file" in shown
    assert shown.rstrip().endswith("Use it.")
    read = read_weather_file(tmp_path / "clean.csv")
    for name in ("ghi_w_m2", "dni_w_m2", "temp_air_c", "relative_humidity", "wind_speed_m_s"):
        assert getattr(read, name) == pytest.approx(getattr(year, name), rel=1e-5), name
    assert cli("stay", "--weather", "clean.csv", "--runs", 5, "--json", "-").code == 0


@pytest.mark.slow
def test_a_file_is_repaired(cli, cache, tmp_path, year):
    text = plain_csv(year).replace("# stamp = start", "# stamp = end")
    (tmp_path / "late.csv").write_text(text.replace("typical_year = yes", "typical_year = no"))
    ran = cli("weather", "check", "late.csv", "--json", "-")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.rstrip().endswith("`--repair --out clean.csv` moves all stamps 1 h later")
    ran = cli("weather", "check", "late.csv", "--repair", "--out", "clean.csv")
    assert ran.out.rstrip().endswith("Use it.")
    assert "Repaired: all stamps were moved 1 h later" in ran.out
    again = read_weather_file(tmp_path / "clean.csv")
    assert again.times[0] == year.times[0]
    assert again.ghi_w_m2 == pytest.approx(year.ghi_w_m2, rel=1e-5)


@pytest.mark.slow
def test_a_log_becomes_a_calibrated_van(cli, cache, tmp_path, year):
    truth = make_log(year, first="2001-06-01", days=15)
    truth.table.to_csv(tmp_path / "log.csv", index=False)
    options = ("--place", PLACE, "--month", 9, "--runs", 20)
    ran = cli("calibrate", "log.csv", *options, "--out", "mine.toml", "--plot", "mine.png")
    assert (ran.code, ran.err) == (0, "")
    for part in ("By its log the van", "How the log was read", "base load", "as promised"):
        assert part in ran.out
    assert (tmp_path / "mine.png").read_bytes().startswith(b"\x89PNG")
    stay = cli("stay", "mine.toml", "--month", 9, "--runs", 20, "--json", "-")
    assert stay.code == 0
    answer = json.loads(cli("calibrate", "log.csv", *options, "--json", "-").out)
    after = answer["after"]["days_unplugged"]
    assert json.loads(stay.out)["days_unplugged"]["p50"] == pytest.approx(after["p50"], abs=1.0)
    page = cli("calibrate", "log.csv", "weekender", *options, "--plot", "mine.html")
    assert page.code == 0
    assert "model after" in (tmp_path / "mine.html").read_text()


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (("history", "--years", "1900"), "years: got '1900'"),
        (("history", "no.toml", "--plot", "h.gif"), "must end in one of .html, .png, .svg"),
        (("history", "no.toml", "--plot", "no/h.svg"), "its folder does not exist"),
        (("weather", "get", "--years", "x"), "years: got 'x'"),
        (("weather", "get", "--url", "ftp://x"), "must start with https://"),
        (("weather", "check", "no.csv"), "no.csv: cannot be read"),
        (("weather", "check", "no.csv", "--columns", "light=x"), "QUANTITY=HEADING"),
        (("calibrate", "no.csv"), "no.csv: cannot be read"),
        (("calibrate", "no.csv", "--out", "x.txt"), "must end in .toml"),
        (("calibrate",), "Missing argument"),
    ],
)
def test_bad_options_are_one_line_and_nothing_is_written(cli, cache, tmp_path, arguments, part):
    ran = cli(*arguments)
    assert ran.code == 2
    assert part in ran.err
    assert ran.out == ""
    assert len(ran.err.strip().split("\n")) == 1
    assert not [path for path in tmp_path.iterdir() if path.name != "cache"]
