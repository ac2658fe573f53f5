"""The sheet's figures on a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import Units, load_texts

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["print_sheet"]


def print_sheet(
    document: dict[str, Any], console: Console, *, units: Units = "metric", language: str = "en"
) -> None:
    """Print the days, what recharges, and how to make the sheet itself."""
    from rich.table import Table
    from rich.text import Text

    page = sheet_page(document, load_texts(language), units=units, clean=Cleaner(limited=False))
    days = page["days"]
    console.print(Text(page["name"], style="bold"))
    console.print(Text(page["line"]))
    if page["medical"]:
        console.print(Text(page["medical"], style="bold"))
    console.print(Text(days["intro"]))
    table = Table(title=days["title"], title_justify="left")
    for index, head in enumerate(days["head"]):
        table.add_column(Text(head), justify="left" if index < 2 else "right")
    for region in days["regions"]:
        for index, row in enumerate(region["rows"]):
            cells = [f"{cell['expected']} {cell['at_least']}" for cell in row["cells"]]
            place = region["place"] if index == 0 else region["note"] if index == 1 else ""
            table.add_row(Text(place), row["way"], *cells)
        table.add_section()
    console.print(table)
    for row in page["recharge"]["rows"]:
        console.print(Text(f"{row['label']}: {row['value']}"))
    console.print(Text(page["recharge"]["note"]))
    if page["trip"] is not None:
        console.print(Text(page["trip"]["text"]))
    console.print("Make the sheet with -o sheet.pdf, .html or .png.")
    console.print(Text(document["cautions"], style="italic"))
