"""Days as the visitor's language writes them."""

from __future__ import annotations

import calendar
import datetime as dt
import re

from solarsim.app.translate import ENGLISH, catalogue

__all__ = ["day_text", "in_dates", "initial"]

_DAYS, _MONTHS = list(calendar.day_abbr), list(calendar.month_abbr)[1:]
# As tables and charts write a day, with the hour or without it.
_STAMP = re.compile(rf"({'|'.join(_DAYS)})( |<br>)(\d\d) ({'|'.join(_MONTHS)})((?: \d\d:\d\d)?)")


def day_text(day: dt.date, *, year: bool = False) -> str:
    """Return a day as a sentence has it, such as "05 January"."""
    texts = catalogue()
    if texts["language"] == ENGLISH:
        return f"{day:%d %B %Y}" if year else f"{day:%d %B}"
    from babel.dates import format_skeleton

    return str(format_skeleton("yMMMMd" if year else "MMMMd", day, locale=texts["locale"]))


def in_dates(text: str) -> str:
    """Return a text of tables and charts with its weekdays and months in the language.

    Examples
    --------
    >>> in_dates("Mon 05 Jan 12:00")
    'Mon 05 Jan 12:00'
    """
    texts = catalogue()
    if texts["language"] == ENGLISH:
        return text
    from babel.dates import get_day_names, get_month_names

    days = get_day_names("abbreviated", locale=texts["locale"])
    months = get_month_names("abbreviated", locale=texts["locale"])

    def said(match: re.Match[str]) -> str:
        day, between, number, month, hour = match.groups()
        named = months[1 + _MONTHS.index(month)]
        return f"{days[_DAYS.index(day)]}{between}{number} {named}{hour}"

    return _STAMP.sub(said, text)


def initial(month: int) -> str:
    """Return a month's first letter, from 1 for January.

    Examples
    --------
    >>> initial(1)
    'J'
    """
    from babel.dates import get_month_names

    return str(get_month_names("narrow", "stand-alone", locale=catalogue()["locale"])[month])
