"""Cells typed over in a table: those that fit are taken, the others are said and kept as typed."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

import pandas as pd

from solarsim.errors import InputError

__all__ = ["Edits", "RefusedCell", "cells_that_fit", "show_refused"]

Result = TypeVar("Result")
Edits = Mapping[int, Mapping[str, Any]]


@dataclasses.dataclass(frozen=True)
class RefusedCell:
    """A cell that was not taken: where it is, what was typed, and what is wrong with it."""

    row: int
    column: str
    value: Any
    message: str


def cells_that_fit(
    edits: Edits, held: Edits, take: Callable[[Edits], Result]
) -> tuple[Result, Edits, tuple[RefusedCell, ...]]:
    """Return what `take` makes of the cells that fit, those cells, and the ones that it refuses.

    Parameters
    ----------
    edits : mapping
        Row number to column name to what was typed.
    held : mapping
        Those that fitted before: a cell that is refused goes on with what it held.
    take : callable
        Raises `InputError` where the cells that it is given do not fit.
    """
    cells = [(int(row), name, value) for row, each in edits.items() for name, value in each.items()]
    try:
        return take(edits), edits, ()
    except InputError as error:
        refused = dict.fromkeys(range(len(cells)), error.message)
    fit = {row: dict(each) for row, each in held.items()}
    before = len(cells) + 1
    # Again and again: a cell may fit only beside one that comes later.
    while len(refused) < before:
        before = len(refused)
        for number in list(refused):
            row, name, value = cells[number]
            tried = fit | {row: fit.get(row, {}) | {name: value}}
            try:
                take(tried)
            except InputError as error:
                refused[number] = str(error)
            else:
                fit = tried
                del refused[number]
    said = tuple(RefusedCell(*cells[n], message) for n, message in refused.items())
    return take(fit), fit, said


def show_refused(frame: pd.DataFrame, refused: tuple[RefusedCell, ...]) -> pd.DataFrame:
    """Return a table's rows with the cells that were not taken as they were typed."""
    shown = frame.astype(object)
    for cell in refused:
        if cell.row < len(shown):
            shown.loc[cell.row, cell.column] = cell.value
    return shown
