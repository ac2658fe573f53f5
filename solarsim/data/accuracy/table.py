"""The README's table "How well it agrees with the outside", made from the comparisons."""

from __future__ import annotations

import importlib
import math
import pkgutil

from solarsim.data import accuracy
from solarsim.data.accuracy.comparison import Comparison

__all__ = ["BEGIN", "END", "all_comparisons", "readme_table", "replace_table"]

BEGIN = "<!-- accuracy -->"
END = "<!-- /accuracy -->"
_MOST_DECIMALS = 6


def all_comparisons() -> tuple[Comparison, ...]:
    """Every check of every module of this package, in the order of subjects' names."""
    found: list[Comparison] = []
    for module in pkgutil.iter_modules(accuracy.__path__, prefix=f"{accuracy.__name__}."):
        if not module.name.endswith("__main__"):
            found.extend(getattr(importlib.import_module(module.name), "COMPARISONS", ()))
    return tuple(sorted(found, key=lambda comparison: comparison.subject))


def readme_table(comparisons: tuple[Comparison, ...]) -> str:
    """Return the table as Markdown, each figure to the digits that its tolerance can tell."""
    lines = [
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
    return "\n".join(lines)


def replace_table(text: str, table: str) -> str:
    """Put the table between its marks in the README's text.

    Raises
    ------
    ValueError
        The marks are missing.
    """
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"the text has no {BEGIN} ... {END}")
    return f"{before}{BEGIN}\n\n{table}\n\n{END}{after}"


def _figure(value: float, comparison: Comparison) -> str:
    # One digit past the tolerance's first: enough to see the distance, too few to show noise.
    decimals = min(max(1 - math.floor(math.log10(comparison.tolerance)), 0), _MOST_DECIMALS)
    text = f"{value + 0.0:.{decimals}f}"
    if float(text) == 0.0:
        text = text.removeprefix("-")
    return f"{text} {comparison.unit}".strip()
