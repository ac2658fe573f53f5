"""`tune`, `levers` and `seasons` from the command line, at one place and at many."""

from __future__ import annotations

import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest

RUNS = ("--runs", "10")
SMALL = ("--panels", "1,2", "--strings", "1-2", "--follow-days", "7", *RUNS)


@pytest.fixture
def places(tmp_path):
    texts = {
        "two.csv": 'place\n"Lisbon, PT"\n"Bergen, NO"\n',
        "coordinates.csv": "latitude,longitude\n38.72,-9.14\n",
        "unknown.csv": "place\nSalzburgg\n",
        "ocean.csv": "latitude,longitude\n0,-30\n",
        "empty.csv": "",
        "heading.csv": "place\n",
        "hole.csv": "place,note\nOslo,x\n,y\n",
        "letters.csv": "latitude,longitude\nnorth,west\n",
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "bytes.csv").write_bytes(bytes(range(256)))
    (tmp_path / "folder.csv").mkdir()
    return tmp_path


@pytest.fixture
def in_this_process(monkeypatch):
    """Places answered without processes of their own, whose start takes longer than the answers."""
    monkeypatch.setattr(
        "solarsim.answers.many_places.ProcessPoolExecutor",
        lambda max_workers, mp_context: ThreadPoolExecutor(max_workers),
    )


def asked(cli, *arguments):
    ran = cli(*arguments)
    assert (ran.code, ran.err) == (0, "")
    return ran.out


# --- what they say ---


@pytest.mark.parametrize("command", ["tune", "levers", "seasons"])
def test_help_and_the_list_of_commands(cli, command):
    assert "--json" in asked(cli, command, "--help")
    assert re.search(rf"\b{command}\b", cli("--help").out)


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("arguments", "start"),
    [
        (("tune", "--month", "5", *SMALL), "Build "),
        (("tune", "--month", "12", "--place", "Tromso", *SMALL), "No design will do"),
        (("levers", *RUNS), "The van 'Weekender' as it is: count on "),
        (("seasons", *RUNS), "The worst month is "),
        (("seasons", "long-stayer", *RUNS), "The worst month is "),
    ],
)
def test_first_sentence_and_80_columns(cli, monkeypatch, arguments, start):
    monkeypatch.setenv("COLUMNS", "80")
    out = asked(cli, *arguments)
    assert out.startswith(start)
    assert max(map(len, out.splitlines())) <= 80
    assert "\u2026" not in out


def test_tune_s_options_reach_the_designs(cli):
    arguments = ["--chemistry", "lfp,agm", "--dcdc", "30,60", "--tilt", "0,20"]
    document = json.loads(asked(cli, "tune", *SMALL, *arguments, "--json"))
    kinds = {
        (d["panels"], d["units"], d["chemistry"], d["dcdc_a"], d["tilt_deg"])
        for d in document["designs"]
    }
    assert len(kinds) == len(document["designs"]) == 32
    assert {kind[2:] for kind in kinds} == {
        (chemistry, dcdc, tilt)
        for chemistry in ("lfp", "agm")
        for dcdc in (30.0, 60.0)
        for tilt in (0.0, 20.0)
    }
    # Followed for seven days, no more.
    assert max(d["p90"] for d in document["designs"]) <= 7.0


def test_prices_by_set(cli):
    prices = ["--set", "panels.cost=100", "--set", "battery.cost=400"]
    document = json.loads(asked(cli, "tune", *SMALL, *prices, "--month", "4", "--json"))
    for design in document["designs"]:
        assert design["cost"] == 100 * design["panels"] + 400 * design["units"]
    good = [d for d in document["designs"] if d["chance_lasts"] >= 0.9]
    stopped = [
        {key: value for key, value in one.items() if key != "stops"}
        for one in document["passed_over"]
    ]
    assert document["choice"]["cost"] == min(d["cost"] for d in good if d not in stopped)
    assert all(one["stops"] for one in document["passed_over"])


@pytest.mark.slow
def test_levers_by_json(cli):
    document = json.loads(asked(cli, "levers", *RUNS, "--json"))
    assert len(document["levers"]) >= 18
    assert document["stay"]["days"] == 7


@pytest.mark.slow
def test_seasons_by_json(cli):
    document = json.loads(asked(cli, "seasons", *RUNS, "--json"))
    assert len(document["months"]) == 12
    chances = [month["chance_lasts"] for month in document["months"]]
    assert chances[document["worst_month"] - 1] == min(chances)


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".html", ".png", ".svg"])
def test_tune_draws_into_a_file(cli, tmp_path, suffix):
    asked(cli, "tune", *SMALL, "--plot", f"map{suffix}")
    assert (tmp_path / f"map{suffix}").stat().st_size > 5000
    assert len(list(tmp_path.iterdir())) == 1


# --- many places ---


@pytest.mark.usefixtures("in_this_process")
def test_many_places_one_document(cli, places):
    document = json.loads(asked(cli, "tune", *SMALL, "--places", "two.csv", "--json"))
    assert document["schema"] == 1
    assert [one["place"]["name"] for one in document["places"]] == ["Lisbon, PT", "Bergen, NO"]
    alone = json.loads(asked(cli, "tune", *SMALL, "--place", "Bergen, NO", "--json"))
    assert document["places"][1] == alone


@pytest.mark.slow
@pytest.mark.usefixtures("in_this_process")
def test_many_places_are_printed_one_after_the_other(cli, places):
    out = asked(cli, "seasons", "--runs", 3, "--places", "two.csv")
    # In Lisbon all months last alike; in Bergen one is worst.
    assert out.count("No month is worse than ") == 1
    assert out.count("The worst month is ") == 1
    assert out.index("Lisbon") < out.index("Bergen")
    tune = ("tune", "--runs", 3, "--panels", "2", "--strings", "2", "--follow-days", "7")
    assert "38.720 N" in asked(cli, *tune, "--places", "coordinates.csv", "--json")


@pytest.mark.slow
def test_many_places_in_a_process_of_its_own(process, places):
    """A command that starts processes must not start itself again in each of them."""
    ran = process("seasons", "--runs", 3, "--places", "two.csv", "--json", cwd=places)
    assert (ran.code, ran.err) == (0, "")
    assert len(json.loads(ran.out)["places"]) == 2


# --- what is wrong ---

BAD = {
    "panels in words": (["tune", "--panels", "two"], ["--panels", "'two'", "0-8"]),
    "too many panels": (["tune", "--panels", "0-61"], ["--panels", "0 to 60"]),
    "panels turned round": (["tune", "--panels", "5-3"], ["--panels", "'5-3'"]),
    "no panels": (["tune", "--panels", ""], ["--panels", "''"]),
    "strings of none": (["tune", "--strings", "0"], ["--strings", "1 to 96"]),
    "too many strings": (["tune", "--strings", "1-97"], ["--strings", "1 to 96"]),
    "unknown chemistry": (["tune", "--chemistry", "lead"], ["--chemistry", "'lead'", "lfp"]),
    "dcdc not a number": (["tune", "--dcdc", "nan"], ["--dcdc", "nan", "0 to 400"]),
    "dcdc below nothing": (["tune", "--dcdc=-1"], ["--dcdc", "-1", "0 to 400"]),
    "dcdc in words": (["tune", "--dcdc", "30A"], ["--dcdc", "'30A'"]),
    "tilt overhead": (["tune", "--tilt", "91"], ["--tilt", "91", "0 to 90"]),
    "no days followed": (["tune", "--follow-days", "0"], ["follow_days", "0", "1 to 365"]),
    "days followed without end": (
        ["tune", "--follow-days", "366"],
        ["follow_days", "366", "1 to 365"],
    ),
    "panels of half a string": (
        ["tune", "long-stayer", "--panels", "1,3"],
        ["whole strings of 2"],
    ),
    "plot of another kind": (["tune", "--plot", "map.pdf"], [".pdf", ".svg"]),
    "plot of many places": (
        ["tune", "--places", "two.csv", "--plot", "map.svg"],
        ["--plot", "--places"],
    ),
    "no such file of places": (["seasons", "--places", "none.csv"], ["none.csv"]),
    "folder of places": (["seasons", "--places", "folder.csv"], ["folder.csv"]),
    "bytes for places": (["tune", "--places", "bytes.csv"], ["bytes.csv", "UTF-8"]),
    "empty file of places": (["tune", "--places", "empty.csv"], ["empty.csv", "'place'"]),
    "places without any": (["seasons", "--places", "heading.csv"], ["heading.csv", "0 places"]),
    "place left empty": (["seasons", "--places", "hole.csv"], ["hole.csv", "line 3", "empty"]),
    "unknown place": (["seasons", "--places", "unknown.csv"], ["'Salzburgg'", "Salzburg, AT"]),
    "place at sea": (["tune", "--places", "ocean.csv"], ["30.000 W", "climate covers land"]),
    "coordinates in words": (["tune", "--places", "letters.csv"], ["north, west"]),
    "levers of no van": (["levers", "nothing"], ["nothing", "weekender"]),
    "seasons of 400 days": (["seasons", "--days", "400"], ["days", "400", "365"]),
    "unknown key": (["levers", "--set", "battery.unitz=2"], ["unitz", "units"]),
}


@pytest.mark.parametrize(("arguments", "words"), BAD.values(), ids=BAD)
def test_refused_in_one_line(cli, places, arguments, words):
    before = sorted(places.rglob("*"))
    ran = cli(*arguments, *RUNS, "--json", "answer.json")
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.startswith("solarsim: ")
    assert ran.err.count("\n") == 1, ran.err
    for word in words:
        assert word in ran.err, (word, ran.err)
    assert sorted(places.rglob("*")) == before


@pytest.mark.parametrize(
    "arguments", [["levers", "--places", "two.csv"], ["levers", "--plot", "x"]]
)
def test_options_of_other_commands_are_refused(cli, places, arguments):
    ran = cli(*arguments)
    assert ran.code == 2
    assert arguments[1] in ran.err
    assert ran.out == ""
