"""The page "How well it agrees with the outside", made from the comparisons."""

from __future__ import annotations

import importlib
import math
import pkgutil
from pathlib import Path

from solarsim.data import accuracy
from solarsim.data.accuracy.comparison import Comparison

__all__ = ["PAGE", "accuracy_page", "all_comparisons"]

PAGE = Path(__file__).with_name("ACCURACY.md")
_MOST_DECIMALS = 6

_HEAD = """\
# How well it agrees with the outside

Published figures beside ours, made by `python -m solarsim.data.accuracy` from the functions that
the answers stand on; a test fails when this page is stale. Each source stands beside its figure;
what is from memory or common practice says so.

How good the weather is by region and season, with maps, and where not to trust it: the page
[WEATHER.md](WEATHER.md). The synthetic climate was held against 29 station years at 23 sites that
packages carry; per station it scatters more than these means (a typical year by itself scatters by
9 % in a month's light and by 2.7 days of a van's endurance).
"""


def all_comparisons() -> tuple[Comparison, ...]:
    """Every check of every module of this package, in the order of subjects' names."""
    found: list[Comparison] = []
    for module in pkgutil.iter_modules(accuracy.__path__, prefix=f"{accuracy.__name__}."):
        if not module.name.endswith("__main__"):
            found.extend(getattr(importlib.import_module(module.name), "COMPARISONS", ()))
    return tuple(sorted(found, key=lambda comparison: comparison.subject))


def accuracy_page(comparisons: tuple[Comparison, ...]) -> str:
    """Return the page as Markdown, each figure to the digits that its tolerance can tell."""
    lines = [
        _HEAD,
        "| subject | check | source | expected | got | tolerance |",
        "|---|---|---|---|---|---|",
    ]
    previous = ""
    for comparison in comparisons:
        subject = "" if comparison.subject == previous else comparison.subject
        previous = comparison.subject
        cells = (
            subject,
            comparison.what,
            comparison.source,
            *(
                _figure(value, comparison)
                for value in (comparison.expected, comparison.value, comparison.tolerance)
            ),
        )
        lines.append("| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |")
    return "\n".join([*lines, ""])


def _figure(value: float, comparison: Comparison) -> str:
    # One digit past the tolerance's first: enough to see the distance, too few to show noise.
    decimals = min(max(1 - math.floor(math.log10(comparison.tolerance)), 0), _MOST_DECIMALS)
    text = f"{value + 0.0:.{decimals}f}"
    if float(text) == 0.0:
        text = text.removeprefix("-")
    return f"{text} {comparison.unit}".strip()
