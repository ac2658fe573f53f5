"""Compiled loops are kept on disk, known by what they are made of, and never run when damaged."""

from __future__ import annotations

import errno
import os
import pwd
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from solarsim.compiled import on_disk
from solarsim.compiled.machine_code import MachineCode, numbers_of, row_of, step
from solarsim.compiled.on_disk import keep_code, kept_code
from solarsim.inputs.files.cache import cache_folder
from solarsim.power import kernel
from solarsim.power.dispatch import dispatch
from tests.power.test_dispatch import design, scenario

SOURCE = b"what it is made of"


@step
def _raise_where_negative(values):
    for i in range(len(values)):
        if values[i] < 0.0:
            raise ValueError
        values[i] = np.sqrt(values[i])


def _raising_entry(arrays, shapes, whole, real):
    _raise_where_negative(row_of(arrays, shapes, 0))


def _adding_entry(arrays, shapes, whole, real):
    values, places = row_of(arrays, shapes, 0), numbers_of(arrays, shapes, 1)
    for i in range(len(places)):
        values[places[i]] += real[0] * whole[0]


@pytest.fixture(scope="module")
def object_file():
    """The kernel's own, which the first dispatch leaves on disk."""
    dispatch(**scenario(1, runs=1), designs=[design()], start_soc=0.5, ledger_hours=24)
    code = [kept_code(path) for path in (cache_folder() / "compiled").glob("dispatch-*.o")]
    return next(each for each in code if each)


@pytest.fixture
def loop(tmp_path, monkeypatch, object_file):
    """Loops as new processes have them, in a cache of their own; the compiler is asked in vain."""
    monkeypatch.setenv("SOLARSIM_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(on_disk, "_told", set())
    source = tmp_path / "source"
    source.write_bytes(SOURCE)
    compiled = []

    class Loop(MachineCode):
        def compiled(self):
            compiled.append(self)
            return object_file

    def load():
        one = Loop("work", _adding_entry, [source])
        one.load()
        return len(compiled)

    load.source = source
    load.files = lambda: list((tmp_path / "cache" / "compiled").glob("*"))
    return load


def test_what_is_kept_is_not_compiled_again(loop, capsys):
    assert [loop(), loop(), loop()] == [1, 1, 1]
    assert [path.suffix for path in loop.files()] == [".o"]
    assert capsys.readouterr() == ("", "")


def test_what_was_made_of_something_else_is_compiled(loop):
    assert loop() == 1
    loop.source.write_bytes(SOURCE + b" and more")
    assert [loop(), loop()] == [2, 2]


@pytest.mark.parametrize("what", ["emptied", "cut short", "one bit", "no code"])
def test_what_is_damaged_is_compiled_and_kept_anew(loop, what, capsys):
    assert loop() == 1
    (path,) = loop.files()
    whole = path.read_bytes()
    damaged = {
        "emptied": b"",
        "cut short": whole[:-1000],
        "one bit": whole[:5000] + bytes([whole[5000] ^ 1]) + whole[5001:],
        "no code": whole[:32],
    }
    path.write_bytes(damaged[what])
    assert [loop(), loop()] == [2, 2]
    assert path.read_bytes() == whole
    assert capsys.readouterr() == ("", "")


def test_a_damaged_file_is_deleted(tmp_path):
    path = tmp_path / "work.o"
    path.write_bytes(b"")
    assert kept_code(path) is None
    assert not path.exists()


def days_ago(path, days):
    """Make a file as if it had last been used so many days ago."""
    at = time.time() - days * 86_400.0
    os.utime(path, (at, at))


def kept(folder, name):
    path = folder / name
    keep_code(path, b"code")
    return path


def test_code_that_nobody_uses_goes_when_new_code_is_kept(tmp_path):
    old, used = kept(tmp_path, f"cabin-{'1' * 24}.o"), kept(tmp_path, f"cabin-{'2' * 24}.o")
    foreign = tmp_path / "notes.o"
    foreign.write_bytes(b"not ours")
    for path in (old, used, foreign):
        days_ago(path, 91)
    # Using it is what counts, not when it was made.
    assert kept_code(used) == b"code"
    new = kept(tmp_path, f"snow_cover-{'3' * 24}.o")
    assert sorted(tmp_path.iterdir()) == sorted([used, foreign, new])


def test_of_very_many_files_the_last_used_are_kept(tmp_path):
    paths = []
    for number in range(on_disk._MOST_FILES + 3):
        paths.append(tmp_path / f"loads-{number:024x}.o")
        paths[-1].write_bytes(b"any")
        days_ago(paths[-1], 80 - number)
    new = kept(tmp_path, f"loads-{'f' * 24}.o")
    assert sorted(tmp_path.iterdir()) == sorted([*paths[4:], new])


def test_files_that_another_process_deletes_first_are_no_fault(tmp_path, monkeypatch):
    old = kept(tmp_path, f"cabin-{'1' * 24}.o")
    days_ago(old, 91)
    unlink = Path.unlink

    def unlink_after_another(path):
        unlink(path)
        unlink(path)

    monkeypatch.setattr(Path, "unlink", unlink_after_another)
    new = kept(tmp_path, f"cabin-{'2' * 24}.o")
    assert list(tmp_path.iterdir()) == [new]
    assert kept_code(old) is None


def test_what_another_user_has_written_is_not_run(loop, monkeypatch):
    assert loop() == 1
    monkeypatch.setattr(on_disk, "_trusted_owners", lambda: {os.geteuid() + 1})
    assert loop() == 2


def only_line(capsys):
    shown = capsys.readouterr()
    assert shown.out == ""
    (line,) = shown.err.splitlines()
    assert "compiled for this process alone" in line
    assert "SOLARSIM_CACHE" in line
    return line


def test_where_nothing_can_be_kept_one_line_says_so(loop, monkeypatch, capsys):
    # Not even the administrator makes a folder there.
    monkeypatch.setenv("SOLARSIM_CACHE", str(loop.source / "cache"))
    assert [loop(), loop()] == [1, 2]
    assert "Not a directory" in only_line(capsys)


def test_a_full_disk_leaves_nothing_behind(loop, monkeypatch, capsys):
    def full(*arguments, **options):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", full)
        assert loop() == 1
    assert "No space left on device" in only_line(capsys)
    assert loop.files() == []


def test_a_user_without_home_has_no_folder(loop, monkeypatch, capsys):
    for name in ("SOLARSIM_CACHE", "XDG_CACHE_HOME", "HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(pwd, "getpwuid", {}.__getitem__)
    assert cache_folder() is None
    assert [loop(), loop()] == [1, 2]
    assert "no home folder" in only_line(capsys)


def test_arrays_of_another_kind_are_refused():
    for wrong in (np.zeros(3, dtype=np.float32), np.zeros((3, 3))[:, 0]):
        with pytest.raises(ValueError, match=r"array 0, float.* must be contiguous 64-bit numbers"):
            kernel.CODE([wrong])


# What a container may be: no home, a user of no name, and no folder that can be written.
NO_HOME = {"PATH": "/usr/bin:/bin", "SOLARSIM_CACHE": "/proc/nowhere"}
COMPILES = """
import sys, numpy as np
from solarsim.compiled.compiler import object_code
from solarsim.compiled.machine_code import MachineCode
from tests.compiled.test_machine_code import _adding_entry, _raising_entry

values, places = np.zeros(4), np.array([1, 3, 3])
MachineCode("adding", _adding_entry, [])([values, places], whole=[2], real=[0.5])
assert values.tolist() == [0.0, 1.0, 0.0, 2.0]
try:
    object_code(_raising_entry)
except RuntimeError as error:
    print(error)
"""


@pytest.mark.slow
def test_a_loop_is_compiled_where_nothing_can_be_written(tmp_path):
    """And one that would raise is not, for nothing outside could take the exception."""
    root = Path(kernel.__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-B", "-c", COMPILES],
        cwd="/proc",
        env=NO_HOME | {"PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    assert "test_machine_code is not free of the runtime: " in done.stdout
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith("solarsim: compiled for this process alone")
