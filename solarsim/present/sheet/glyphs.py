"""Text from people, made safe to set: no control signs, and only letters that there are."""

from __future__ import annotations

import functools
import importlib.util
import re
import unicodedata
from pathlib import Path

__all__ = ["BREAK", "FONT_FAMILIES", "FONT_FOLDERS", "Cleaner", "font_folders"]

FONT_FAMILIES = ("Inter", "DejaVu Sans")
FONT_FOLDERS = (Path(__file__).parent / "fonts",)
_MARK = "□"
# What is longer is cut, and the cut shown: one page holds all of it.
_LONGEST = {
    "van": 80,
    "description": 160,
    "ways": 160,
    "appliances": 32,
    "places": 40,
    "roof": 24,
    "weather": 300,
}
_LONGEST_WORD = 24
BREAK = "\u200b"


def font_folders() -> tuple[Path, ...]:
    """Folders of the sheet's own font and of the one that comes with matplotlib.

    The second stands in for scripts that the first has not (Hebrew and Arabic among them); it is
    found without importing matplotlib.
    """
    found = importlib.util.find_spec("matplotlib")
    if found is None or found.submodule_search_locations is None:
        return FONT_FOLDERS
    more = Path(next(iter(found.submodule_search_locations))) / "mpl-data" / "fonts" / "ttf"
    return (*FONT_FOLDERS, more) if more.is_dir() else FONT_FOLDERS


class Cleaner:
    """Cleans texts and remembers in which fields signs had to be left out.

    Parameters
    ----------
    limited : bool
        Whether only the sheet's fonts are at hand (PDF, PNG); a browser has its own.
    """

    def __init__(self, *, limited: bool) -> None:
        self.limited = limited
        self.dropped: dict[str, None] = {}

    def __call__(self, text: str, field: str) -> str:
        """Return the text on one line without signs that cannot be set; note the field if any."""
        text = unicodedata.normalize("NFC", text)
        text = re.sub(r"\s+", " ", text)
        # Controls, joiners that only emoji need, direction overrides and variation selectors.
        text = "".join(c for c in text if unicodedata.category(c) not in {"Cc", "Cf", "Co", "Cs"})
        text = re.sub("[\ufe00-\ufe0f]", "", text)
        if self.limited and not text.isascii():
            known = _known_letters()
            kept = "".join(c if ord(c) in known else _MARK for c in text)
            if _MARK in kept:
                self.dropped[field] = None
                text = re.sub(" +", " ", kept.replace(_MARK, ""))
        text = text.strip()
        longest = _LONGEST.get(field, len(text))
        if len(text) > longest:
            text = f"{text[: longest - 1].rstrip()}…"
        # A word that is wider than its column may break.
        return re.sub(f"(\\S{{{_LONGEST_WORD}}})(?=\\S)", rf"\1{BREAK}", text)


@functools.cache
def _known_letters() -> frozenset[int]:
    """Return the code points that both faces of one of the families hold."""
    from fontTools.ttLib import TTFont

    faces = {
        "Inter": ("Inter-Regular", "Inter-SemiBold"),
        "DejaVu Sans": ("DejaVuSans", "DejaVuSans-Bold"),
    }
    known: set[int] = set()
    for folder in font_folders():
        for names in faces.values():
            paths = [folder / f"{name}.ttf" for name in names]
            if all(path.is_file() for path in paths):
                tables = []
                for path in paths:
                    with TTFont(path, lazy=True) as font:
                        tables.append(set(font.getBestCmap()))
                known |= set.intersection(*tables)
    return frozenset(known)
