"""Tables that spreadsheets open: no text that somebody typed becomes a formula in them.

What begins a formula is that of OWASP's page on CSV injection (from memory): the signs below, also
in their wide forms, at the start of a cell or behind what some spreadsheets take for its end.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["csv_text", "safe_cell", "safe_frame"]

_SIGNS = "=+\\-@\uff1d\uff0b\uff0d\uff20"
# A comma, a semicolon or a tab ends a cell, by the spreadsheet's language; quotes may follow.
_FORMULA = re.compile(f"(^|[,;\t\r\n][\"']*)(?=[{_SIGNS}\t\r\n])")
# A negative number is no formula, also where it stands as text.
_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?")


def safe_cell(value: Any) -> Any:
    """Return a text that no spreadsheet runs as a formula; all that is no text as it is.

    Examples
    --------
    >>> [safe_cell(one) for one in ("=1+1", "a;=1+1", "fridge", "-3.5", -3)]
    ["'=1+1", "a;'=1+1", 'fridge', '-3.5', -3]
    """
    if not isinstance(value, str) or _NUMBER.fullmatch(value):
        return value
    return _FORMULA.sub(r"\1'", value)


def safe_frame(frame: pd.DataFrame) -> pd.DataFrame:
    """Return a table whose texts, headings and all, no spreadsheet runs as formulas."""
    safe = frame.rename(columns=safe_cell)
    for place, dtype in enumerate(frame.dtypes):
        if dtype.kind not in "biufcmM":
            safe.isetitem(place, [safe_cell(value) for value in frame.iloc[:, place]])
    return safe


def csv_text(
    columns: Sequence[str],
    rows: Iterable[Mapping[str, Any]],
    *,
    above: Sequence[str] = (),
    digits: str = ".4g",
) -> str:
    r"""Return a CSV: commas, decimal points, lines that end in LF, no cell a formula.

    Parameters
    ----------
    columns : sequence of str
        Headings, which are the rows' keys.
    rows : iterable of mapping
        Nothing stands for None, "yes" and "no" for what is so or not.
    above : sequence of str
        Comment lines above the headings.
    digits : str
        How numbers that are not whole are rounded.

    Examples
    --------
    >>> csv_text(["part", "kg"], [{"part": "=1+1", "kg": -2.25}], above=["a list"])
    "# a list\npart,kg\n'=1+1,-2.25\n"
    """
    out = io.StringIO()
    for line in above:
        out.write(f"# {safe_cell(' '.join(line.split()))}\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([safe_cell(name) for name in columns])
    for row in rows:
        writer.writerow([_cell(row[name], digits) for name in columns])
    return out.getvalue()


def _cell(value: Any, digits: str) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{float(f'{value:{digits}}'):.15g}"
    return safe_cell(value)
