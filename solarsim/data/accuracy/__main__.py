"""``python -m solarsim.data.accuracy``: write the README's table anew."""

from __future__ import annotations

from pathlib import Path

from solarsim.data.accuracy.table import all_comparisons, readme_table, replace_table


def main() -> None:
    """Write the table into the README beside the package and say how many checks pass."""
    readme = Path(__file__).resolve().parents[3] / "README.md"
    comparisons = all_comparisons()
    text = replace_table(readme.read_text(encoding="utf-8"), readme_table(comparisons))
    readme.write_text(text, encoding="utf-8")
    passed = sum(
        abs(comparison.value - comparison.expected) <= comparison.tolerance
        for comparison in comparisons
    )
    print(f"{passed} of {len(comparisons)} checks within their tolerance; README.md written")


if __name__ == "__main__":
    main()
