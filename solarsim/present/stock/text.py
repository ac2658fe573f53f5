"""The list of vans on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.stock.stock import StockAnswer, VanRow
from solarsim.electrical.findings import SEVERITIES
from solarsim.present.sheet.texts import lasts_cell, load_texts
from solarsim.present.stay.text import plain, print_list
from solarsim.present.stock.document import changed_text
from solarsim.present.words import CAUTIONS

__all__ = ["findings_text", "print_stock"]


def print_stock(answer: StockAnswer, console: Console) -> None:
    """Print a row a van, then what is wrong with those that cannot be used."""
    table = Table(title=plain(f"Vans in {answer.folder}"), title_justify="left")
    for name in ("van", "place"):
        table.add_column(name)
    for name in ("winter", "summer"):
        table.add_column(name, justify="right")
    for name in ("findings", "since its last sheet"):
        table.add_column(name)
    for van in answer.vans:
        if van.winter is None:
            table.add_row(plain(van.file), "", "-", "-", "", plain("cannot be used"))
        else:
            table.add_row(
                plain(f"{van.name} ({van.file})"),
                plain(van.place),
                _days(van, "winter"),
                _days(van, "summer"),
                findings_text(van),
                plain(f"no sheet made: {van.fault}" if van.fault else changed_text(van)),
            )
    console.print(table)
    console.print(
        f"Days at least, nine times in ten, and in brackets those that half of all stays reach; "
        f"with typical use, {answer.runs:,} runs of weather."
    )
    for van in answer.vans:
        if van.medical:
            devices = ", ".join(van.medical)
            line = f"{van.name}: someone's health depends on: {devices}. Its days are those that "
            console.print(plain(f"{line}99 of 100 runs reach; never rely on this alone.", "bold"))
    print_list(
        "Cannot be used", tuple(f"{van.file}: {van.fault}" for van in answer.broken), console
    )
    if answer.others:
        console.print(plain(f"No vans: {', '.join(answer.others)}."))
    made = [van.sheet for van in answer.vans if van.sheet]
    print_list("Sheets made", tuple(made), console)
    console.print(Text(CAUTIONS, style="italic"))


def findings_text(van: VanRow) -> str:
    """Return how many findings there are of each severity, the worst first."""
    said = [f"{van.findings[one]} {one}" for one in SEVERITIES if van.findings.get(one)]
    return ", ".join(said) or "none"


def _days(van: VanRow, season: str) -> str:
    """As the sheet's table has them."""
    days, texts = getattr(van, season), load_texts()
    safe = lasts_cell(texts, van.safe_days(season) or 0.0, days.follow_days, at_least=True)
    return f"{safe} ({lasts_cell(texts, days.p50, days.follow_days)})"
