"""Every check of the README's table passes, and the table is what the checks give."""

from pathlib import Path

import pytest

from solarsim.data.accuracy.table import BEGIN, END, all_comparisons, readme_table, replace_table

README = Path(__file__).parents[2] / "README.md"


@pytest.fixture(scope="module")
def table():
    return readme_table(all_comparisons())


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


def test_the_readme_is_not_stale(table):
    text = README.read_text(encoding="utf-8")
    assert replace_table(text, table) == text, "run: python -m solarsim.data.accuracy"


def test_a_stale_table_would_be_found(table):
    text = README.read_text(encoding="utf-8")
    assert replace_table(text.replace("| FAO-56", "| FAO-57", 1), table) == text


def test_missing_marks_are_said():
    with pytest.raises(ValueError, match="has no"):
        replace_table("no marks here", "table")
    assert replace_table(f"a{BEGIN}x{END}b", "t") == f"a{BEGIN}\n\nt\n\n{END}b"
