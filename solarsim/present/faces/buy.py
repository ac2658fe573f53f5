"""The list of what to buy in Python."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from solarsim.answers.buy.buy import BuyAnswer
from solarsim.cards import Card
from solarsim.inputs.files.write import check_writable, write_file
from solarsim.present.buy.document import buy_document, totals
from solarsim.present.buy.make import check_list_path, list_bytes
from solarsim.present.faces.rows import notes_row
from solarsim.present.sheet.typeset import Paper
from solarsim.present.words import CAUTIONS

__all__ = ["card", "document", "frame", "save"]

document = buy_document
_SHOWN = 3


def card(answer: BuyAnswer) -> Card:
    """Return the totals, what the check stops, and the caution."""
    return Card(
        f"What to buy for the van '{answer.check.van.van.name}': {len(answer.items)} lines",
        [
            *(("STOP", stop) for stop in answer.stops[:_SHOWN]),
            *totals(answer),
            ("make it", ".save('list.xlsx'), .csv, .html, .pdf or .json"),
            *notes_row(answer.notes),
            ("caution", CAUTIONS),
        ],
    )


def frame(answer: BuyAnswer) -> pd.DataFrame:
    """Return one row a line of the list."""
    return pd.DataFrame(buy_document(answer)["items"])


def save(answer: BuyAnswer, path: Path, *, paper: Paper) -> None:
    """Write the list to a file; otherwise as `BuyAnswer.save`."""
    check_list_path(path, field="path")
    check_writable(path)
    write_file(path, list_bytes(answer, path.suffix.lower(), paper=paper))
