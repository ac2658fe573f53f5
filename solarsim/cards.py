"""How a record shows itself: a card of a few lines, as text and in a notebook."""

from __future__ import annotations

import dataclasses
import html
import textwrap
from collections.abc import Sequence

__all__ = ["MOST_LINES", "Card", "Carded"]

MOST_LINES = 12
_WIDTH = 90
_TITLE_LINES = 4


@dataclasses.dataclass(frozen=True)
class Card:
    """A sentence and a few named figures.

    Attributes
    ----------
    title : str
        The answer in one sentence, or what the record is.
    rows : sequence of (str, str)
        Label and value; those past the twelfth line are left out of the text.

    Examples
    --------
    >>> print(Card("Two panels.", [("power", "400 W")]).text())
    Two panels.
      power  400 W
    """

    title: str
    rows: Sequence[tuple[str, str]] = ()

    def text(self) -> str:
        """Return at most twelve lines of at most ninety characters."""
        lines = textwrap.wrap(
            _printable(self.title), _WIDTH, max_lines=_TITLE_LINES, placeholder=" ..."
        )
        wide = max((len(label) for label, _ in self.rows), default=0)
        for label, value in self.rows:
            line = f"  {label:<{wide}}  {_printable(value)}"
            lines.append(line if len(line) <= _WIDTH else f"{line[: _WIDTH - 4]} ...")
        return "\n".join(line.rstrip() for line in lines[:MOST_LINES])

    def html(self) -> str:
        """Return the card for a notebook, in the page's own colours: it may be light or dark."""
        rows = "".join(
            f'<tr style="background:transparent"><th style="{_LABEL}">'
            f"{html.escape(label)}</th>"
            f'<td style="{_CELL}">{html.escape(_printable(value))}</td></tr>'
            for label, value in self.rows
        )
        return (
            f'<div style="{_BOX}"><p style="margin:0 0 .4em">'
            f"<strong>{html.escape(_printable(self.title))}</strong></p>"
            f'<table style="border-collapse:collapse;color:inherit">{rows}</table></div>'
        )


_BOX = (
    "color:inherit;background:transparent;border:1px solid rgba(128,128,128,.6);"
    "border-radius:4px;padding:.6em .8em;max-width:46em;line-height:1.4"
)
_CELL = "text-align:left;vertical-align:top;padding:.1em 1em .1em 0;color:inherit;border:0"
_LABEL = f"{_CELL};font-weight:600;white-space:nowrap"


class Carded:
    """A record that shows itself as a card, on a prompt and in a notebook."""

    def card(self) -> Card:
        """Return what the record shows of itself."""
        raise NotImplementedError

    def __repr__(self) -> str:
        return self.card().text()

    def __str__(self) -> str:
        return repr(self)

    def _repr_html_(self) -> str:
        return self.card().html()


def _printable(text: str) -> str:
    """The text on one line; a name that people typed must not steer the terminal."""
    return "".join(c if c.isprintable() else " " for c in text)
