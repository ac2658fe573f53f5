"""The plain run leaves out what is slow, but no room; `.ci/run` runs what it leaves out."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

import pytest

from tests.conftest import COLLECTED
from tests.test_layout import ROOMS

ROOT = Path(__file__).resolve().parents[1]
# Files, not folders: met in all other tests, or tested beside this file.
SMALL = {"errors", "arrays", "cards", "records"}
REST = "slow or browser or crowd"


@pytest.fixture
def collected(request):
    """(room, in the plain run) of every test, where the whole suite was asked for."""
    found = request.config.stash[COLLECTED]
    rooms = [(name.split("/")[1], quick) for name, quick in found if name.startswith("tests/")]
    # A part of the suite says nothing of the whole.
    return rooms if {*ROOMS} - SMALL <= {room for room, _ in rooms} else None


def test_every_room_keeps_most_of_its_tests_in_the_plain_run(collected):
    """Two thirds: a page of the app takes a second to draw, and a third of its tests had to go."""
    if collected is None:
        return
    every = Counter(room for room, _ in collected)
    quick = Counter(room for room, is_quick in collected if is_quick)
    for room in {*ROOMS, "checks"} - SMALL:
        assert quick[room] >= 5, room
        assert quick[room] >= every[room] * 2 / 3, room


def test_what_the_plain_run_leaves_out_is_run_by_the_other_command():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    options = settings["tool"]["pytest"]["ini_options"]["addopts"]
    left_out = " and ".join(f"not {marker}" for marker in REST.split(" or "))
    assert f"-m '{left_out}'" in options
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "-m '(slow or browser) and not crowd'" in script
    assert "-m crowd" in script
    assert "SOLARSIM_NO_SKIPS=1" in script
