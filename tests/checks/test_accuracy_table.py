"""Every comparison is within its tolerance, and the page of them is what they give."""

import hashlib
import json
from pathlib import Path

import pytest

from solarsim.data.accuracy.table import PAGE, accuracy_page, all_comparisons
from solarsim.data.accuracy.weather_maps import DRAWN_FROM, FOLDER, MAPS, digest
from solarsim.data.accuracy.weather_page import WEATHER_PAGE, weather_page

pytestmark = pytest.mark.slow
README = Path(__file__).parents[2] / "README.md"


def test_every_check_names_its_source():
    assert [
        comparison.what for comparison in all_comparisons() if not comparison.source.strip()
    ] == []


def test_every_check_is_within_its_tolerance_and_the_page_is_not_stale():
    """One test, for what is compared takes long to work out."""
    comparisons = all_comparisons()
    assert len(comparisons) >= 100
    failing = [
        (comparison.subject, comparison.what)
        for comparison in comparisons
        if abs(comparison.value - comparison.expected) > comparison.tolerance
    ]
    assert failing == []
    page = accuracy_page(comparisons)
    assert PAGE.read_text(encoding="utf-8") == page, "run: python -m solarsim.data.accuracy"
    rows = [line for line in page.splitlines() if line.startswith("| ")]
    assert len(rows) == len(comparisons) + 1
    assert "](solarsim/data/accuracy/ACCURACY.md)" in README.read_text(encoding="utf-8")


def test_the_weather_s_page_is_not_stale():
    written = WEATHER_PAGE.read_text(encoding="utf-8")
    assert written == weather_page(), "run: python -m solarsim.data.accuracy"
    assert "](WEATHER.md)" in PAGE.read_text(encoding="utf-8")
    # Six sentences, and a picture for light and one for temperature.
    assert written.count("\n6. **") == 1
    assert all(f"]({name})" in written for name in MAPS)


def test_the_maps_show_what_is_so_now():
    said = json.loads(DRAWN_FROM.read_text(encoding="utf-8"))
    assert set(said) == set(MAPS)
    for name, (points_of, _) in MAPS.items():
        assert said[name]["shows"] == digest(points_of()), "run: python -m solarsim.data.accuracy"
        content = (FOLDER / name).read_bytes()
        assert said[name]["sha256"] == hashlib.sha256(content).hexdigest()
        assert len(content) < 120_000
