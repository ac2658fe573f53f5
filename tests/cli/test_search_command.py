"""`search` from the command line: its words, its files, and what it refuses."""

from __future__ import annotations

import csv
import io
import json

import pytest

import solarsim

SMALL = ("--panels", "1-3", "--strings", "1-3", "--days", "4", "--runs", "10")
OWN = ("--kinds", "own")
TWO = ("--kinds", "own,100 W flexible", "--batteries", "own,100 Ah AGM")


def asked(cli, *arguments):
    ran = cli("search", *arguments)
    assert ran.code == 0, ran.err
    return ran


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("arguments", "start"),
    [
        (("--month", "5", *TWO, "--tilt", "0,20", *SMALL), "Build "),
        (
            ("--month", "12", "--place", "Tromso", *TWO, *SMALL),
            "No design that may be built lasts ",
        ),
        (("long-stayer", "--month", "1", *OWN, *SMALL, "--panels", "2,4"), "No design "),
    ],
)
def test_first_sentence_80_columns_and_whole_names(cli, monkeypatch, arguments, start):
    monkeypatch.setenv("COLUMNS", "80")
    out = asked(cli, *arguments).out
    assert out.startswith(start)
    assert max(map(len, out.splitlines())) <= 80
    assert "\u2026" not in out
    # Rules are told in words.
    for rule in ("bank-discharge", "bank-charge", "no-such-van", "roof-room", "bank-gas"):
        assert rule not in out


def test_names_stand_whole_in_the_table(cli, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    kinds = "330 W residential 60 cells,100 W rigid low voltage"
    document = json.loads(asked(cli, "--kinds", kinds, *SMALL, "--month", "6", "--json", "-").out)
    out = asked(cli, "--kinds", kinds, *SMALL, "--month", "6").out
    for design in document["designs"]:
        assert f"{design['panels']} x {design['panel']} " in out
        assert f"{design['units']} x {design['battery']} " in out


def test_equal_designs_are_told_to_be_equal(cli):
    twins = ("--panels", "2", "--kinds", "own", "--batteries", "own,200 Ah LFP", "--month", "6")
    out = asked(cli, *twins, "--strings", "1,2", "--days", "3", "--runs", "8").out
    assert out.count("or, equal in all of this:") == 1


def test_files_are_written_and_the_vans_can_be_asked(cli, tmp_path):
    ran = asked(
        cli,
        *TWO,
        *SMALL,
        "--month",
        "5",
        "--write",
        "vans",
        "--csv",
        "best.csv",
        "--json",
        "best.json",
    )
    document = json.loads((tmp_path / "best.json").read_text(encoding="utf-8"))
    designs = document["designs"]
    assert document["schema"] == 1
    assert f"{len(designs)} van files in vans" in ran.err
    lines = (tmp_path / "best.csv").read_text(encoding="utf-8").splitlines()
    table = csv.DictReader(io.StringIO("\n".join(x for x in lines if not x.startswith("#"))))
    assert [int(row["panels"]) for row in table] == [one["panels"] for one in designs]
    for number, one in enumerate(designs, start=1):
        van = solarsim.read_van(str(tmp_path / "vans" / f"design-{number:02d}.toml"))
        assert (van.panels.count, van.battery.units) == (one["panels"], one["units"])
        assert van.van.name == f"Weekender, design {number}"
    again = cli("search", *SMALL, "--month", "5", "--write", "vans")
    assert (again.code, again.out) == (2, "")
    assert "already holds designs" in again.err


BAD = {
    "panels in words": (["--panels", "two"], ["--panels", "'two'"]),
    "no such month": (["--month", "13"], ["--month", "1 to 12"]),
    "no such panel": (["--kinds", "200 W rigd"], ["200 W rigd", "'200 W rigid'"]),
    "kinds with a hole": (["--kinds", "own,"], ["--kinds", "'own,'"]),
    "no such battery": (["--batteries", "100 Ah LPF"], ["100 Ah LPF", "'100 Ah LFP'"]),
    "strings of none": (["--strings", "0"], ["--strings", "1 to 96"]),
    "tilt overhead": (["--tilt", "91"], ["--tilt", "91", "0 to 90"]),
    "dcdc below nothing": (["--dcdc=-1"], ["--dcdc", "-1", "0 to 400"]),
    "no controller": (["--controllers", "0"], ["--controllers", "0", "1 to 500"]),
    "days not a number": (["--target-days", "nan"], ["--target-days", "nan", "365 days"]),
    "days without end": (["--target-days", "366"], ["--target-days", "366", "365 days"]),
    "a price of nothing": (["--max-price", "0"], ["--max-price", "0.0", "above 0"]),
    "a price without prices": (["--max-price", "900"], ["max_price", "no price for", "price file"]),
    "a weight below nothing": (["--max-parts-kg=-1"], ["--max-parts-kg", "-1"]),
    "too high": (["--max-rise-m", "4"], ["--max-rise-m", "4.0", "0 to 3 m"]),
    "too much": (
        [
            "--batteries",
            "library",
            "--strings",
            "1-96",
            "--tilt",
            "0,10,20,30,40",
            "--dcdc",
            "20,30",
        ],
        ["50,000 designs", "fewer kinds"],
    ),
    "csv of another kind": (["--csv", "best.txt"], [".txt", ".csv"]),
    "a folder in no folder": (["--write", "a/b"], ["--write", "a/b"]),
}


@pytest.mark.parametrize(("arguments", "words"), BAD.values(), ids=BAD)
def test_refused_in_one_line(cli, tmp_path, arguments, words):
    ran = cli("search", *arguments, "--runs", "2", "--json", "answer.json")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("solarsim: ")
    assert ran.err.count("\n") == 1, ran.err
    for word in words:
        assert word in ran.err, (word, ran.err)
    assert list(tmp_path.iterdir()) == []
