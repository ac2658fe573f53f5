"""Whole answers, the start of the command, and the memory of many runs."""

from __future__ import annotations

import subprocess
import sys

import pytest

from solarsim.answers.levers import levers
from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.answers.stay import stay
from solarsim.answers.tune.tune import tune

MEMORY = (
    "import resource, solarsim\n"
    "from solarsim.answers.{name} import {name} as answer\n"
    "answer(solarsim.ask(runs={runs}))\n"
    "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)\n"
)


def test_stay(benchmark):
    question = ask()
    benchmark.pedantic(stay, (question,), rounds=5, warmup_rounds=1)


def test_tune_a_week_of_96_designs(benchmark):
    question = ask(runs=1000).replace(follow_days=7)
    counts = {"panels": range(1, 9), "strings": range(1, 13)}
    benchmark.pedantic(tune, (question,), counts, rounds=5, warmup_rounds=1)


def test_tune(benchmark):
    benchmark.pedantic(tune, (ask(),), rounds=3, warmup_rounds=1)


def test_levers(benchmark):
    benchmark.pedantic(levers, (ask(),), rounds=3, warmup_rounds=1)


def test_seasons_of_300_runs(benchmark):
    benchmark.pedantic(seasons, (ask(runs=300),), rounds=3, warmup_rounds=1)


@pytest.mark.parametrize("arguments", [["--help"], ["stay"], ["tune"]], ids=" ".join)
def test_the_command_as_a_process(benchmark, arguments):
    command = [sys.executable, "-m", "solarsim", *arguments]
    run = {"check": True, "capture_output": True}
    benchmark.pedantic(subprocess.run, (command,), run, rounds=5, warmup_rounds=1)


@pytest.mark.parametrize(("name", "runs"), [("stay", 700), ("stay", 10_000), ("tune", 10_000)])
def test_memory(name, runs):
    code = MEMORY.format(name=name, runs=runs)
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    print(f"\n{name} of {runs:,} runs: at most {int(done.stdout) / 1024:,.0f} MB")
