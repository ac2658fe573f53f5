"""Worker processes that are killed, and Ctrl-C in the middle."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import solarsim
from solarsim.answers.question import ask
from solarsim.answers.region import block as block_module
from solarsim.answers.region import pool as pool_module
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.region import region
from solarsim.errors import WorkerError
from tests.interrupts import heeds_interrupts

ROOT = Path(solarsim.__file__).parents[1]


@pytest.fixture
def asked(monkeypatch):
    monkeypatch.setattr(block_module, "_BLOCK_FIGURES", 1)
    return ask_region(ask(runs=20, days=3, follow_days=6), "36, -9, 40, -4", step_deg=1.0)


@pytest.mark.slow
def test_a_worker_that_is_killed_changes_nothing(asked):
    killed = []

    def kill_one(done, cells):
        if not killed and done >= 2:
            child = multiprocessing.active_children()[0]
            child.kill()
            killed.append(child.pid)

    answer = region(asked, workers=2, progress=kill_one)
    assert killed
    assert answer.figures == region(asked, workers=1).figures


def test_workers_that_end_time_and_again_are_told(asked, monkeypatch):
    def broken(*_):
        raise pool_module.BrokenProcessPool

    monkeypatch.setattr(pool_module, "_over_a_pool", broken)
    with pytest.raises(WorkerError, match="ended without an answer 3 times"):
        region(asked, workers=2)


@pytest.mark.slow
def test_ctrl_c_leaves_what_is_done_and_the_same_command_goes_on(tmp_path):
    command = [sys.executable, "-m", "solarsim", "region", "--region", "36, -9, 44, 3"]
    command += ["--runs", "40", "--workers", "2", "--csv", "map.csv"]
    about = {"cwd": tmp_path, "env": {**os.environ, "PYTHONPATH": str(ROOT)}}
    # A terminal sends it to the whole group of processes.
    running = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
        preexec_fn=heeds_interrupts,
        **about,
    )
    deadline = time.monotonic() + 60.0
    while time.monotonic() < deadline and not list(tmp_path.glob("map.blocks/block-*.npz")):
        time.sleep(0.05)
    os.killpg(running.pid, signal.SIGINT)
    out, err = running.communicate(timeout=60)
    assert running.returncode == 130
    assert out == b""
    told = "solarsim: interrupted; what is done is in map.blocks, and the same command goes on"
    assert " ".join(err.decode().split()) == told
    assert not (tmp_path / "map.csv").exists()
    kept = {path: path.stat().st_mtime_ns for path in (tmp_path / "map.blocks").iterdir()}
    assert 1 <= len(kept) < 7
    again = subprocess.run(command, capture_output=True, timeout=120, check=True, **about)
    assert again.stderr == b""
    assert (tmp_path / "map.csv").stat().st_size > 10_000
    assert {path: path.stat().st_mtime_ns for path in kept} == kept
