"""The command `sheet`: its files, its document, and what it refuses."""

from __future__ import annotations

import datetime as dt
import json

import pytest

QUICK = ("--runs", "4", "--date", "2026-03-01")
KEYS = {
    *("schema", "date", "version", "seed", "cautions", "van", "stay", "follow_days", "ways"),
    *("regions", "recharge", "roof", "levers", "warnings", "annex", "notes"),
    *("own_people", "ways_left_out", "trip", "map", "listing", "medical"),
}


@pytest.mark.slow
def test_every_form_from_one_answer(cli, tmp_path):
    names = ["s.pdf", "s.html", "s.png"]
    outputs = [part for name in names for part in ("-o", name)]
    ran = cli(
        *("sheet", *QUICK, *outputs, "--square", "square.png", "--portrait", "tall.png"),
        *("--region", "Hobart, AU", "--paper", "letter", "--units", "us", "--json", "s.json"),
    )
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    made = {path.name for path in tmp_path.iterdir()}
    assert made == {*names, "square.png", "tall.png", "s.json"}
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
    assert b"11.2" in (tmp_path / "s.html").read_bytes()
    document = json.loads((tmp_path / "s.json").read_text())
    assert set(document) == KEYS
    assert document["date"] == "2026-03-01"
    assert [region["place"]["name"] for region in document["regions"]] == [
        "Salzburg, AT",
        "Hobart, TAS, AU",
    ]
    for region in document["regions"]:
        assert set(region["days"]) == {"light", "typical", "heavy"}
        for rows in region["days"].values():
            assert [row["season"] for row in rows] == ["winter", "spring", "summer", "autumn"]
            assert all(0.0 < row["p10"] <= row["p50"] <= row["p90"] <= 30.0 for row in rows)
    assert document["annex"] is None


@pytest.mark.slow
def test_the_terminal_shows_the_days_and_how_to_go_on(cli, tmp_path):
    ran = cli("sheet", "weekender", *QUICK, "--units", "us")
    assert (ran.code, ran.err) == (0, "")
    said = " ".join(ran.out.split())
    for words in ("Weekender", "Typical", "An hour's drive", "-o sheet.pdf", "not guaranteed"):
        assert words in said
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_own_ways_of_living_and_the_annex(cli):
    ran = cli(
        *("sheet", *QUICK, "--typical", "weekend-couple", "--annex", "--set", "battery.units=3"),
        *("--json", "-"),
    )
    assert (ran.code, ran.err) == (0, "")
    document = json.loads(ran.out)
    assert [way["name"] for way in document["ways"]] == ["Light", "Weekend couple", "Heavy"]
    assert document["van"]["capacity_ah"] == 300.0
    assert set(document["annex"]) == {"stay", "check_way", "check", "seasons"}
    # The van names these people itself.
    assert document["own_people"] is None


@pytest.mark.slow
def test_today_where_no_date_is_given(cli):
    ran = cli("sheet", "--runs", "2", "--json", "-")
    day = dt.date.fromisoformat(json.loads(ran.out)["date"])
    assert abs((dt.datetime.now().astimezone().date() - day).days) <= 1


@pytest.mark.slow
def test_a_warning_is_for_the_builder_alone(cli, tmp_path):
    # A cold string of one panel passes 20 V: the electrical check forbids it.
    ran = cli("sheet", *QUICK, "--set", "controller.max_input_v=20", "-o", "s.html")
    assert ran.code == 0
    assert "before this sheet is handed out" in ran.err
    assert "handed out" not in (tmp_path / "s.html").read_text()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["-o", "sheet.docx"], ["sheet.docx", "--output", ".pdf, .html, .png or .txt"]),
        (["-o", "nowhere/sheet.pdf"], ["nowhere/sheet.pdf", "folder"]),
        (["--square", "card.jpg"], ["card.jpg", "--square", ".png"]),
        (["--portrait", "card.pdf"], ["card.pdf", "--portrait", ".png"]),
        (["--date", "1 March"], ["--date", "1 March", "2026-03-01"]),
        (["--photo", "none.jpg"], ["none.jpg", "--photo", "cannot be read"]),
        (["--region", "Nowhere at all"], ["Nowhere at all"]),
        (["--region", "Salzburg, AT"], ["Salzburg, AT", "twice"]),
        (["--light", "heavy"], ["light", "from light to heavy"]),
        (["--heavy", "nobody"], ["nobody", "weekend-couple"]),
        (["--set", "appliances.laptop.hours_per_day=9"], ["appliances.laptop", "--typical"]),
        (["--set", "cabin.people=1"], ["cabin.people", "--heavy"]),
        (["--profile", "ski-trip"], ["--profile"]),
        (["--month", "3"], ["--month"]),
        (["--paper", "a5"], ["--paper", "a5", "letter"]),
        (["--units", "old"], ["--units", "old", "metric"]),
        (["--language", "xx"], ["--language", "xx", "de, en, es"]),
    ],
)
def test_refused_in_one_line_and_nothing_written(cli, tmp_path, arguments, words):
    ran = cli("sheet", *QUICK, "-o", "good.pdf", *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    for word in words:
        assert word in ran.err
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_every_form_in_another_language(cli, tmp_path):
    outputs = ("-o", "s.pdf", "-o", "s.html", "-o", "s.txt", "--square", "c.png")
    ran = cli("sheet", *QUICK, "--language", "de", *outputs, "--json", "s.json")
    assert (ran.code, ran.out) == (0, "")
    told = "before this sheet is handed out: No native reader has reviewed the German texts"
    assert told in ran.err
    document = json.loads((tmp_path / "s.json").read_text())
    assert set(document) == KEYS
    assert "Erwartet, nicht garantiert" in document["listing"]["300"]
    assert document["listing"]["300"] in (tmp_path / "s.txt").read_text()
    assert '<html lang="de">' in (tmp_path / "s.html").read_text()


def test_help_says_what_is_asked(cli):
    said = cli("sheet", "--help").out
    for word in ("--region", "--photo", "--annex", "--square", "--set", "--language"):
        assert word in said
    assert "--profile" not in said


@pytest.mark.slow
def test_texts_for_a_listing_on_the_terminal_and_in_a_file(cli, tmp_path):
    ran = cli("sheet", *QUICK, "-o", "listing.txt", "--listing")
    assert ran.code == 0
    assert (tmp_path / "listing.txt").read_text() == ran.out
    assert "300 characters at most" in ran.out
    assert "Expected, not guaranteed" in ran.out
