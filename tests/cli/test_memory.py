"""Freed memory stays with the process where the C library can be told so."""

from __future__ import annotations

import ctypes
import subprocess
import sys

import pytest

from solarsim.cli.memory import keep_memory

# Eight times 16 MB, each written whole: pages that the system gives.
ARRAYS = """
import resource, sys
import numpy as np
from solarsim.cli.memory import keep_memory
if sys.argv[1] == "kept":
    keep_memory()
np.ones(2_000_000)
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
for _ in range(8):
    np.ones(2_000_000)
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(ctypes.CDLL(None), "mallopt"), reason="glibc alone has mallopt")
def test_arrays_take_the_memory_of_those_before_them():
    def pages(how):
        command = [sys.executable, "-c", ARRAYS, how]
        return int(subprocess.run(command, check=True, capture_output=True, text=True).stdout)

    assert pages("kept") < 0.2 * pages("given back")


def test_another_c_library_is_left_alone(monkeypatch):
    monkeypatch.setattr(ctypes, "CDLL", lambda name: object())
    keep_memory()
