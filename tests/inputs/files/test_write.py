"""A whole file or none of it."""

from __future__ import annotations

import os
import pathlib
import stat

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.errors import InputError
from solarsim.inputs.files.write import check_writable, write_file


def test_writes_what_it_is_given(tmp_path):
    path = tmp_path / "a.json"
    write_file(path, b"{}\n")
    assert path.read_bytes() == b"{}\n"
    write_file(path, b"new")
    assert path.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [path]


@given(content=st.binary(max_size=2000))
def test_bytes_come_back(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "any.bin"
    write_file(path, content)
    assert path.read_bytes() == content


def test_relative_paths_and_links(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_file(pathlib.Path("a.json"), b"x")
    assert (tmp_path / "a.json").read_bytes() == b"x"


def test_rights_follow_the_mask(tmp_path):
    before = os.umask(0o027)
    try:
        write_file(tmp_path / "a", b"x")
        assert os.umask(0o027) == 0o027, "the mask is left as it was"
    finally:
        os.umask(before)
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("write", [check_writable, lambda path: write_file(path, b"x")])
def test_refuses_folders_and_what_lies_in_none(tmp_path, write):
    with pytest.raises(InputError, match="is a folder") as caught:
        write(tmp_path)
    assert caught.value.source == str(tmp_path)
    with pytest.raises(InputError, match="folder does not exist"):
        write(tmp_path / "nowhere" / "a.json")
    assert list(tmp_path.iterdir()) == []


def test_a_failure_half_way_leaves_the_old_file_alone(tmp_path, monkeypatch):
    path = tmp_path / "a.json"
    path.write_bytes(b"old")

    def full(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pathlib.Path, "replace", full)
    with pytest.raises(InputError, match="No space left on device"):
        write_file(path, b"new")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_keeps_its_mode_and_a_link_its_target(tmp_path):
    path, link = tmp_path / "a.json", tmp_path / "link.json"
    path.write_bytes(b"old")
    path.chmod(0o640)
    link.symlink_to(path)
    write_file(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_what_is_protected_or_no_file_is_left_alone(tmp_path):
    path = tmp_path / "a.json"
    path.write_bytes(b"old")
    path.chmod(0o444)
    with pytest.raises(InputError, match="protected against writing"):
        write_file(path, b"new")
    assert path.read_bytes() == b"old"
    os.mkfifo(pipe := tmp_path / "pipe")
    with pytest.raises(InputError, match="no ordinary file"):
        write_file(pipe, b"new")
    (circle := tmp_path / "circle").symlink_to(circle)
    with pytest.raises(InputError, match=r"no file name|levels of symbolic links"):
        write_file(circle, b"new")
    with pytest.raises(InputError, match="no file name"):
        write_file(tmp_path / "a\0b", b"new")
    with pytest.raises(InputError, match="name too long"):
        write_file(tmp_path / ("a" * 300), b"new")


def test_a_long_name_leaves_room_for_the_part_written_beside_it(tmp_path):
    path = tmp_path / f"{'a' * 250}.csv"
    write_file(path, b"x")
    assert path.read_bytes() == b"x"


def test_what_is_written_is_on_the_disk_before_it_has_its_name(tmp_path, monkeypatch):
    done = []
    monkeypatch.setattr(os, "fsync", lambda handle: done.append("synced"))
    moved = pathlib.Path.replace
    monkeypatch.setattr(
        pathlib.Path, "replace", lambda self, to: (done.append("moved"), moved(self, to))[1]
    )
    write_file(tmp_path / "a", b"x")
    assert done == ["synced", "moved"]
