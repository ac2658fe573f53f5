"""What every command shares: the options of a question, and the version."""

from __future__ import annotations

import inspect
from importlib.metadata import version

import pytest

import solarsim.answers.question
from solarsim.cli.main import app
from solarsim.cli.options import EXAMPLE_VAN, asked
from solarsim.inputs.files.van import DEFAULT_VAN

ASKING = ("bank", "calibrate", "check", "history", "levers", "roof", "seasons", "stay", "tune",
          "wiring", "buy", "search")  # fmt: skip
SHARED = {
    "profile": "ski-trip",
    "place": "Bergen, NO",
    "month": 11,
    "days": 3,
    "weather": "some.epw",
    "climate": "history",
    "runs": 17,
    "seed": 5,
    "settings": ["battery.units=3", "stay.year=2025"],
}


class Asked(Exception):
    """Stands for the question, so that nothing is simulated."""


@pytest.fixture
def ask(monkeypatch):
    got = {}

    def stand_in(van, **given):
        got.update(given, van=van)
        raise Asked

    monkeypatch.setattr(solarsim.answers.question, "ask", stand_in)
    return got


def typed(given):
    for name, value in given.items():
        if name == "settings":
            for setting in value:
                yield from ("--set", setting)
        else:
            yield from (f"--{name}", value)


@pytest.mark.parametrize("command", ASKING)
def test_every_option_of_a_question_reaches_it(cli, ask, command):
    with pytest.raises(Asked):
        cli(command, *(["log.csv"] if command == "calibrate" else []), "my.toml", *typed(SHARED))
    # What lies on the roof does not depend on the loads.
    assert ask == {"van": "my.toml", "with_loads": command != "roof", **SHARED}


def test_the_sheet_asks_for_no_profile_and_no_month(cli, ask):
    given = {name: value for name, value in SHARED.items() if name not in {"profile", "month"}}
    with pytest.raises(Asked):
        cli("sheet", "my.toml", *typed(given))
    assert ask == {
        "van": "my.toml",
        "with_loads": True,
        "profile": None,
        "month": None,
        **given,
    }
    for name in ("profile", "month"):
        refused = cli("sheet", *typed({name: SHARED[name]}))
        assert (refused.code, refused.out) == (2, "")
        assert f"--{name}" in refused.err


def test_all_commands_about_a_question_are_looked_at():
    names = list(inspect.signature(asked).parameters)
    asking = {
        info.callback.__name__
        for info in app.registered_commands
        if {"van", "settings"} <= set(inspect.signature(info.callback).parameters)
    }
    assert asking == {*ASKING, "sheet", "trip"}
    assert set(names) == {"van", "with_loads", *SHARED}


def test_defaults_of_options_are_told(cli, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    said = cli("tune", "--help").out
    assert "all that fit; 0-8 without a roof" in said
    assert "1-12" in said
    assert "today" in cli("sheet", "--help").out
    assert "the place's local time" in cli("calibrate", "log.csv", "--help").out


def test_the_version_is_told(process):
    ran = process("--version")
    assert (ran.code, ran.out, ran.err) == (0, f"solarsim {version('solarsim')}\n", "")


def test_the_example_is_the_one_that_scripts_get():
    assert EXAMPLE_VAN == DEFAULT_VAN
