"""Tables of text with a heading line: any delimiter, point or comma, and statements above them."""

from __future__ import annotations

import dataclasses
import io
import re
from collections.abc import Mapping

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray
from solarsim.errors import InputError

__all__ = ["TextTable", "columns_by_pattern", "numbers", "read_columns_option", "read_table_text"]

_DELIMITERS = (";", "\t", ",")
_MOST_COLUMNS = 200
_MOST_PREAMBLE = 60
# What loggers and exports write where they have nothing.
_NOTHING = {"", "-", "--", "---", "na", "n/a", "nan", "null", "none", "#n/a"}
# Units that may stand behind every number of a column, and what they make of it.
_UNITS = {"%": 1.0, "ah": 1.0} | {
    prefix + unit: factor
    for unit in ("v", "a", "w")
    for prefix, factor in (("", 1.0), ("m", 1e-3), ("k", 1e3))
}
_WITH_UNIT = re.compile(r"([-+\d.,\s]*\d)\s*(%|[a-z]{1,2})")


@dataclasses.dataclass(frozen=True)
class TextTable:
    """A table whose cells are still text.

    Attributes
    ----------
    cells : pandas.DataFrame
        Text by heading.
    statements : dict
        What lines such as ``# timezone = UTC+1`` above the heading say, by lower-case key.
    first_row : int
        Line of the file, from 1, in which the first row of cells stands.
    decimal_comma : bool
        Whether numbers are written as 1,5.
    source : str
        The file's name.
    """

    cells: pd.DataFrame
    statements: dict[str, str]
    first_row: int
    decimal_comma: bool
    source: str

    @property
    def names(self) -> list[str]:
        """The headings."""
        return [str(name) for name in self.cells.columns]


def read_table_text(text: str, *, source: str) -> TextTable:
    """Take a table of text apart; the delimiter is the one that the heading line holds most.

    Lines of one cell above the heading are left out, such as an export's title. A line of units
    under the heading goes into the headings: "Current" over "mA" becomes "Current (mA)".

    Raises
    ------
    InputError
        No heading, fewer than two columns or rows, or rows wider than the heading.
    """
    lines = text.split("\n")
    statements, head = _statements(lines, source)
    head = _past_titles(lines, head)
    delimiter = max(_DELIMITERS, key=lambda mark: (lines[head].count(mark), mark == ";"))
    names = _heading(lines[head], delimiter, source, row=head + 1)
    while lines and not lines[-1].strip():
        lines.pop()
    cells = _body(lines[head + 1 :], delimiter, len(names), source, first_row=head + 2)
    first_row = head + 2
    units = [str(cell).strip() for cell in cells.iloc[0]]
    if len(cells) > 2 and _are_units(units):
        pairs = zip(names, units, strict=True)
        names = [name if f"({unit})" in f"{name}()" else f"{name} ({unit})" for name, unit in pairs]
        cells, first_row = cells.iloc[1:].reset_index(drop=True), first_row + 1
    cells.columns = pd.Index(names)
    comma = delimiter != "," and _has_decimal_commas(cells)
    return TextTable(cells, statements, first_row, comma, source)


def numbers(table: TextTable, name: str, *, missing: tuple[float, ...] = ()) -> FloatArray:
    """Return a column's numbers, NaN where the cell says that there is none.

    Raises
    ------
    InputError
        A cell that is neither a number nor one of the usual signs of nothing; its row is named.
    """
    text, factor = _without_unit(table.cells[name].str.strip())
    if table.decimal_comma:
        text = text.str.replace(".", "", regex=False).str.replace(",", ".", regex=False)
    values = factor * np.array(pd.to_numeric(text, errors="coerce"), dtype=np.float64)
    values[~np.isfinite(values)] = np.nan
    bad = np.isnan(values)
    if bad.any():
        bad &= ~text.str.lower().isin(_NOTHING).to_numpy(dtype=bool)
        if bad.any():
            at = int(np.argmax(bad))
            message = f"got {str(text.iloc[at])[:20]!r}; must be a number or empty"
            raise InputError(
                message, source=table.source, field=f"row {table.first_row + at}, {name}"
            )
    for mark in missing:
        values[values == mark] = np.nan
    return values


def columns_by_pattern(names: list[str], patterns: Mapping[str, str]) -> dict[str, str]:
    """Guess which heading is which quantity: the first heading that matches, each used once."""
    found: dict[str, str] = {}
    for quantity, pattern in patterns.items():
        for name in names:
            if name not in found.values() and re.search(pattern, name.strip().lower()):
                found[quantity] = name
                break
    return found


def read_columns_option(
    text: str | None, known: tuple[str, ...], *, source: str = ""
) -> dict[str, str]:
    """Read ``"time=Timestamp, ghi=G(h)"`` into a mapping from quantity to heading.

    Raises
    ------
    InputError
        Not of that form, or a quantity that is not known.
    """
    mapping: dict[str, str] = {}
    for part in (text or "").split(","):
        if not part.strip():
            continue
        quantity, equals, heading = part.partition("=")
        quantity = quantity.strip().lower()
        if not equals or not heading.strip() or quantity not in known:
            message = (
                f"got {part.strip()[:40]!r}; must look like QUANTITY=HEADING with one of "
                f"{', '.join(known)}"
            )
            raise InputError(message, source=source, field="columns")
        mapping[quantity] = heading.strip()
    return mapping


def _statements(lines: list[str], source: str) -> tuple[dict[str, str], int]:
    """What the lines above the heading state, and the first line after them."""
    statements: dict[str, str] = {}
    head = 0
    while head < len(lines) and (not lines[head].strip() or lines[head].lstrip().startswith("#")):
        found = re.match(r"\s*#\s*([A-Za-z_ ]{1,40}?)\s*[=:]\s*(.{1,200})$", lines[head])
        if found is not None:
            statements[found[1].lower().replace(" ", "_")] = found[2].strip()
        head += 1
        if head > _MOST_PREAMBLE:
            message = f"has more than {_MOST_PREAMBLE} lines above its heading"
            raise InputError(message, source=source)
    if head >= len(lines):
        raise InputError("has no heading line", source=source)
    return statements, head


def _heading(line: str, delimiter: str, source: str, *, row: int) -> list[str]:
    """Names of the columns, each of its own; where one is missing or twice, with its number."""
    try:
        heading = _rows(line, delimiter).iloc[0]
    except (ValueError, IndexError) as error:
        raise InputError(f"its heading cannot be read: {error}", source=source) from None
    names = [str(name).strip().strip("'") for name in heading]
    while names and not names[-1]:
        names.pop()
    if not 2 <= len(names) <= _MOST_COLUMNS:
        message = f"has {len(names)} columns in its heading; must have 2 to {_MOST_COLUMNS}"
        raise InputError(message, source=source, field=f"row {row}")
    seen: dict[str, int] = {}
    for position, name in enumerate(names):
        seen[name] = seen.get(name, 0) + 1
        if not name or seen[name] > 1:
            names[position] = f"{name or 'column'} {position + 1}"
    return names


def _body(
    lines: list[str], delimiter: str, width: int, source: str, *, first_row: int
) -> pd.DataFrame:
    """Cells under a heading of `width` names, as text; every row whole and none wider."""
    if len(lines) < 2:
        message = f"holds {len(lines)} rows under its heading; must hold 2 at least"
        raise InputError(message, source=source)
    try:
        cells = _rows("\n".join(lines), delimiter)
    except (ValueError, OverflowError) as error:
        cause = str(error).strip().removeprefix("Error tokenizing data. C error: ")
        raise InputError(f"is no table of columns: {cause}"[:200], source=source) from None
    if len(cells) != len(lines):
        message = "holds a quotation mark that is opened and not closed in its line"
        raise InputError(message, source=source)
    extra = cells.iloc[:, width:]
    for column in extra:
        wide = (extra[column].fillna("").str.strip() != "").to_numpy()
        if wide.any():
            row = first_row + int(np.argmax(wide))
            message = f"holds more cells than the heading's {width}"
            raise InputError(message, source=source, field=f"row {row}")
    if cells.shape[1] < width:
        message = f"the heading names {width} columns, the rows hold {cells.shape[1]}"
        raise InputError(message, source=source)
    if lines[-1].count(delimiter) < width - 1:
        message = f"ends before the heading's {width} columns: the file is cut off"
        raise InputError(message, source=source, field=f"row {first_row + len(cells) - 1}")
    return cells.iloc[:, :width].fillna("")


def _past_titles(lines: list[str], head: int) -> int:
    """First line from `head` on that holds several cells, or `head` where none does soon."""
    for at in range(head, min(len(lines), head + _MOST_PREAMBLE)):
        if any(mark in lines[at] for mark in _DELIMITERS):
            return at
    return head


def _are_units(cells: list[str]) -> bool:
    words = [cell for cell in cells if cell.lower() not in _NOTHING]
    return bool(words) and not any(re.search(r"\d", cell) for cell in cells)


def _without_unit(text: pd.Series[str]) -> tuple[pd.Series[str], float]:
    """Cells without the unit that the first number carries, and the factor that it stands for."""
    told = text[~text.str.lower().isin(_NOTHING)]
    first = _WITH_UNIT.fullmatch(str(told.iloc[0]).lower()) if len(told) else None
    if first is None or first[2] not in _UNITS:
        return text, 1.0
    unit = re.escape(first[2])
    return text.str.replace(rf"(?i)\s*{unit}$", "", regex=True), _UNITS[first[2]]


def _rows(text: str, delimiter: str) -> pd.DataFrame:
    return pd.read_csv(
        io.StringIO(text),
        sep=delimiter,
        header=None,
        dtype=str,
        keep_default_na=False,
        skip_blank_lines=False,
        index_col=False,
        names=range(max(line.count(delimiter) for line in text.split("\n")) + 1),
    )


def _has_decimal_commas(cells: pd.DataFrame) -> bool:
    sample = cells.iloc[:50]
    pattern = r"^\s*-?\d+,\d+\s*$"
    found: BoolArray = np.array([sample[name].str.match(pattern).any() for name in sample.columns])
    return bool(found.any())
