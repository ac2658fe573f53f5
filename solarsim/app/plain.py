"""Text that people typed, shown as it stands."""

from __future__ import annotations

import re

__all__ = ["one_line", "plain"]

_MARKS = frozenset("\\`*_{}[]()<>#+-.!|~$:^&=")

# Where the page would make a link of an address by itself; an invisible sign keeps it from that.
_ADDRESSES = re.compile(r"(?<=://)|(?<=www)(?=\.)|(?<=@)", re.IGNORECASE)
_WORD_JOINER = "&#8288;"
# A command as our own texts name it, in the letters that those have; Markdown sets it as code.
_COMMAND = re.compile(r"`(solarsim(?: [\w '\",.=/-]+)?)`")


def one_line(text: str) -> str:
    """Return the text without line breaks and control characters, for labels and cells."""
    return "".join(c if c.isprintable() else " " for c in text).strip()


def plain(text: str) -> str:
    """Return Markdown that shows the text to the letter, whatever marks it holds.

    Marks become character references, which no Markdown rule looks into: a name starts no link,
    no picture, no formula and no heading, and an address in it is no link. A command in back-ticks,
    as our own texts name one, is set as code.

    Examples
    --------
    >>> plain("a*b")
    'a&#42;b'
    >>> plain("`solarsim weather get` fetches them")
    '`solarsim weather get` fetches them'
    """
    return "  \n".join(_line(line.strip()) for line in text.splitlines())


def _line(text: str) -> str:
    # Every second part is a command.
    parts = _COMMAND.split(text)
    return "".join(
        f"`{part}`" if odd % 2 else _WORD_JOINER.join(map(_letters, _ADDRESSES.split(part)))
        for odd, part in enumerate(parts)
    )


def _letters(text: str) -> str:
    return "".join(f"&#{ord(c)};" if c in _MARKS else c if c.isprintable() else " " for c in text)
