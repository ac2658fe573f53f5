"""Uploaded files: what they say is used, where they point is not followed."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.app.draft import example, shipped_profile
from solarsim.app.link import profile_toml, van_toml
from solarsim.app.uploads.opening import opened
from solarsim.app.views.save import file_name
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van


def test_a_van_brings_the_shipped_people_that_it_names():
    text = van_toml(read_van("long-stayer"))
    found, said = opened(example(), "bus.toml", text.encode())
    assert found.van == read_van("long-stayer")
    assert found.profile == shipped_profile("remote-workers")
    assert "bus.toml" in said


def test_the_shipped_files_open_as_they_are():
    from solarsim.inputs.files.toml import shipped_folder

    for path in shipped_folder("vans").glob("*.toml"):
        assert opened(example(), path.name, path.read_bytes())[0].van == read_van(str(path))
    for path in shipped_folder("loads").glob("*.toml"):
        assert opened(example(), path.name, path.read_bytes())[0].profile == shipped_profile(
            path.stem
        )


def test_people_that_are_not_shipped_stay_unread(tmp_path):
    other = tmp_path / "others.toml"
    other.write_text(profile_toml(shipped_profile("ski-trip")))
    text = van_toml(read_van("weekender", settings=[f"stay.profile='{other}'"]))
    found, said = opened(example(), "van.toml", text.encode())
    assert found.profile == example().profile
    assert "open their file too" in said


def test_people_alone_change_only_the_people():
    text = profile_toml(shipped_profile("ski-trip"))
    found, _ = opened(example(), "x", text.encode())
    assert found == dataclasses.replace(example(), profile=shipped_profile("ski-trip"))


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"\x00\xff\xfe", "not a text file"),
        (b"x = ", "not valid TOML"),
        (b"[battery]\nunits = 1", "neither"),
        (b"capacity = 1,5", "decimals take a point"),
        (b"[van]\nname = 'x'", "is required"),
        (b"[profile]\nname = 'x'\n[hourly]\nfile = '/etc/hostname'", "another file is not read"),
        (b"x" * 1_000_001, "larger than"),
    ],
)
def test_bad_files_are_named_by_their_own_name(content, message):
    with pytest.raises(InputError, match=message) as caught:
        opened(example(), "my file.toml", content)
    assert "my file.toml" in str(caught.value)
    assert "/tmp" not in str(caught.value)


def test_a_van_at_no_place_is_refused():
    text = van_toml(read_van("weekender", settings=["stay.place='Nowhereville'"]))
    with pytest.raises(InputError, match="no town of that name"):
        opened(example(), "v.toml", text.encode())


@pytest.mark.parametrize("name", ["../../etc/passwd", "a\nb", "ä/ö", "x" * 300, "", "."])
def test_file_names_to_save_are_plain(name):
    found = file_name(name, "van")
    assert found.endswith(".toml")
    assert found.removesuffix(".toml").replace("-", "").isalnum()
    assert len(found) <= 65


def test_several_faults_of_an_upload_are_a_line_each_under_its_own_name():
    text = van_toml(example().van).replace("units = 2", "units = 0").replace("days = 7", "days = 0")
    with pytest.raises(InputError) as caught:
        opened(example(), "mine.toml", text.encode())
    lines = str(caught.value).split("\n")
    assert len(lines) == 2
    assert all(line.startswith("mine.toml: ") and "got 0" in line for line in lines)
