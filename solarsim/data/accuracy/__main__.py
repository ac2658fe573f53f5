"""``python -m solarsim.data.accuracy``: write the page of comparisons anew."""

from __future__ import annotations

from solarsim.data.accuracy.table import PAGE, accuracy_page, all_comparisons


def main() -> None:
    """Write the page and say how many comparisons are within their tolerance."""
    comparisons = all_comparisons()
    PAGE.write_text(accuracy_page(comparisons), encoding="utf-8")
    passed = sum(
        abs(comparison.value - comparison.expected) <= comparison.tolerance
        for comparison in comparisons
    )
    print(f"{passed} of {len(comparisons)} within their tolerance; {PAGE.name} written")


if __name__ == "__main__":
    main()
