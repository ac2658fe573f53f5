"""Numbers as people type them: with a decimal point or a decimal comma."""

from __future__ import annotations

import re

from solarsim.app.translate import tr
from solarsim.errors import InputError

__all__ = ["number_of", "number_text"]

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
# 1,200 is twelve hundred to some and one point two to others; to these it is 1.200 that is both.
_EITHER = {sign: re.compile(rf"[+-]?[1-9]\d{{0,2}}[{sign}]\d{{3}}") for sign in ",."}


def number_of(text: str, *, whole: bool = False, comma: bool = False, field: str = "") -> float:
    """Return the number that was typed; what could be read in two ways is refused.

    Parameters
    ----------
    text : str
        ``"0.5"`` or ``"0,5"``; spaces do not matter.
    whole : bool
        Whether it must be a whole number.
    comma : bool
        Whether a comma stands before the decimals: what could be thousands is then 1.200.
    field : str
        What the error names.

    Raises
    ------
    InputError
        Nothing was typed, no plain number, signs of thousands, or a fraction where `whole`.

    Examples
    --------
    >>> number_of("0,5"), number_of("8.25"), number_of(" 20 000 ")
    (0.5, 8.25, 20000.0)
    """
    bare = re.sub(r"\s", "", text).replace("\N{MINUS SIGN}", "-")
    if not bare:
        raise InputError(tr("is empty; give a number"), field=field)
    other, own = (".", ",") if comma else (",", ".")
    if _EITHER[other].fullmatch(bare):
        decimals, thousands = bare.replace(other, own), bare.replace(other, "")
        message = tr(
            "got '{given}'; write '{decimals}' or '{thousands}'",
            given=text,
            decimals=decimals,
            thousands=thousands,
        )
        raise InputError(message, field=field)
    if len(bare) > 30 or not _NUMBER.fullmatch(bare):
        message = tr(
            "got '{given}'; must be a number such as 0.5 or 0,5, no sign for thousands",
            given=text[:40],
        )
        raise InputError(message, field=field)
    number = float(bare.replace(",", "."))
    if whole and number != int(number):
        raise InputError(tr("got '{given}'; must be a whole number", given=text), field=field)
    return number


def number_text(number: float, places: int = 0) -> str:
    """Return a number with all its digits, up to six decimals and at least `places`.

    Examples
    --------
    >>> number_text(0.5, 1), number_text(12.0), number_text(1.5805, 2), number_text(0.0, 2)
    ('0.5', '12', '1.5805', '0.00')
    """
    whole, _, decimals = f"{number:.6f}".partition(".")
    decimals = decimals.rstrip("0").ljust(places, "0")
    return f"{whole}.{decimals}" if decimals else whole
