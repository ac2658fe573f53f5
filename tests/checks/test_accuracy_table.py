"""Every comparison is within its tolerance, and the page of them is what they give."""

from pathlib import Path

import pytest

from solarsim.data.accuracy.table import PAGE, accuracy_page, all_comparisons

pytestmark = pytest.mark.slow
README = Path(__file__).parents[2] / "README.md"


@pytest.fixture(scope="module")
def page():
    return accuracy_page(all_comparisons())


def test_every_check_is_within_its_tolerance():
    comparisons = all_comparisons()
    assert len(comparisons) >= 100
    failing = [
        (comparison.subject, comparison.what)
        for comparison in comparisons
        if abs(comparison.value - comparison.expected) > comparison.tolerance
    ]
    assert failing == []


def test_every_check_names_its_source():
    assert [
        comparison.what for comparison in all_comparisons() if not comparison.source.strip()
    ] == []


def test_the_page_is_not_stale(page):
    assert PAGE.read_text(encoding="utf-8") == page, "run: python -m solarsim.data.accuracy"


def test_the_page_has_every_comparison_and_the_readme_leads_to_it(page):
    rows = [line for line in page.splitlines() if line.startswith("| ")]
    assert len(rows) == len(all_comparisons()) + 1
    assert "](solarsim/data/accuracy/ACCURACY.md)" in README.read_text(encoding="utf-8")
