"""The offer on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.offer.offer import OfferAnswer
from solarsim.present.buy.document import BUY_CAUTIONS
from solarsim.present.offer import words
from solarsim.present.offer.rows import heads, offer_rows, shown
from solarsim.present.stay.text import plain, print_list

__all__ = ["print_offer"]


def print_offer(answer: OfferAnswer, console: Console) -> None:
    """Print cautions, what must not be built, the table, and what each step buys."""
    console.print(Text(" ".join(BUY_CAUTIONS), style="italic"))
    console.print()
    for stop in words.stops(answer):
        console.print(plain(f"STOP, not to be built as it is: {stop}", "bold red"))
    for line in words.intro(answer):
        console.print(plain(line))
    if answer.prices is None:
        console.print(plain(words.HOW_TO_PRICE))
    if full := words.not_full(answer):
        console.print(plain(full, "bold red"))
    table = Table(title=plain("Offer"), title_justify="left")
    table.add_column("")
    for head in heads(answer):
        table.add_column(plain(head))
    part = ""
    for row in offer_rows(answer):
        if row.part != part:
            part = row.part
            table.add_row(Text(part, style="bold"))
        cells = [shown(row, index) for index in range(len(answer.designs))]
        table.add_row(plain(row.what), *(plain(cell) for cell in cells))
    console.print(table)
    print_list(
        "What each step buys, in days of this stay", tuple(words.step_texts(answer)), console
    )
    print_list("What the check found", tuple(words.findings(answer)), console)
    print_list("Not included", tuple(words.not_included(answer)), console)
    print_list("Taken as given", tuple(words.assumed(answer)), console)
    print_list("Not looked at", tuple(words.not_looked_at(answer)), console)
