"""The README is short, and what it shows can be typed."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from solarsim.data.reference import REFERENCE
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.find_keys import find_keys

README = Path(__file__).parents[2] / "README.md"
TEXT = README.read_text(encoding="utf-8")


def blocks(kind, text=TEXT):
    return re.findall(rf"```{kind}\n(.*?)```", text, flags=re.DOTALL)


def commands():
    lines = [line for block in blocks("sh") for line in block.splitlines()]
    return [shlex.split(line)[1:] for line in lines if line.startswith("solarsim ")]


def test_it_is_short():
    assert len(TEXT.splitlines()) <= 150


def test_it_shows_the_ten_things_and_the_two_commands():
    assert len(commands()) >= 10
    for mark in ("run", "tests"):
        inside = TEXT.partition(f"<!-- {mark} -->")[2].partition(f"<!-- /{mark} -->")[0]
        assert "python3 -m venv .venv && .venv/bin/pip install" in inside


def test_every_file_that_it_leads_to_is_there():
    links = re.findall(r"\]\(([^)]+)\)", TEXT)
    assert len(links) >= 5
    assert [link for link in links if not (README.parent / link).is_file()] == []


@pytest.mark.parametrize("arguments", commands(), ids=" ".join)
def test_every_command_has_the_options_that_are_shown(cli, monkeypatch, arguments):
    monkeypatch.setenv("COLUMNS", "200")
    group = 2 if arguments[0] == "weather" else 1
    said = cli(*arguments[:group], "--help")
    assert said.code == 0, said.err
    for option in arguments:
        if option.startswith("-"):
            assert re.search(rf"(?<![\w-]){re.escape(option)}(?![\w-])", said.out), option


def test_every_key_that_is_set_is_one():
    keys = re.findall(r"--set ([a-z_.]+)=", TEXT)
    assert {"battery.part", "panels.cost", "appliances.laptop.hours_per_day"} <= {*keys}
    for key in keys:
        assert find_keys(key)[0].keys[0].name == key.rpartition(".")[2]


def test_its_van_is_a_van():
    (text,) = blocks("toml")
    van = van_from_data(tomllib.loads(text), source="README.md")
    assert (van.van.name, van.panels.count, van.battery.units) == ("Weekender", 2, 2)


def test_the_references_suitcase_is_an_array():
    (text,) = blocks("toml", REFERENCE.read_text(encoding="utf-8"))
    van = tomllib.loads(blocks("toml")[0]) | tomllib.loads(text)
    (array,) = van_from_data(van, source="REFERENCE.md").arrays
    assert (array.name, array.from_hour, array.to_hour) == ("suitcase", 9.0, 17.0)
