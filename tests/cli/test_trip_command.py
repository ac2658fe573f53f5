"""The trip on the command line: text, JSON, the table of stops, pictures, and what is refused."""

from __future__ import annotations

import csv
import io
import json
import xml.etree.ElementTree as ET

import pytest

RUNS = ("--runs", "10")
TOUR = """
[trip]
name = "Two <b>towns</b> for $5"
[[stops]]
place = "Lulea, SE"
arrive = 2026-03-27
nights = 2
[[stops]]
place = "Tornio, FI"
nights = 1
drive_h = 1.5
plugged_nights = 1
"""
STOP_KEYS = {
    *("number", "place", "arrives", "leaves", "arrive", "nights", "plugged_nights", "drive_h"),
    *(
        "parking",
        "people",
        "begins_h",
        "arrives_h",
        "ends_h",
        "fail_chance",
        "reached_chance",
        "lost_days",
    ),
    *("soc_arrival", "soc_lowest", "ledger_wh", "ghi_kwh_m2_day", "temp_air_c"),
    "demand_wh_per_day",
}


@pytest.fixture
def tour(tmp_path):
    path = tmp_path / "tour.toml"
    path.write_text(TOUR, encoding="utf-8")
    return path


@pytest.mark.slow
def test_the_shipped_trip_is_told_in_words(cli):
    ran = cli("trip", *RUNS)
    assert (ran.code, ran.err) == (0, "")
    text = " ".join(ran.out.split())
    assert "gets through all of 'Northern spring' (9 stops, 21 nights, 14 March to 4 April" in text
    assert "What helps most, each by itself on the same weather" in text
    assert "the stops share one weather by date" in text
    assert "licensed electrician" in text


def test_the_document_adds_up(cli, tour):
    document = json.loads(cli("trip", tour, *RUNS, "--json").out)
    assert document["schema"] == 1
    assert set(document["weather"]) == {"source", "runs", "ghi_kwh_m2_day", "temp_air_c"}
    stops = document["stops"]
    assert all(set(stop) == STOP_KEYS for stop in stops)
    fails = sum(stop["fail_chance"] for stop in stops)
    assert fails + document["chance_lasts"] == pytest.approx(1.0)
    for term, whole_wh in document["ledger_wh"].items():
        parts_wh = sum(stop["ledger_wh"][term] for stop in stops)
        assert parts_wh == pytest.approx(whole_wh, rel=1e-8, abs=1e-6)
    soc = document["soc"]
    assert len(soc["times"]) == len(soc["p50"]) == len(soc["stop"]) == stops[-1]["ends_h"] + 1
    assert soc["stop"][stops[0]["ends_h"]] == 2
    assert sum(soc["on_the_road"]) == 2
    assert set(document["most_helpful"]) <= {one["name"] for one in document["changes"]}


def test_the_table_of_stops_ends_in_the_whole(cli, tour, tmp_path):
    assert cli("trip", tour, *RUNS, "--csv", "stops.csv").code == 0
    rows = list(csv.DictReader(io.StringIO((tmp_path / "stops.csv").read_text("utf-8"))))
    assert [row["stop"] for row in rows] == ["1", "2", "0"]
    used = [float(row["solar_used_wh"]) for row in rows]
    assert used[0] + used[1] == pytest.approx(used[2])


@pytest.mark.parametrize("kind", ["svg", "html", pytest.param("png", marks=pytest.mark.slow)])
def test_the_picture_takes_names_as_text(cli, tour, tmp_path, kind):
    ran = cli("trip", tour, "weekender", *RUNS, "--plot", f"trip.{kind}")
    assert (ran.code, ran.err) == (0, "")
    content = (tmp_path / f"trip.{kind}").read_bytes()
    if kind == "svg":
        ET.fromstring(content)
    if kind == "html":
        assert b"&lt;b&gt;towns" in content
        assert b"<b>towns" not in content


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("Lulea, SE", "Nowhereville", "tour.toml: stop 1: place: got 'Nowhereville'"),
        ("Tornio, FI", "Springfield", "tour.toml: stop 2: place: "),
        ("drive_h = 1.5", "drive_h = -1", "tour.toml: stop 2: drive_h: got -1; should be"),
        ("nights = 1\ndrive", "nights = true\ndrive", "tour.toml: stop 2: nights: got True"),
    ],
)
def test_a_fault_is_one_line_and_nothing_is_written(cli, tour, tmp_path, old, new, words):
    tour.write_text(TOUR.replace(old, new), encoding="utf-8")
    ran = cli("trip", tour, *RUNS, "--json", "trip.json", "--plot", "trip.svg")
    assert ran.code == 2
    assert words in ran.err
    assert ran.err.count("\n") == 1
    assert {path.name for path in tmp_path.iterdir()} == {"tour.toml"}


def test_a_table_of_another_ending_is_refused(cli, tour):
    ran = cli("trip", tour, "--csv", "stops.txt")
    assert (ran.code, ran.out) == (2, "")
    assert "--csv: must end in .csv" in ran.err
