"""What a person sees: help, the sentence first, tables that fit a terminal of 80 columns."""

from __future__ import annotations

import re

import pytest

RUNS = ("--runs", "20")


def test_no_arguments_show_help(process):
    ran = process()
    assert "Traceback" not in ran.err
    shown = ran.out + ran.err
    for command in ("stay", "bank", "climate", "parts"):
        assert re.search(rf"\b{command}\b", shown)
    assert "Usage" in shown


@pytest.mark.parametrize("command", ["stay", "bank", "climate", "parts"])
def test_every_command_has_help(cli, command):
    ran = cli(command, "--help")
    assert (ran.code, ran.err) == (0, "")
    assert "--json" in ran.out


@pytest.mark.slow
def test_stay_without_arguments_answers_from_any_folder(process, tmp_path):
    ran = process("stay", *RUNS, cwd=tmp_path)
    assert (ran.code, ran.err) == (0, "")
    assert re.match(r"Count on \d days in January \(9 stays in 10\); half last ", ran.out)
    assert not list(tmp_path.iterdir())


def test_first_sentence_has_the_days_and_the_chance(cli):
    first = " ".join(cli("stay", *RUNS).out.split())
    assert re.match(r"Count on \d+ days in January \(9 stays in 10\)", first)
    assert re.search(r"all 7 days: \d+ in 100\. The van 'Weekender' near Salzburg, AT", first)


def test_a_stay_without_end_is_said_so(cli):
    first = " ".join(cli("stay", *RUNS, "--month", 6).out.splitlines()[:3])
    assert "30 days or more" in first
    assert "100 in 100" in first


@pytest.mark.parametrize(
    "arguments",
    [
        ("stay", *RUNS),
        ("stay", *RUNS, "--days", "60"),
        ("stay", "long-stayer", *RUNS, "--profile", "remote-workers"),
        ("bank", *RUNS),
        ("bank", *RUNS, "--place", "Tromso", "--days", "30"),
        ("climate",),
        ("parts",),
    ],
    ids=" ".join,
)
def test_fits_80_columns_and_cuts_nothing_off(cli, monkeypatch, arguments):
    monkeypatch.setenv("COLUMNS", "80")
    ran = cli(*arguments)
    assert (ran.code, ran.err) == (0, "")
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "\u2026" not in ran.out


@pytest.mark.one_plain
@pytest.mark.parametrize("place", ["Tromso", "Salzburg", "Cape Town"])
def test_no_negative_zero(cli, place):
    for arguments in (("stay", *RUNS), ("climate",)):
        assert not re.search(r"-0(\.0+)?(?![.\d])", cli(*arguments, "--place", place).out)


def test_names_are_shown_as_they_are(cli):
    assert "[bold]x[/bold]" in cli("stay", *RUNS, "--set", "van.name=[bold]x[/bold]").out


def test_names_cannot_steer_the_terminal(cli, tmp_path):
    load = '[profile]\nname = "a\\u001b[31mb"\n[[appliances]]\nname = "x\\u001b]0;y\\u0007"\n'
    (tmp_path / "load.toml").write_text(load + "power_w = 5.0\nhours_per_day = 2.0\n")
    ran = cli("stay", *RUNS, "--profile", "load.toml", "--set", 'van.name="v\\u001b[2J"')
    assert "\x1b" not in ran.out + ran.err
    assert "\x07" not in ran.out + ran.err


def test_bank_marks_its_choice_and_checks_it_by_hand(cli):
    out = cli("bank", *RUNS).out
    assert re.match(r"Bank that holds: \d+ units", out)
    chosen = re.search(r"holds: (\d+) units", out)[1]
    assert re.search(rf"\b{chosen} <", out)
    assert "IEEE 1013" in out


def test_no_bank_gives_what_would(cli):
    out = cli("bank", *RUNS, "--set", "stay.start_soc=0", "--month", 12).out
    assert out.startswith("No bank will do")
    assert "What would do it" in out


def test_warnings_name_an_appliance_that_the_inverter_cannot_carry(cli):
    out = " ".join(cli("stay", *RUNS, "--profile", "ski-trip").out.split())
    assert "'kettle' draws 1,500 W" in out
    assert "1,200 W" in out


def test_warning_of_a_string_above_the_controller(cli):
    out = " ".join(cli("stay", *RUNS, "--set", "controller.max_input_v=20").out.split())
    assert "the controller bears 20 V" in out


def test_climate_has_twelve_months(cli):
    out = cli("climate", "--place", "Cape Town").out
    for month in ("Jan", "Feb", "Sep", "Dec"):
        assert month in out


def test_parts_name_a_source(cli):
    out = cli("parts").out
    assert "200 W rigid" in out
    assert "source" in out
