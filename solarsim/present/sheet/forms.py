"""Numbers, plurals, months, dates and names as a language has them, by Unicode's CLDR.

Babel brings the CLDR; it is imported where it is asked, so that commands without a page do without.
"""

from __future__ import annotations

import calendar
import datetime as dt
import functools
import re
from decimal import Decimal
from typing import Any

__all__ = [
    "Texts",
    "count_days",
    "date_text",
    "given",
    "given_value",
    "language_name",
    "month_name",
    "number",
    "plural",
    "territory",
    "written",
]

Texts = dict[str, Any]
_PLAIN = re.compile(r"[-+]?(\d{1,3}(,\d{3})+(\.\d+)?|\d+\.\d+)")
_NUMBER = r"[-+]?\d[\d,]*(?:\.\d+)?"
# What words in braces stand for; all others for anything.
_KINDS = {"number": _NUMBER, "letter": "[A-Z]", "start": "[A-Z]", "end": r"[A-Z]|\d+"}
_KINDS |= {"month": "[A-Z][a-z]+", "time": r"\d\d?:\d\d", "clock": r"\d\d?:\d\d"}
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_MONTHS = list(calendar.month_name)[1:]


def written(texts: Texts, plain: str) -> str:
    """Return a plain number, such as "1234.5", with the language's signs and all its decimals.

    Examples
    --------
    >>> written({"locale": "de"}, "1234.50"), written({"locale": "en"}, "1234.50")
    ('1.234,50', '1,234.50')
    """
    from babel.numbers import format_decimal

    decimals = len(plain.partition(".")[2])
    pattern = f"#,##0.{'0' * decimals}" if decimals else "#,##0"
    return str(
        format_decimal(
            Decimal(plain), format=pattern, locale=texts["locale"], decimal_quantization=False
        )
    )


def number(texts: Texts, value: float, decimals: int | None = 0) -> str:
    """Return a number to so many decimals, or those that it has (six digits at most) with None.

    Rounding is Python's in every language, so that all of them say the same.
    """
    plain = f"{value:g}" if decimals is None else f"{value:z.{decimals}f}"
    return written(texts, plain)


def plural(texts: Texts, forms: dict[str, str], count: float | str) -> str:
    """Return which of a word's forms stands beside a count.

    Examples
    --------
    >>> days = {"one": "Tag", "other": "Tage"}
    >>> [plural({"locale": "de"}, days, count) for count in (0, 1, 2, "1.5")]
    ['Tage', 'Tag', 'Tage', 'Tage']
    """
    # "1.0" is one, as 1 is.
    shown = Decimal(str(count)).normalize()
    kind = _locale(texts["locale"]).plural_form(shown)
    return str(forms.get(kind, forms["other"]))


def count_days(texts: Texts, days: int) -> str:
    """Return whole days with their word, such as "7 days"."""
    return plural(texts, texts["units"]["count_days"], days).format(number=number(texts, days))


def month_name(texts: Texts, month: int, *, in_text: bool = False) -> str:
    """Return a month's short name, from 1 for January; in a sentence as the catalogue says."""
    from babel.dates import get_month_names

    wide = in_text and texts["dates"]["month_in_text"] == "wide"
    names = get_month_names("wide" if wide else "abbreviated", "stand-alone", texts["locale"])
    return str(names[month])


def date_text(texts: Texts, day: dt.date) -> str:
    """Return a date as the catalogue has its language write it."""
    from babel.dates import format_date

    return str(format_date(day, texts["dates"]["date"], locale=texts["locale"]))


def territory(texts: Texts, code: str, name: str) -> str:
    """Return a country's name in the language; `name` in English and of what is no country."""
    if texts["locale"] == "en":
        return name
    return str(_locale(texts["locale"]).territories.get(code, name))


def language_name(texts: Texts, *, own: bool = False) -> str:
    """Return the language's name in English, or with `own` in itself."""
    return str(_locale(texts["locale"]).get_language_name(texts["locale"] if own else "en"))


def given(texts: Texts, field: str, text: str) -> str:
    """Return a text that may be one of those that come with the package; others stay as they are.

    A key of the catalogue may hold words in braces, which stand for anything, {number} for one,
    {letter} for a capital, {month} for a name, {time} for a clock's, {list} for several with commas
    between them.
    """
    return _known(texts, field, text) or text


def _known(texts: Texts, field: str, text: str) -> str | None:
    known = texts["given"].get(field, {})
    if text in known:
        return str(known[text])
    for key, said in known.items():
        if "{" in key and (found := _pattern(key).fullmatch(text)):
            filled = {
                name: (_listed if name == "list" else given_value)(texts, field, one)
                for name, one in found.groupdict().items()
            }
            if isinstance(said, dict):
                said = plural(texts, said, found["number"].replace(",", ""))
            return str(said.format(**filled))
    return None


def given_value(texts: Texts, field: str, text: str) -> str:
    """Return a number, a date, a month, or words of a field or of those that all share.

    Shared are the words of interviews and offers, and the names of appliances, ways of living and
    sources.
    """
    said = _value(texts, field, text)
    return text if said is None else said


def _value(texts: Texts, field: str, text: str) -> str | None:
    if _PLAIN.fullmatch(text):
        sign, digits = ("", text) if text[0].isdigit() else (text[0], text[1:])
        return sign + written(texts, digits.replace(",", ""))
    if _DATE.fullmatch(text):
        return date_text(texts, dt.date.fromisoformat(text))
    if text in _MONTHS:
        return month_name(texts, 1 + _MONTHS.index(text), in_text=True)
    fields = dict.fromkeys((field, "interview", "offer", "appliances", "ways", "weather"))
    return next((said for one in fields if (said := _known(texts, one, text))), None)


def _listed(texts: Texts, field: str, text: str) -> str:
    """Return several with commas between them, of which some may hold commas themselves."""
    parts, found = text.split(", "), []
    while parts:
        tried = ((count, ", ".join(parts[:count])) for count in range(1, len(parts) + 1))
        known = ((count, said) for count, one in tried if (said := _value(texts, field, one)))
        count, said = next(known, (1, parts[0]))
        found.append(said)
        parts = parts[count:]
    return ", ".join(found)


@functools.cache
def _pattern(key: str) -> re.Pattern[str]:
    parts = re.split(r"\{(\w+)\}", key)
    for index in range(1, len(parts), 2):
        parts[index] = f"(?P<{parts[index]}>{_KINDS.get(parts[index], '.+?')})"
    parts[::2] = map(re.escape, parts[::2])
    return re.compile("".join(parts))


@functools.cache
def _locale(name: str) -> Any:
    from babel import Locale

    return Locale.parse(name)
