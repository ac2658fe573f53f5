"""The list of what to buy on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.buy.buy import BuyAnswer
from solarsim.answers.buy.item import GROUPS
from solarsim.present.buy.document import BUY_CAUTIONS, amount_text, totals
from solarsim.present.stay.text import plain, print_list

__all__ = ["print_buy"]


def print_buy(answer: BuyAnswer, console: Console) -> None:
    """Print cautions, what is stopped, every line and the totals."""
    console.print(Text(" ".join(BUY_CAUTIONS), style="italic"))
    console.print()
    for stop in answer.stops:
        console.print(plain(f"STOP, do not build or connect it so: {stop}", "bold red"))
    priced = answer.unpriced < len(answer.items)
    table = Table(title=plain(f"What to buy: {answer.check.van.van.name}"), title_justify="left")
    table.add_column("", justify="right")
    table.add_column("part")
    table.add_column("what it must bear")
    table.add_column("kg", justify="right")
    if priced:
        table.add_column(answer.currency or "price", justify="right")
    for group, title in GROUPS.items():
        rows = [item for item in answer.items if item.group == group]
        if rows:
            table.add_row("", Text(title, style="bold"))
        for item in rows:
            cells = [plain(one) for one in (amount_text(item), item.part, item.about)]
            cells.append(plain(f"{item.all_kg:.1f}"))
            if priced:
                cells.append(plain("-" if item.all_cost is None else f"{item.all_cost:,.2f}"))
            table.add_row(*cells)
    console.print(table)
    for label, value in totals(answer):
        console.print(plain(f"{label}: {value}", "bold"))
    print_list("Taken as given", answer.notes, console)
