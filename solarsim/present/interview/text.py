"""The interview on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.interview.interview import InterviewAnswer
from solarsim.present.interview.document import ask_next
from solarsim.present.interview.page import interview_page
from solarsim.present.stay.text import plain, print_list
from solarsim.present.words import CAUTIONS

__all__ = ["print_interview"]


def print_interview(answer: InterviewAnswer, console: Console) -> None:
    """Print what runs and which answer it follows from, and what to ask next."""
    for caution in answer.cautions:
        console.print(plain(caution, "bold"))
    console.print(plain(answer.profile.profile.name, "bold"))
    console.print(plain(answer.profile.profile.description))
    page = interview_page(answer, limited=False)["table"]
    table = Table(title=page["title"], title_justify="left")
    for head in page["head"]:
        table.add_column(head)
    for row in page["rows"]:
        table.add_row(*(plain(cell) for cell in row))
    console.print(table)
    if answer.not_answered:
        console.print(plain(f"Not answered, the usual stands: {', '.join(answer.not_answered)}."))
    print_list("Taken as given", answer.notes, console)
    console.print(plain(f"Ask next: {ask_next(answer)}"))
    console.print(Text(CAUTIONS, style="italic"))
