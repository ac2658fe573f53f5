"""The interview on the command line: from a file, on a terminal, as a form."""

from __future__ import annotations

import io
import json
import sys

import pytest


@pytest.fixture
def typed(monkeypatch):
    def give(*lines):
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))

    return give


@pytest.mark.slow
def test_answers_make_a_profile_that_stay_takes(cli, tmp_path):
    ran = cli(
        *("interview", "--answers", "couple", "--set", 'answers.medical=["breathing device"]'),
        *("--out", "p.toml", "--keep", "a.toml", "--page", "p.html"),
    )
    assert (ran.code, ran.out) == (0, "")
    assert "never rely on this alone" in ran.err
    assert (tmp_path / "p.html").read_text().startswith("<!doctype html>")
    again = cli("interview", "--answers", "a.toml", "--json", "-")
    assert json.loads(again.out)["profile"]["profile"]["medical"] == ["breathing device"]
    stay = cli("stay", "long-stayer", "--profile", "p.toml", "--runs", 300, "--days", 2)
    assert stay.code == 0, stay.err
    words = " ".join(stay.out.split())
    assert "depend on the breathing device" in words
    assert "never rely on this alone" in words
    assert "target 99 %" in words


def test_the_terminal_asks_again_until_an_answer_can_be_used(cli, typed):
    typed(
        *("", "nine", "3", "Nowhereville", "Bergen, NO", "11-1", "", "", "1", "", "none", "9"),
        *("2", "", "", "none", "", "", ""),
    )
    ran = cli("interview", "--json", "-")
    assert ran.code == 0, ran.err
    document = json.loads(ran.out)
    assert document["answers"]["people"] == 3
    assert document["months"] == [12, 1, 11]
    assert document["answers"]["fridge"] == "small"
    assert "warmth" not in document["not_answered"]
    for said in ("must be answered", "whole number", "Nowhereville", "choose of"):
        assert said in ran.err


def test_a_medical_device_must_be_said_or_denied(cli, typed):
    typed("2", *[""] * 11, *[""] * 3)
    ran = cli("interview")
    assert ran.code == 2
    assert ran.err.splitlines()[-1].startswith("solarsim: the interview: ended before question 10 ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--answers", "nobody"], "no such file or shipped example; shipped: couple"),
        (["--answers", "couple", "--set", "answers.people=12"], "answers.people: got 12"),
        (["--answers", "couple", "--page", "p.txt"], "must end in .html or .pdf"),
        (["--answers", "couple", "--out", "p.json"], "must end in .toml"),
        (["--blank"], "give --page and nothing else"),
        (["--blank", "--page", "b.html", "--answers", "couple"], "nothing else"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_line(cli, arguments, said):
    ran = cli("interview", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert len(ran.err.splitlines()) == 1


def test_a_blank_form_to_fill_in(cli, tmp_path):
    assert cli("interview", "--blank", "--page", "b.html").code == 0
    assert "(chosen)" not in (tmp_path / "b.html").read_text()
