"""What takes seconds is worked out beside the server, and the answer is the same."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.app import processes
from solarsim.app.processes import answer_beside
from solarsim.errors import PlaceError
from solarsim.weather.places import find_place

# Run by itself, as a server would be that is ended without a word.
SERVER = """
import os
from solarsim.app import processes

if __name__ == "__main__":
    processes._is_served = lambda: True
    print(processes.answer_beside(os.getpid), flush=True)
    os.kill(os.getpid(), 9)
"""


@pytest.fixture
def served(monkeypatch):
    """As where the app is served; its processes end with the test."""
    monkeypatch.setattr(processes, "_is_served", lambda: True)
    yield
    if processes._pool is not None:
        processes._pool.shutdown()
        processes._forget()


def test_a_page_that_is_drawn_by_itself_needs_no_other_process():
    assert answer_beside(os.getpid) == os.getpid()
    assert processes._pool is None


def test_the_answer_and_what_is_refused_come_back_from_the_other_process(served):
    assert answer_beside(os.getpid) != os.getpid()
    question = ask(runs=5)
    here, there = seasons(question), answer_beside(seasons, question)
    assert json.dumps(there.to_dict()) == json.dumps(here.to_dict())
    with pytest.raises(PlaceError) as here:
        find_place("Springfield")
    with pytest.raises(PlaceError) as there:
        answer_beside(find_place, "Springfield")
    assert vars(there.value) == vars(here.value)
    assert str(there.value) == str(here.value)
    assert there.value.choices


def test_a_process_that_is_taken_away_costs_no_answer(served):
    first = answer_beside(os.getpid)
    os.kill(first, signal.SIGKILL)
    # Until the loss is seen another one may be given the work.
    found = [answer_beside(os.getpid) for _ in range(5)]
    assert first not in found
    assert processes._pool is not None
    assert answer_beside(os.getpid) != os.getpid()


@pytest.mark.parametrize("error", [OSError, NotImplementedError])
def test_a_machine_without_processes_to_give_answers_by_itself(served, monkeypatch, error):
    def refuse(*_given, **_named):
        raise error("no semaphores")

    monkeypatch.setattr(processes, "ProcessPoolExecutor", refuse)
    assert answer_beside(os.getpid) == os.getpid()


def test_a_process_ends_with_its_server_however_that_ends(tmp_path):
    script, told = tmp_path / "server.py", tmp_path / "told.txt"
    script.write_text(SERVER)
    root = Path(__file__).resolve().parents[2]
    # Not a pipe, which the process beside it would hold open.
    with told.open("w") as file:
        ran = subprocess.run(
            [sys.executable, script],
            stdout=file,
            env=os.environ | {"PYTHONPATH": str(root)},
            timeout=60,
            check=False,
        )
    assert ran.returncode == -signal.SIGKILL
    beside = Path("/proc", told.read_text().strip())
    end = time.monotonic() + 20.0
    while time.monotonic() < end and is_running(beside):
        time.sleep(0.1)
    assert not is_running(beside)


def is_running(process):
    """Whether it runs; one that has ended may wait to be taken note of."""
    try:
        return "Z" not in (process / "stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
