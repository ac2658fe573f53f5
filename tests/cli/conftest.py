"""The command in this process and in its own, and the files it is given."""

from __future__ import annotations

import dataclasses
import os
import subprocess
import sys
from pathlib import Path

import pytest

from solarsim.cli.main import main


@dataclasses.dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str


@pytest.fixture
def cli(capsys, monkeypatch, tmp_path):
    """Call the command's own `main` in an empty working folder."""
    monkeypatch.chdir(tmp_path)

    def run(*arguments):
        monkeypatch.setattr(sys, "argv", ["solarsim", *map(str, arguments)])
        code = 0
        try:
            main()
        except SystemExit as end:
            code = end.code or 0
        got = capsys.readouterr()
        return Ran(code, got.out, got.err)

    return run


@pytest.fixture(scope="session")
def process(tmp_path_factory):
    """Run the installed command in a process of its own, away from the project's folder."""
    root = str(Path(__file__).resolve().parents[2])

    def run(*arguments, cwd=None):
        environment = dict(os.environ)
        environment["PYTHONPATH"] = root
        done = subprocess.run(
            [sys.executable, "-W", "error", "-m", "solarsim", *map(str, arguments)],
            cwd=cwd or tmp_path_factory.mktemp("elsewhere"),
            env=environment,
            capture_output=True,
            timeout=120,
            check=False,
        )
        return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())

    return run


@pytest.fixture(scope="session")
def default_json(process):
    """The shipped example's answer, from a process of its own."""
    ran = process("stay", "--runs", 20, "--json", "-")
    assert (ran.code, ran.err) == (0, "")
    return ran.out
