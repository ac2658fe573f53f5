"""Photos that are turned, damaged, huge or no pictures at all."""

from __future__ import annotations

import io
import os

import numpy as np
import pytest
from PIL import Image

from solarsim.errors import InputError
from solarsim.present.sheet.photo import read_photo, take_photo


def encoded(picture, kind, **given):
    out = io.BytesIO()
    picture.save(out, kind, **given)
    return out.getvalue()


def halves():
    """Dark on the left, light on the right."""
    return Image.fromarray(np.repeat([[0] * 60 + [255] * 60], 40, axis=0).astype(np.uint8))


def test_a_photo_is_turned_as_the_camera_was_held():
    notes = Image.Exif()
    notes[0x0112] = 6
    content = encoded(halves(), "JPEG", exif=notes)
    photo = take_photo(content, source="a.jpg")
    assert (photo.width_px, photo.height_px) == (40, 120)
    seen = np.asarray(Image.open(io.BytesIO(photo.jpeg)).convert("L"))
    assert seen[:50].mean() < 20 < 230 < seen[-50:].mean()
    assert not Image.open(io.BytesIO(photo.jpeg)).getexif()


@pytest.mark.parametrize(
    "notes",
    [
        b"Exif\0\0II*\0\xff\xff\xff\x7f",
        b"Exif\0\0" + bytes(range(256)),
        b"Exif\0\0MM\0*\0\0\0\x08\xff\xff",
    ],
    ids=["beyond the end", "noise", "many entries"],
)
def test_damaged_notes_are_no_fault_of_the_picture(notes):
    photo = take_photo(encoded(halves(), "JPEG", exif=notes), source="a.jpg")
    assert (photo.width_px, photo.height_px) == (120, 40)


@pytest.mark.parametrize(
    ("kind", "size"), [("PNG", (6_000, 5_000)), ("PNG", (17_000, 10)), ("JPEG", (20_000, 10))]
)
def test_what_takes_too_much_room_is_refused_before_it_is_unpacked(kind, size, monkeypatch):
    content = encoded(Image.new("1" if kind == "PNG" else "RGB", size), kind)
    monkeypatch.setattr(Image.Image, "load", lambda self: pytest.fail("unpacked"))
    with pytest.raises(InputError, match="pixels; at most"):
        take_photo(content, source="a")


@pytest.mark.slow
def test_a_large_photo_of_a_phone_is_taken():
    photo = take_photo(encoded(Image.new("RGB", (8_000, 6_000)), "JPEG"), source="a.jpg")
    assert (photo.width_px, photo.height_px) == (900, 675)


def test_only_an_ordinary_file_is_read(tmp_path):
    os.mkfifo(pipe := tmp_path / "pipe.jpg")
    for path in (pipe, tmp_path):
        with pytest.raises(InputError, match="no ordinary file"):
            read_photo(path)
