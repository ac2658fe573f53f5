"""Text that people typed, shown as it stands."""

from __future__ import annotations

__all__ = ["one_line", "plain"]

_MARKS = frozenset("\\`*_{}[]()<>#+-.!|~$:^&=")


def one_line(text: str) -> str:
    """Return the text without line breaks and control characters, for labels and cells."""
    return "".join(c if c.isprintable() else " " for c in text).strip()


def plain(text: str) -> str:
    """Return Markdown that shows the text to the letter, whatever marks it holds.

    Marks become character references, which no Markdown rule looks into: a name starts no link,
    no picture, no formula and no heading.

    Examples
    --------
    >>> plain("a*b")
    'a&#42;b'
    """
    lines = [
        "".join(
            f"&#{ord(c)};" if c in _MARKS else c if c.isprintable() else " " for c in line.strip()
        )
        for line in text.splitlines()
    ]
    return "  \n".join(lines)
