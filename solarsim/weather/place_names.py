"""How names of towns are compared: without accents, case and punctuation."""

from __future__ import annotations

import re
import unicodedata

__all__ = ["fold_name"]

# Letters that have no decomposition but a customary plain spelling.
_PLAIN = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe"})
_PLAIN |= str.maketrans({"ı": "i", "ħ": "h", "ŧ": "t", "ə": "e", "ʻ": "", "ʼ": ""})
_APOSTROPHES = re.compile("['’‘`´.]")
_SEPARATORS = re.compile(r"[\W_]+")


def fold_name(name: str) -> str:
    """Return a name's comparison key.

    Examples
    --------
    >>> fold_name("  Saint-Étienne"), fold_name("Łódź"), fold_name("L'Aquila")
    ('saint etienne', 'lodz', 'laquila')
    """
    text = _APOSTROPHES.sub("", name.casefold())
    if text.isascii():
        return _SEPARATORS.sub(" ", text).strip()
    decomposed = unicodedata.normalize("NFKD", text.translate(_PLAIN))
    plain = "".join(char for char in decomposed if not _is_latin_mark(char))
    # Vowel signs are no word characters to a regular expression; here they are.
    words = "".join(char if unicodedata.category(char)[0] in "LMN" else " " for char in plain)
    # Once more: a decorated letter may only now have become a plain capital.
    return " ".join(unicodedata.normalize("NFC", words).casefold().split())


def _is_latin_mark(char: str) -> bool:
    # Vowel signs of Indic and other scripts are letters in all but name and stay.
    return "\u0300" <= char <= "\u036f"
