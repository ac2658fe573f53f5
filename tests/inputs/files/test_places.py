"""A CSV of places: its two kinds of heading, and every fault in one line."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.places import MAX_PLACES, read_places


@pytest.fixture
def read(tmp_path):
    def reader(content):
        path = tmp_path / "places.csv"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_places(path)

    return reader


@pytest.mark.parametrize(
    ("content", "places"),
    [
        ('place\nBergen\n"Lisbon, PT"\n', ["Bergen", "Lisbon, PT"]),
        ("name,Place ,note\nx, Bergen ,y\n", ["Bergen"]),
        ("latitude,longitude\n47.8,13.05\n-33.9,18.4\n", ["47.8, 13.05", "-33.9, 18.4"]),
        ("site, Longitude, LATITUDE\na, 13.05, 47.8\n", ["47.8, 13.05"]),
        # A town's name counts where both are given.
        ("place,latitude,longitude\nBergen,1,2\n", ["Bergen"]),
        ("place\n\nBergen\n\nOslo", ["Bergen", "Oslo"]),
        ("place\r\nBergen\r\nOslo\r\n", ["Bergen", "Oslo"]),
        ("\ufeffplace\nTromsø\n", ["Tromsø"]),
        ("place\nBergen\nBergen\n", ["Bergen", "Bergen"]),
    ],
)
def test_places_that_can_be_read(read, content, places):
    assert read(content) == places


@pytest.mark.parametrize(
    ("content", "parts"),
    [
        ("", ("line 1", "'place'")),
        ("Bergen\nOslo\n", ("line 1", "'latitude' and 'longitude'")),
        ("latitude\n47.8\n", ("line 1", "'place'")),
        ("place\n", ("0 places", f"1 to {MAX_PLACES}")),
        ("place,x\nBergen,1\n ,2\n", ("line 3", "empty cell")),
        ("latitude,longitude\n47.8,13\n47.8\n", ("line 3", "empty cell")),
        ("place\n" + "Oslo\n" * (MAX_PLACES + 1), (f"{MAX_PLACES + 1} places",)),
        (b"\xff\xfe\x00p", ("UTF-8",)),
    ],
)
def test_faults_are_named(read, content, parts):
    with pytest.raises(InputError) as caught:
        read(content)
    message = str(caught.value)
    assert "places.csv" in message
    assert "\n" not in message
    for part in parts:
        assert part in message


def test_files_that_are_not_there(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(InputError) as caught:
            read_places(path)
        assert caught.value.source == str(path)
