"""Records of arrays, and the answers among them: short to look at, safe to compare."""

from __future__ import annotations

import dataclasses
import importlib
import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar, Literal

import numpy as np
import pandas as pd

from solarsim.cards import MOST_LINES, Card, Carded
from solarsim.errors import InputError

__all__ = ["Answer", "ArrayRecord", "DrawnAnswer", "PrintedAnswer", "json_text"]

_WIDTH = 96
_SHORT = 40


class ArrayRecord:
    """Base of frozen dataclasses that hold arrays, made with ``eq=False, repr=False``.

    A dataclass of its own would compare arrays as truth values, which raises, and print them.
    Two are equal where all their fields are; NaN equals NaN at the same position of an array.
    """

    def __repr__(self) -> str:
        shown = ", ".join(
            f"{field.name}={_short(getattr(self, field.name))}" for field in _fields(self)
        )
        lines = textwrap.wrap(
            f"{type(self).__name__}({shown})", _WIDTH, max_lines=MOST_LINES, placeholder=" ...)"
        )
        return "\n".join(lines)

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self is other or all(
            _alike(getattr(self, field.name), getattr(other, field.name)) for field in _fields(self)
        )

    def __hash__(self) -> int:
        found = [hash(type(self))]
        for field in _fields(self):
            try:
                found.append(hash(getattr(self, field.name)))
            except TypeError:
                # Arrays and tables have no hash; the other fields tell records apart.
                continue
        return hash(tuple(found))


class Answer(ArrayRecord, Carded):
    """Base of all answers: a card to look at, a table, and the document that commands write.

    What an answer looks like is the matter of the room of words and pictures, which stands further
    down and is loaded only when an answer is looked at: ``solarsim/present/faces/`` holds a module
    of the name ``_face`` for each, with functions ``card``, ``document``, ``frame`` and, where the
    answer has them, ``figure`` and ``hourly``.
    """

    _face: ClassVar[str]

    def card(self) -> Card:
        """Return what the answer shows of itself."""
        card: Card = self._shown().card(self)
        return card

    def __repr__(self) -> str:
        return self.card().text()

    def frame(self) -> pd.DataFrame:
        """Return the answer as a table; columns carry their units."""
        table: pd.DataFrame = self._shown().frame(self)
        return table

    def to_dict(self) -> dict[str, Any]:
        """Return the document that ``--json`` writes, as plain dictionaries and lists."""
        document: dict[str, Any] = self._shown().document(self)
        return document

    def to_json(self) -> str:
        """Return the document that ``--json`` writes, as text."""
        return json_text(self.to_dict())

    def _shown(self) -> Any:
        return importlib.import_module(f"solarsim.present.faces.{self._face}")


class DrawnAnswer(Answer):
    """An answer that can be drawn."""

    def plot(self) -> Any:
        """Return the answer as a plotly figure."""
        return self._shown().figure(self)


class PrintedAnswer(Answer):
    """An answer that is written to files, which its face makes by their ending."""

    def save(self, path: str | Path, *, paper: Literal["a4", "letter"] = "a4") -> None:
        """Write the answer to a file.

        Parameters
        ----------
        path : str or Path
            Its ending says what; the class names them.
        paper : str
            Size of the pages of a PDF.

        Raises
        ------
        InputError
            Another ending or paper, or a file that cannot be written.
        """
        self._save(path, paper)

    def _save(self, path: str | Path, paper: str, **more: str) -> None:
        """Write the answer, with what its own class asks for as well."""
        if paper not in ("a4", "letter"):
            raise InputError(f"got {paper!r}; must be a4 or letter", field="paper")
        if not isinstance(path, str | Path):
            raise InputError(f"got {path!r}; must be a file's name", field="path")
        self._shown().save(self, Path(path), paper=paper, **more)


def json_text(document: dict[str, Any]) -> str:
    """Return a document as the text that ``--json`` writes."""
    text: str = importlib.import_module("solarsim.present.stay.documents").to_json(document)
    return text


def _fields(record: Any) -> tuple[dataclasses.Field[Any], ...]:
    return dataclasses.fields(record)


def _short(value: Any) -> str:
    if isinstance(value, np.ndarray):
        return f"<{value.dtype} {' x '.join(map(str, value.shape))}>"
    if isinstance(value, pd.DatetimeIndex):
        return f"<{len(value)} hours from {value[0]:%Y-%m-%d}>" if len(value) else "<no hours>"
    if isinstance(value, ArrayRecord | Carded) or dataclasses.is_dataclass(value):
        return f"<{type(value).__name__}>"
    if isinstance(value, Mapping | tuple | list) and len(value) > 2:
        return f"<{len(value)} of them>"
    shown = f"{value:.6g}" if isinstance(value, float) else repr(value)
    return shown if len(shown) <= _SHORT else f"{shown[: _SHORT - 3]}..."


def _alike(one: Any, other: Any) -> bool:
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, np.ndarray):
        same: bool = np.array_equal(one, other, equal_nan=one.dtype.kind == "f")
        return same
    if isinstance(one, pd.Index):
        return bool(one.equals(other))
    if isinstance(one, Mapping):
        return one.keys() == other.keys() and all(_alike(one[key], other[key]) for key in one)
    if isinstance(one, tuple | list):
        return len(one) == len(other) and all(map(_alike, one, other))
    return bool(one == other)
