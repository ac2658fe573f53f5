"""A table as a workbook."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Iterable, Sequence

__all__ = ["MONEY", "NUMBER", "workbook_bytes"]

# A workbook carries the time of its making; a fixed one makes equal tables equal files.
_MADE = dt.datetime(2000, 1, 1)
NUMBER, MONEY = "#,##0.0##", "#,##0.00"


def workbook_bytes(
    title: str,
    name: str,
    above: Iterable[str],
    heads: Sequence[str],
    rows: Iterable[tuple[str, Sequence[float | str | None]]],
    widths: Sequence[float],
    *,
    loud: tuple[str, ...] = ("STOP",),
    fixed_columns: int = 0,
) -> bytes:
    """Return a table as a workbook: numbers as numbers, every text as text, never a formula.

    Equal tables give equal bytes.

    Parameters
    ----------
    title, name : str
        Of the workbook, and of its one sheet.
    above : iterable of str
        Lines above the table.
    heads : sequence of str
        Of the columns.
    rows : iterable of (str, sequence)
        The format of a row's numbers, and its cells; None leaves one empty.
    widths : sequence of float
        Of the columns, in characters.
    loud : tuple of str
        How lines above begin that must not be missed.
    fixed_columns : int
        Columns that stay in sight.
    """
    import xlsxwriter

    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"title": title, "created": _MADE})
        sheet = book.add_worksheet(name)
        text = book.add_format({"text_wrap": True, "valign": "top", "quote_prefix": True})
        bold = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "quote_prefix": True})
        red = book.add_format({"bold": True, "font_color": "#B3261E"})
        numbers = {
            form: book.add_format({"valign": "top", "num_format": form, "align": "left"})
            for form in (NUMBER, MONEY)
        }
        row = 0
        for line in above:
            sheet.write_string(row, 0, line, red if line.startswith(loud) else None)
            row += 1
        for column, head in enumerate(heads):
            sheet.write_string(row, column, head, bold)
        sheet.freeze_panes(row + 1, fixed_columns)
        for form, cells in rows:
            row += 1
            for column, value in enumerate(cells):
                if isinstance(value, float):
                    sheet.write_number(row, column, value, numbers[form])
                elif value is not None:
                    sheet.write_string(row, column, value, text)
        for column, wide in enumerate(widths):
            sheet.set_column(column, column, wide)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
    return out.getvalue()
