"""The README's pictures are of what is answered now."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from solarsim.data.pictures import DRAWINGS, DRAWN_FROM, PICTURES

README = Path(__file__).parents[2] / "README.md"
NAMES = ("sheet.png", "stay.png")
STALE = "run: python -m solarsim.data.pictures"


@pytest.fixture(scope="module")
def said():
    return json.loads(DRAWN_FROM.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", [pytest.param("sheet.png", marks=pytest.mark.slow), "stay.png"])
def test_a_picture_says_what_is_answered_now(said, name):
    now = json.loads(json.dumps(DRAWINGS[name]().says))
    assert said[name]["says"] == now, STALE


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_the_one_that_was_drawn(said, name):
    content = (PICTURES / name).read_bytes()
    assert hashlib.sha256(content).hexdigest() == said[name]["sha256"], STALE
    assert content.startswith(b"\x89PNG")
    assert len(content) < 150_000


def test_the_readme_shows_them():
    text = README.read_text(encoding="utf-8")
    assert sorted(path.name for path in PICTURES.glob("*.png")) == sorted(NAMES)
    assert all(f"](profiles/pictures/{name})" in text for name in NAMES)
