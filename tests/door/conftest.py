"""Every answer of the door once, few runs each, and the command's own document of it."""

from __future__ import annotations

import contextlib
import datetime as dt
import functools
import json
import sys

import numpy as np
import pandas as pd
import pytest

import solarsim
from solarsim.cli.main import main

RUNS = 12
PLAIN = ("stay", "bank", "levers", "seasons", "roof", "check", "wiring", "buy", "history")
DATE = dt.date(2026, 3, 1)
TUNED = {"panels": [1, 2, 3], "strings": [2, 3, 4]}
SEARCHED = {"panels": [1, 2], "kinds": ["own", "100 W flexible"], "strings": [2, 3]}


@pytest.fixture(scope="session")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("door")


@pytest.fixture(scope="session")
def log_file(folder):
    """Five days of a bank that the sun fills by day and a steady load empties."""
    times = pd.date_range("2026-06-01", periods=5 * 144, freq="10min")
    hour = times.hour + times.minute / 60.0
    light = np.clip(np.sin((hour - 6.0) / 12.0 * np.pi), 0.0, None)
    solar_w = 180.0 * light
    net_a = (solar_w - 45.0) / 13.2
    charge_ah = np.cumsum(net_a) / 6.0
    table = pd.DataFrame(
        {
            "Time": times,
            "SOC (%)": np.clip(60.0 + charge_ah / 2.0, 20.0, 99.0).round(1),
            "Voltage (V)": 13.2,
            "Current (A)": net_a.round(3),
            "Solar power (W)": solar_w.round(1),
        }
    )
    path = folder / "log.csv"
    table.to_csv(path, index=False)
    return path


@pytest.fixture(scope="session")
def question():
    return solarsim.ask("weekender", month=3, days=4, runs=RUNS)


class Answers(dict):
    """Answers by the name of their function, each worked out when it is first looked at."""

    def __init__(self, makers, cache):
        super().__init__()
        self.makers, self.cache = makers, cache

    def __missing__(self, name):
        # No year is in this cache: history answers from the climate alone.
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("XDG_CACHE_HOME", str(self.cache))
            return self.setdefault(name, self.makers[name]())


@pytest.fixture(scope="session")
def answers(question, log_file, folder):
    makers = {name: functools.partial(getattr(solarsim, name), question) for name in PLAIN}
    makers |= {
        "tune": lambda: solarsim.tune(question, **TUNED),
        "search": lambda: solarsim.search(question, **SEARCHED),
        "calibrate": lambda: solarsim.calibrate(question, log_file),
        "region": lambda: solarsim.region(question, "47, 12, 48, 14", step_deg=1.0),
        "sheet": lambda: solarsim.sheet("weekender", days=4, runs=RUNS),
        "offer": lambda: solarsim.offer([question, "long-stayer"], prices="example", date=DATE),
        "trip": lambda: solarsim.trip(question),
        "climate": solarsim.climate,
        "parts": solarsim.parts,
    }
    return Answers(makers, folder / "cache")


@pytest.fixture
def command(folder, monkeypatch, capsys):
    """Return the text that a command writes for ``--json``."""

    def run(*arguments):
        monkeypatch.setenv("XDG_CACHE_HOME", str(folder / "cache"))
        monkeypatch.setattr(sys, "argv", ["solarsim", *map(str, arguments), "--json", "-"])
        with contextlib.suppress(SystemExit):
            main()
        text = capsys.readouterr().out
        assert json.loads(text)["schema"] == 1
        return text

    return run
