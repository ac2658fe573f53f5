"""``python -m solarsim.data.accuracy``: write the page of comparisons and the weather's anew."""

from __future__ import annotations

from solarsim.data.accuracy.table import PAGE, accuracy_page, all_comparisons
from solarsim.data.accuracy.weather_maps import draw_maps
from solarsim.data.accuracy.weather_page import WEATHER_PAGE, weather_page


def main() -> None:
    """Write the pages and the maps, and say how many comparisons are within their tolerance."""
    comparisons = all_comparisons()
    PAGE.write_text(accuracy_page(comparisons), encoding="utf-8")
    passed = sum(
        abs(comparison.value - comparison.expected) <= comparison.tolerance
        for comparison in comparisons
    )
    print(f"{passed} of {len(comparisons)} within their tolerance; {PAGE.name} written")
    WEATHER_PAGE.write_text(weather_page(), encoding="utf-8")
    draw_maps()


if __name__ == "__main__":
    main()
