"""The reference of all keys on the command line, and the file that ships with the profiles."""

from __future__ import annotations

import json
import tomllib

import pytest

from solarsim.data.reference import REFERENCE
from solarsim.inputs.files.van import van_from_data
from solarsim.present.keys.markdown import reference_markdown


def test_the_shipped_reference_is_not_stale():
    text = REFERENCE.read_text(encoding="utf-8")
    assert text == reference_markdown(), "run: python -m solarsim.data.reference"


def test_the_command_prints_the_shipped_reference(cli):
    assert cli("keys", "--markdown").out == REFERENCE.read_text(encoding="utf-8")


def test_the_reference_ships_with_the_profiles():
    root = REFERENCE.parents[1]
    settings = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = settings["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert wheel["force-include"]["profiles"] == "solarsim/profiles"
    assert REFERENCE.parent == root / "profiles"


@pytest.mark.parametrize("hidden", ["heat_loss_w_k", "[wiring]", "transfer_a", "template"])
def test_what_could_be_found_by_errors_alone_is_told(cli, hidden):
    ran = cli("keys", hidden)
    assert (ran.code, ran.err) == (0, "")
    assert hidden in ran.out
    assert hidden.strip("[]") in cli("keys").out


def test_a_table_is_told_key_by_key(cli):
    said = " ".join(cli("keys", "inverter").out.split())
    assert said.startswith("[inverter] in a van's file")
    assert "power_w: W; above 0, up to 20,000; required Continuous AC power." in said
    assert "idle_w: W; 0 to 200; default 10 What it draws" in said


def test_the_origin_of_x_and_y_is_told(cli):
    said = " ".join(cli("keys", "roof").out.split())
    assert "The origin is the rear left corner" in said
    assert "x_m: m; 0 to 20; required How far the obstacle's rear edge is in front" in said


def test_all_tables_fit_the_terminal(cli, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    for word in ((), ("wiring",), ("appliances",), ("arrays",)):
        assert max(map(len, cli("keys", *word).out.splitlines())) <= 80


def test_an_unknown_word_suggests(cli):
    ran = cli("keys", "invertor")
    assert (ran.code, ran.out) == (2, "")
    assert "near: inverter" in ran.err
    assert ran.err.count("\n") == 1


def test_the_document_has_the_same_keys(cli, tmp_path):
    document = json.loads(cli("keys", "battery", "--json").out)
    assert document["schema"] == 1
    (table,) = document["tables"]
    assert (table["name"], table["file"], table["part_kind"]) == ("battery", "van", "batteries")
    units = next(key for key in table["keys"] if key["name"] == "units")
    assert units["default"] == "1"
    cli("keys", "--json", "all.json")
    assert len(json.loads((tmp_path / "all.json").read_text())["tables"]) > 15


def test_markdown_stands_alone(cli):
    ran = cli("keys", "battery", "--markdown")
    assert (ran.code, ran.out) == (2, "")
    assert "--markdown" in ran.err


def test_the_example_of_a_part_is_true():
    text = " ".join(REFERENCE.read_text(encoding="utf-8").split())
    van = van_from_data(
        {
            "van": {"name": "x"},
            "panels": {"part": "200 W rigid"},
            "battery": {"part": "100 Ah LFP self-heating"},
        },
        source="x",
    )
    assert f"power_w = {van.panels.power_w:g}, vmp_v = {van.panels.vmp_v:g}" in text
    assert f"unit_capacity_ah = {van.battery.unit_capacity_ah:g}" in text


def test_a_table_with_parts_tells_what_one_fills_in(cli):
    said = " ".join(cli("keys", "battery").out.split())
    assert 'part = "100 Ah LFP self-heating"` fills in `chemistry = "lfp"' in said
