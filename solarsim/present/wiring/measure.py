"""How wide a text comes out in the plan's own font, and where it breaks into lines."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping

from solarsim.present.sheet.glyphs import FONT_FOLDERS

__all__ = ["text_width", "wrapped"]

# Signs that another font has to lend are hardly wider.
_OTHER_EM = 0.75
_UNIT = re.compile(r"(\d) (A|Ah|V|W|m|mm²|AWG|mA)(?![\w²])")


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return a text's width in the unit of its size.

    Examples
    --------
    >>> text_width("", 13.0), text_width("12", 20.0) == 2 * text_width("12", 10.0)
    (0.0, True)
    """
    widths = _widths("Inter-SemiBold" if bold else "Inter-Regular")
    return size * sum(widths.get(ord(sign), _OTHER_EM) for sign in text)


def wrapped(text: str, most: float, size: float, *, bold: bool = False) -> list[str]:
    """Break a text into lines no wider than `most`; a longer word is broken too.

    Examples
    --------
    >>> wrapped("branch connectors", 60.0, 13.0)
    ['branch', 'connecto', 'rs']
    """
    lines: list[str] = []
    line = ""
    # A number stays with its unit: "30 A" is one word.
    for word in _UNIT.sub("\\1\u00a0\\2", text).split(" "):
        joined = f"{line} {word}" if line else word
        if text_width(joined, size, bold=bold) <= most:
            line = joined
            continue
        if line:
            lines.append(line)
        line = word
        while text_width(line, size, bold=bold) > most and len(line) > 1:
            cut = next(
                n for n in range(len(line) - 1, 0, -1)
                if n == 1 or text_width(line[:n], size, bold=bold) <= most
            )  # fmt: skip
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line] if line else lines


@functools.cache
def _widths(face: str) -> Mapping[int, float]:
    """Return what each sign advances, in em."""
    from fontTools.ttLib import TTFont

    with TTFont(FONT_FOLDERS[0] / f"{face}.ttf", lazy=True) as font:
        em = font["head"].unitsPerEm
        advances = font["hmtx"].metrics
        return {code: advances[glyph][0] / em for code, glyph in font.getBestCmap().items()}
