"""Three vans as builders bring them, through every command in the cold and in the heat.

A compact van with one AGM battery, a PWM controller and one panel; a long van with three panels
round a fan and an air cooler, 400 Ah of lithium, 3,000 W and induction; a short bus of 24 V with
eight panels. What one page says of them, the others say too.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.test_wording import misleading

VANS = {path.stem: path for path in (Path(__file__).parents[1] / "vans").glob("*.toml")}
BUILDERS = ("compact", "long", "bus")
STAYS = {"cold": ("Östersund, SE", 1), "heat": ("Phoenix, AZ, US", 7)}
RUNS = ("--runs", 10)
# Beside the words that mislead anywhere: numbers in their wrong form, hours as days, tables torn.
GRATE = (
    r"\b0\.\d days? (on its own|with)",
    r"\b0\.\d days or more",
    r"\b0\.0 days in half",
    r"[a-z]\.[A-Z][a-z]",
    r"\bown 1 fit\b",
    r"\b(nan|inf|None)\b",
    r"[+-]1 points\b",
    r"\bless over the year\b",
)


def page(cli, command, van, climate, *more):
    place, month = STAYS[climate]
    asked = ("--place", place, *(() if command == "sheet" else ("--month", month)))
    runs = () if command in ("roof", "check") else RUNS
    return cli(command, VANS[van], *asked, *runs, *more)


def document(cli, command, van, climate, *more):
    ran = page(cli, command, van, climate, "--json", "-", *more)
    assert ran.code == 0, ran.err
    return json.loads(ran.out)


@pytest.mark.slow
@pytest.mark.one_plain
@pytest.mark.parametrize("climate", STAYS)
@pytest.mark.parametrize("van", BUILDERS)
def test_they_are_built_by_every_rule(cli, van, climate):
    found = document(cli, "check", van, climate)["findings"]
    assert [one for one in found if one["severity"] == "stop"] == []
    roof = document(cli, "roof", van, climate)
    assert roof["own"]["fits"]


@pytest.mark.slow
@pytest.mark.parametrize("climate", STAYS)
@pytest.mark.parametrize("van", BUILDERS)
def test_no_page_reads_badly(cli, van, climate):
    for command in ("stay", "bank", "tune", "levers", "seasons", "roof", "check", "sheet"):
        ran = page(cli, command, van, climate)
        assert ran.code == 0, ran.err
        line = " ".join((ran.out + ran.err).split())
        found = [hit.group() for phrase in GRATE for hit in re.finditer(phrase, line)]
        assert found + misleading(line) == [], command


@pytest.mark.slow
@pytest.mark.parametrize("climate", STAYS)
@pytest.mark.parametrize("van", BUILDERS)
def test_every_page_says_the_same(cli, van, climate):
    stay = document(cli, "stay", van, climate)
    days, chance = stay["days_unplugged"], stay["chance_lasts"]
    banks = document(cli, "bank", van, climate)
    own = next(row for row in banks["banks"] if row["units"] == stay["bank"]["units"])
    month = document(cli, "seasons", van, climate)["months"][STAYS[climate][1] - 1]
    levers = document(cli, "levers", van, climate)
    sheet = document(cli, "sheet", van, climate, "--date", "2026-01-02", "--annex")
    season = "winter" if climate == "cold" else "summer"
    typical = sheet["regions"][0]["days"]["typical"]
    row = next(one for one in typical if one["season"] == season)
    for other in (own, month, levers["days_unplugged"], row):
        assert other["p50"] == days["p50"]
        assert other["p10"] == days["p10"]
    assert own["chance_lasts"] == month["chance_lasts"] == levers["chance_lasts"] == chance
    assert banks["recommended_bank"] == stay["recommended_bank"]
    tuned = document(cli, "tune", van, climate)
    roof = document(cli, "roof", van, climate)
    assert max(one["panels"] for one in tuned["designs"]) <= roof["count"]
    assert sheet["van"]["panels_w"] <= roof["watts"]
    own = [one for one in tuned["designs"] if one["units"] == stay["bank"]["units"]]
    same = [one for one in own if one["panels"] == sheet["van"]["panels"]]
    assert [one["p50"] for one in same] == [days["p50"]]
    # The stop of the check that a heavier use meets says whose it is.
    for warning in sheet["warnings"]:
        assert warning.startswith("with heavy use: "), warning


@pytest.mark.slow
def test_a_bank_that_does_not_last_the_evening_is_said_in_hours(cli):
    """The compact van with what the heavy use runs by day and night."""
    sheet = document(cli, "sheet", "compact", "cold", "--date", "2026-01-02")
    heavy = sheet["regions"][0]["days"]["heavy"][0]
    assert heavy["p50"] < 0.5
    text = " ".join(page(cli, "sheet", "compact", "cold").out.split())
    assert re.search(r"Heavy use .{1,3}\d h ≥ \d h", text)
    said = page(
        cli, "stay", "compact", "cold", "--profile", "heavy", "--set", "inverter.power_w=500"
    )
    first = " ".join(said.out.split())
    assert re.search(r"Count on \d hours in .*; half last \d hours or more; .* with ", first)
