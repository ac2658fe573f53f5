"""Words that mislead or grate, in the output of every command for both shipped vans."""

from __future__ import annotations

import ast
import json
import pathlib
import re

import numpy as np
import pandas as pd
import pvlib
import pytest

import solarsim
from solarsim.inputs.files.toml import shipped_folder

PACKAGE = pathlib.Path(solarsim.__file__).parent
TMY3 = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
VANS = sorted(path.stem for path in shipped_folder("vans").glob("*.toml"))
# The quick run takes each command with one of them.
OTHERS_SLOW = [
    pytest.param(van, marks=[] if van == "weekender" else pytest.mark.slow) for van in VANS
]
SYSTEM_V = {"weekender": 13.2, "long-stayer": 26.4}
RUNS = ("--runs", "5")
MISLEADING = (
    # The median of each hour follows no run, and half of the runs is no run either.
    r"\bmiddle (run|one)\b",
    # Names for figures that need a second reading.
    r"\bleft Wh\b",
    r"\bmost gained\b",
    r"\bpromised were\b",
    r"\btold\b",
    # Things that are counted are fewer.
    r"\b(panels?|batter(y|ies)|units?|days?|runs?) less\b",
    r"(?<![\w.,])1 (panels|units|batteries|days|runs|years|hours|nights|points)\b",
)
# Of a voltage that charges 24 V by itself.
ONE_PANEL = ("--set", 'panels.part="330 W residential 60 cells"')
ONE_PANEL += ("--set", "panels.count=1", "--set", "panels.series=1")
ASKED = {
    "interview": ("--answers", "couple"),
    "stay": RUNS,
    "stay in words of a day": ("--days", "1", *RUNS),
    "stay on one panel": (*ONE_PANEL, *RUNS),
    "bank": RUNS,
    "bank that none is": ("--month", "12", "--set", "panels.count=0", *RUNS),
    "tune": RUNS,
    "tune of one panel": ("--panels", "1", *ONE_PANEL, *RUNS),
    "levers": RUNS,
    "levers of a month that lasts": ("--month", "6", *RUNS),
    "seasons": RUNS,
    "region": ("--region", "47, 13, 48, 14", "--month", "1,7", "--step", "1", *RUNS),
    "trip": RUNS,
    "roof": (),
    "check": (),
    "sheet": ("--runs", "5"),
    "offer": ("weekender", "--prices", "example", *RUNS),
    "history": ("--weather", TMY3, *RUNS),
    "calibrate": (),
    "parts": (),
    "climate": (),
}


@pytest.fixture
def log(tmp_path):
    """Five days of a bank that the sun fills by day, at a van's voltage."""

    def write(voltage_v):
        times = pd.date_range("2026-06-01", periods=5 * 144, freq="10min")
        hour = times.hour + times.minute / 60.0
        solar_w = 180.0 * np.clip(np.sin((hour - 6.0) / 12.0 * np.pi), 0.0, None)
        net_a = (solar_w - 45.0) / voltage_v
        table = pd.DataFrame(
            {
                "Time": times,
                "SOC (%)": np.clip(60.0 + np.cumsum(net_a) / 12.0, 20.0, 99.0).round(1),
                "Voltage (V)": voltage_v,
                "Current (A)": net_a.round(3),
                "Solar power (W)": solar_w.round(1),
            }
        )
        path = tmp_path / "log.csv"
        table.to_csv(path, index=False)
        return path

    return write


def misleading(text):
    """Phrases of `text`, wrapped at any width, that are among the misleading ones."""
    line = " ".join(text.split())
    return [found.group() for phrase in MISLEADING for found in re.finditer(phrase, line, re.I)]


@pytest.mark.parametrize("text", ["1\n panels", "in the middle one.", "one panel less", "LEFT Wh"])
def test_misleading_words_are_found(text):
    assert misleading(f"The van, {text}")


@pytest.mark.parametrize("text", ["11 panels", "0.1 days", "3.1 days", "1,1 runs", "1 panel"])
def test_figures_that_end_in_one_are_no_ones(text):
    assert not misleading(text)


def written(path):
    """Texts within a module, without its docstrings and the names that it hands out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    unread = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            unread |= {id(name) for name in ast.walk(node.value)}
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in unread
        ):
            yield node.value


@pytest.mark.one_plain
@pytest.mark.parametrize("room", ["answers", "app", "cli", "electrical", "present", "weather"])
def test_no_text_of_app_chart_or_card_misleads(room):
    """Also what no command prints: the app's page, legends, cards."""
    modules = sorted((PACKAGE / room).rglob("*.py"))
    assert modules
    found = {
        f"{path.relative_to(PACKAGE)}: {text}"
        for path in modules
        for text in written(path)
        if misleading(text)
    }
    assert found == set()


@pytest.mark.one_plain
@pytest.mark.parametrize("van", OTHERS_SLOW)
@pytest.mark.parametrize("name", ASKED)
def test_no_command_says_what_misleads(cli, log, van, name):
    command = name.split()[0]
    first = [log(SYSTEM_V[van])] if command == "calibrate" else []
    first += ["northern-spring"] if command == "trip" else []
    whose = [] if command in ("parts", "climate", "interview") else [van]
    ran = cli(command, *first, *whose, *ASKED[name])
    assert ran.code == 0, ran.err
    assert len(ran.out) > 200
    assert misleading(ran.out + ran.err) == []


@pytest.mark.one_plain
@pytest.mark.parametrize("van", OTHERS_SLOW)
@pytest.mark.parametrize("command", ["stay", "bank", "levers", "seasons", "tune", "roof", "check"])
def test_no_document_says_what_misleads(cli, van, command):
    runs = () if command in ("roof", "check") else RUNS
    ran = cli(command, van, *runs, "--json", "-")
    assert ran.code == 0, ran.err
    assert misleading(ran.out) == []


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        (["alternator.drive_h=0", "shore.plugged_h=0"], "on its own."),
        (
            ["alternator.drive_h=1", "alternator.every_days=3", "shore.plugged_h=0"],
            "with an hour's driving every 3 days.",
        ),
        (
            ["alternator.drive_h=0.5", "alternator.every_days=1", "shore.plugged_h=0"],
            "with 0.5 h of driving a day.",
        ),
        (
            ["alternator.drive_h=0", "shore.plugged_h=8", "shore.every_days=2"],
            "with 8 h of shore power every 2 days.",
        ),
        (
            [
                "alternator.drive_h=1",
                "alternator.every_days=3",
                "shore.plugged_h=8",
                "shore.every_days=2",
            ],
            "with an hour's driving every 3 days and 8 h of shore power every 2 days.",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
@pytest.mark.parametrize("van", OTHERS_SLOW)
def test_what_charges_beside_the_sun_is_said(cli, van, settings, said):
    chosen = [part for setting in settings for part in ("--set", setting)]
    ran = cli("stay", van, *RUNS, *chosen)
    first = " ".join(ran.out.split())[:400]
    assert said in first
    assert ("on its own" in first) is (said == "on its own.")


@pytest.mark.one_plain
@pytest.mark.parametrize("van", VANS)
def test_the_bank_is_said_as_rated_and_as_cold_as_it_is(cli, van):
    asked = ("stay", van, *RUNS, "--month", 1, "--set", 'battery.part="100 Ah AGM"')
    bank = json.loads(cli(*asked, "--json", "-").out)["bank"]
    assert bank["temperature_c"] < 20.0
    assert 0.7 < bank["usable_wh_cold"] / bank["usable_wh"] < 0.95
    assert (
        f"{bank['usable_wh']:,.0f} Wh usable as rated, {bank['usable_wh_cold']:,.0f} Wh at the "
        f"bank's {bank['temperature_c']:.0f} C"
    ) in " ".join(cli(*asked).out.split())


def test_a_warm_bank_is_said_once(cli):
    out = " ".join(cli("stay", *RUNS, "--place", "Singapore, SG", "--month", 4).out.split())
    assert re.search(r"Bank now: 2 units, 200 Ah, [\d,]+ Wh usable\.", out)
