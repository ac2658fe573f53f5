"""`solarsim check`: cautions first, findings worst first, the table of wires, the documents."""

from __future__ import annotations

import csv
import json

import pytest

WRONG = (
    "--set",
    "controller.max_input_v=25",
    "--set",
    "alternator.rating_a=70",
    "--set",
    "shore.breaker_a=25",
)


def document(cli, *arguments):
    ran = cli("check", *arguments, "--json", "-")
    assert (ran.code, ran.err) == (0, "")
    return json.loads(ran.out)


@pytest.mark.parametrize("van", ["weekender", "long-stayer"])
def test_a_right_van_has_no_findings(cli, van):
    ran = cli("check", van)
    assert (ran.code, ran.err) == (0, "")
    assert "keeps every rule" in ran.out
    assert document(cli, van)["findings"] == []


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "European caravan or motor caravan"),
        (("long-stayer",), "US road vehicle"),
        (("--place", "Denver, CO, US"), "US road vehicle"),
        (("--place", "Osaka, JP"), "none of the stay's country, JP, are here"),
        (("--set", "wiring.rules=boat"), "boat law: 33 CFR 183"),
    ],
)
def test_the_answer_begins_with_its_rules(cli, arguments, said):
    out = " ".join(cli("check", *arguments).out.split())
    assert "licensed electrician decide. Rules: " in out
    assert said in out.partition("Rules: ")[2].partition("The van")[0]
    assert said in document(cli, *arguments)["rules_why"]


def test_the_whole_circuit_hangs_together(cli):
    """Every run joins two things that are there, is fused or says why not, and is numbered."""
    for van in ("weekender", "long-stayer"):
        circuit = document(cli, van)["circuit"]
        nodes = {node["id"] for node in circuit["nodes"]}
        runs = circuit["runs"]
        assert [run["number"] for run in runs] == list(range(1, len(runs) + 1))
        touched = set()
        for run in runs:
            ends = {run["start"], run["end"]} | ({run["return_end"]} - {""})
            assert ends <= nodes
            touched |= ends
            assert bool(run["protection"]) or run["unprotected_why"]
            assert run["both_m"] == pytest.approx(run["length_m"] * len(run["poles"]))
            assert all(rule["source"] for rule in run["rules"])
            assert run["rules"]
        # The alternator charges the starter battery by the vehicle's own cable.
        assert nodes - touched == {"alternator"}
        main = next(run for run in runs if run["start"] == "main fuse")
        assert main["protection"]["at_least_a"] <= main["protection"]["rating_a"]
        assert main["protection"]["rating_a"] <= main["protection"]["at_most_a"]
        assert len(document(cli, van)["not_looked_at"]) >= 4


@pytest.mark.parametrize("arguments", [(), WRONG], ids=["right", "wrong"])
def test_cautions_stand_on_top(cli, arguments):
    words = " ".join(cli("check", *arguments).out.split())
    assert words.startswith("Expected, not guaranteed. Mains AC, high DC current, lithium")
    assert words.index("licensed electrician decide") < words.index("The van 'Weekender'")
    assert list(document(cli, *arguments))[:2] == ["schema", "cautions"]


def test_findings_are_told_worst_first(cli):
    out = " ".join(cli("check", *WRONG).out.split())
    assert "1 STOP" in out
    positions = [out.index(name) for name in ("STOP array-vol", "WARN altern", "NOTE shore")]
    assert positions == sorted(positions)
    assert "against 25 V; NEC 690.7(A)(2)" in out


def test_document_has_every_field(cli):
    got = document(cli, *WRONG)
    assert got["schema"] == 1
    assert got["extremes"]["temp_low_c"] < -20.0 < got["extremes"]["temp_high_c"]
    ids = [finding["id"] for finding in got["findings"]]
    assert ids == ["array-voltage-cold", "alternator-load", "shore-breaker-size"]
    keys = {"id", "severity", "value", "limit", "unit", "source", "message", "advice", "where"}
    for finding in got["findings"]:
        assert set(finding) == keys
        assert all(finding[key] != "" for key in keys)
    first = got["findings"][0]
    # 24.3 V x 1.20 at -24 C by NEC 690.7(A).
    assert first["value"] == pytest.approx(29.16)
    assert (first["limit"], first["unit"], first["severity"]) == (25.0, "V", "stop")


def test_document_s_cables_are_those_of_the_rules(cli):
    cables = {cable["run"]: cable for cable in document(cli)["cables"]}
    inverter = cables["bank_inverter"]
    # 1200 W at 88 % on 10.5 V.
    assert inverter["current_a"] == pytest.approx(1200 / 0.88 / 10.5)
    assert inverter["fuse_at_least_a"] == pytest.approx(1.25 * inverter["current_a"])
    # No more than the cable bears (BS 7671 433.1.1): 182 A of 50 mm2 with 70 C insulation.
    assert inverter["fuse_at_most_a"] == inverter["ampacity_a"] == 182.0
    assert (inverter["wire"], inverter["gauge"], inverter["fuse_a"]) == ("50 mm2", "1/0 AWG", 175.0)
    panels = cables["panels_controller"]
    assert panels["current_a"] == pytest.approx(1.25 * 2 * 10.4)
    assert panels["design_a"] == panels["current_a"]
    american = document(cli, "--set", "wiring.rules=us-rv")["cables"]
    panels = {cable["run"]: cable for cable in american}["panels_controller"]
    assert panels["design_a"] == pytest.approx(1.5625 * 2 * 10.4)
    assert panels["fuse_a"] is None


def test_table_for_the_bench(cli, tmp_path):
    ran = cli("check", "--cables", "bench.csv")
    assert (ran.code, ran.err) == (0, "")
    lines = (tmp_path / "bench.csv").read_text(encoding="utf-8").splitlines()
    comments = [line for line in lines if line.startswith("#")]
    assert lines[: len(comments)] == comments
    assert "licensed electrician" in comments[0]
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert rows[1]["name"] == "bank to positive bus"
    assert rows[1]["fuse_a"] == "225"
    assert len(rows) == len(document(cli)["cables"])


def test_a_name_is_no_formula_for_a_spreadsheet(cli, tmp_path):
    branches = 'wiring.branches=[{name = "=1+1", current_a = 5.0}]'
    cli("check", "--set", branches, "--cables", "bench.csv")
    text = (tmp_path / "bench.csv").read_text(encoding="utf-8")
    assert "\n'=1+1," in text


def test_names_cannot_steer_the_terminal(cli):
    branches = 'wiring.branches=[{name = "a\\u001b[31m", current_a = 5.0, fused = false}]'
    ran = cli("check", "--set", branches)
    assert ran.code == 0
    assert "cable-fuse-missing" in ran.out
    assert "\x1b" not in ran.out


@pytest.mark.parametrize("arguments", [(), ("long-stayer",), WRONG], ids=str)
def test_fits_80_columns_and_cuts_nothing_off(cli, monkeypatch, arguments):
    monkeypatch.setenv("COLUMNS", "80")
    ran = cli("check", *arguments)
    assert ran.code == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "\u2026" not in ran.out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--cables", "bench.xlsx"], "must end in .csv"),
        (["--cables", "nowhere/bench.csv"], "folder does not exist"),
        (["--set", "wiring.bank_bus.wire=thick"], "35 mm2"),
        (["--set", "wiring.bank_buss.wire=4 AWG"], "did you mean 'bank_bus'"),
        (["nothing"], "no such file"),
    ],
)
def test_bad_input_is_one_line_and_2(cli, tmp_path, arguments, words):
    ran = cli("check", *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert words in ran.err
    assert "Traceback" not in ran.err
    assert not list(tmp_path.iterdir())


def test_strings_say_how_cold_it_may_get(cli):
    """NEC 690.7: 2 x 24.3 V x 1.20 at -25 C; 60 V are 1.234 times 48.6 V: 1.23 to -35 C."""
    series = ("--set", "panels.series=2", "--set", "controller.max_input_v=60")
    (string,) = document(cli, *series)["strings"]
    assert string["cold_v"] == pytest.approx(48.6 * 1.20)
    assert (string["bears_v"], string["down_to_c"]) == (60.0, -35.0)
    out = " ".join(cli("check", *series).out.split())
    assert "array: 58.3 V; the controller's 60 V hold down to -35 C" in out
    (roomy,) = document(cli)["strings"]
    assert roomy["down_to_c"] == -60.0


def test_place_and_profile_count(cli):
    cold = document(cli, "--place", "Fairbanks, AK, US")
    assert cold["extremes"]["temp_low_c"] < -40.0
    ids = {finding["id"] for finding in document(cli, "--profile", "ski-trip")["findings"]}
    assert ids == {"inverter-single"}


def test_heat_on_the_roof_is_in_every_table(cli, tmp_path):
    """73 C leave a cable of 90 C sqrt(17 / 60) of its ampacity (NEC 310.15(B)(1))."""
    panels = {cable["run"]: cable for cable in document(cli)["cables"]}["panels_controller"]
    assert panels["ambient_c"] == 73.0
    assert "33 K more on a roof in the sun" in panels["ambient_source"]
    assert panels["heat_share"] == pytest.approx((17 / 60) ** 0.5)
    assert panels["ampacity_a"] >= panels["ampacity_at_least_a"] == panels["current_a"]
    out = " ".join(cli("check", "--cables", "bench.csv").out.split())
    assert "panels to controller: 73 C leave 53 % of the ampacity of 90 C insulation" in out
    text = (tmp_path / "bench.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    row = next(row for row in rows if row["name"] == "panels to controller")
    assert (row["ambient_c"], row["heat_share"]) == ("73", "0.5323")
