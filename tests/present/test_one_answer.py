"""One answer on every machine: its bytes do not hang on the processor or on how runs are cut."""

from __future__ import annotations

import os
import platform
import subprocess
import sys

import pytest

import solarsim
from solarsim.answers.simulation import run as simulation_run
from solarsim.present.stay.documents import DIGITS, rounded

# Kernels of OpenBLAS that add up in different orders; any processor of that kind can run them all.
KERNELS = ("Prescott", "Nehalem", "Haswell")
ABOUT = ("--runs", "40", "--json", "-")
COMMANDS = (
    ("stay", *ABOUT),
    ("bank", "--days", "4", *ABOUT),
    ("roof", "long-stayer", "--json", "-"),
    ("climate", "--place", "Bergen, NO", "--json", "-"),
    ("trip", *ABOUT),
)


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_every_kernel_of_linear_algebra_gives_the_same_bytes(command):
    if platform.machine() not in {"x86_64", "AMD64"}:
        # Only these processors have such kernels to choose from.
        return
    told = {
        subprocess.run(
            [sys.executable, "-m", "solarsim", *command],
            env=os.environ | {"OPENBLAS_CORETYPE": kernel},
            capture_output=True,
            check=True,
            timeout=300,
        ).stdout
        for kernel in KERNELS[:: 1 if command[0] == "stay" else 2]
    }
    assert len(told) == 1


def test_however_runs_are_cut_the_bytes_are_the_same(monkeypatch):
    told = set()
    for runs in (7, 16, 175):
        monkeypatch.setattr(simulation_run, "CHUNK_RUNS", runs)
        told.add(solarsim.stay("weekender", runs=40).to_json())
    assert len(told) == 1


def test_numbers_have_so_many_digits_and_no_sign_before_nothing():
    assert DIGITS == 9
    given = {
        "a": [1.0 / 3.0, -1e-12, 123456789.123456],
        "b": (2.0 / 3.0e4,),
        "c": 10**12,
        "d": True,
    }
    assert rounded(given) == {
        "a": [0.333333333, 0.0, 123456789.0],
        "b": [6.6667e-05],
        "c": 10**12,
        "d": True,
    }
    assert str(rounded(-1e-12)) == "0.0"
