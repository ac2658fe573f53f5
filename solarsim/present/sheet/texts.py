"""The catalogue of the sheet's words, and numbers and measures said in them."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Literal

from solarsim.errors import InputError
from solarsim.present.sheet.forms import Texts, number, plural, written

__all__ = [
    "Units",
    "alone_text",
    "both",
    "chance_words",
    "days_number",
    "days_phrase",
    "energy_text",
    "hours_text",
    "joined",
    "languages",
    "lasts_cell",
    "lasts_parts",
    "load_texts",
    "percent_text",
    "roof_size",
    "whole",
]

Units = Literal["metric", "us"]
# From here on rounding would make a certainty of a chance.
_NEVER_CERTAIN = 0.995
_FEET_PER_M = 1.0 / 0.3048


def load_texts(language: str = "en") -> Texts:
    """Return the catalogue of a language.

    Raises
    ------
    InputError
        No such catalogue.
    """
    if not isinstance(language, str) or language not in languages():
        message = f"got {language!r}; there is {', '.join(languages())}"
        raise InputError(message, field="language")
    return _read_texts(language)


@functools.cache
def _read_texts(language: str) -> Texts:
    path = Path(__file__).with_name(f"texts.{language}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def languages() -> tuple[str, ...]:
    """Return the codes of all languages that have a catalogue."""
    files = Path(__file__).parent.glob("texts.*.toml")
    return tuple(sorted(one.name.split(".")[1] for one in files))


def whole(texts: Texts, value: float) -> str:
    """A whole number with a sign between thousands."""
    return number(texts, value)


def days_number(texts: Texts, days: float, follow_days: int, *, at_least: bool = False) -> str:
    """Days as a short number: one decimal below ten, whole above; "at least" never rounds up.

    Examples
    --------
    >>> texts = load_texts()
    >>> [days_number(texts, d, 30) for d in (3.46, 9.96, 14.6, 30.0)]
    ['3.5', '10', '15', '30+']
    >>> [days_number(texts, d, 30, at_least=True) for d in (3.46, 9.96, 14.6)]
    ['3.4', '9.9', '14']
    """
    if days >= follow_days:
        all_of_them = number(texts, follow_days)
        return all_of_them if at_least else texts["units"]["or_more"].format(number=all_of_them)
    return written(texts, _plain_days(days, follow_days, at_least=at_least))


def _plain_days(days: float, follow_days: int, *, at_least: bool) -> str:
    """Days below those followed, rounded as `days_number` says."""
    if at_least:
        # A hair above, so that 3.0 kept as 2.9999... stays 3.0.
        tenths = int(days * 10.0 + 1e-9)
        return f"{tenths / 10:.1f}" if tenths < 100 else str(tenths // 10)
    if round(days, 1) < 10.0:
        return f"{days:.1f}"
    # Not past the days followed by rounding: that would claim what was not reached.
    return str(min(round(days), follow_days - 1))


def lasts_parts(
    texts: Texts, days: float, follow_days: int, *, at_least: bool = False
) -> tuple[str, str]:
    """How long it lasts as a short number and its unit: days, or hours of less than a day.

    Examples
    --------
    >>> texts = load_texts()
    >>> [lasts_parts(texts, d, 30) for d in (3.46, 1.0, 0.2, 0.04)]
    [('3.5', 'days'), ('1.0', 'day'), ('5', 'hours'), ('1', 'hour')]
    >>> lasts_parts(texts, 0.99, 30), lasts_parts(texts, 0.99, 30, at_least=True)
    (('1.0', 'day'), ('23', 'hours'))
    """
    units = texts["units"]
    if _in_hours(days, at_least=at_least):
        hours = int(24.0 * days + 1e-9) if at_least else round(24.0 * days)
        return number(texts, hours), plural(texts, units["hour"], hours)
    shown = days_number(texts, days, follow_days, at_least=at_least)
    beyond = days >= follow_days
    plain = str(follow_days) if beyond else _plain_days(days, follow_days, at_least=at_least)
    return shown, plural(texts, units["day"], plain)


def _in_hours(days: float, *, at_least: bool) -> bool:
    return (days if at_least else round(days, 1)) < 1.0


def lasts_cell(texts: Texts, days: float, follow_days: int, *, at_least: bool = False) -> str:
    """How long it lasts for a table's cell headed in days: "3.5", or "5 h" of less than a day."""
    shown, _ = lasts_parts(texts, days, follow_days, at_least=at_least)
    if _in_hours(days, at_least=at_least):
        return str(texts["units"]["hours"].format(number=shown))
    return shown


def days_phrase(texts: Texts, days: float, follow_days: int, *, at_least: bool = False) -> str:
    """Days with their word, such as "3.5 days" or "30+ days", hours of less than a day."""
    units = texts["units"]
    shown, unit = lasts_parts(texts, days, follow_days, at_least=at_least)
    # "At least" says itself that it may be more.
    if days >= follow_days and not at_least:
        return str(units["days_or_more"].format(number=number(texts, follow_days), unit=unit))
    return str(units["number_unit"].format(number=shown, unit=unit))


def hours_text(texts: Texts, hours: float) -> str:
    """Hours of use, or minutes where these tell it better.

    Examples
    --------
    >>> " ".join(hours_text(load_texts(), h) for h in (0.1, 1.0, 2.5, 6.0)).split()
    ['6', 'min', '1', 'h', '2.5', 'h', '6', 'h']
    """
    if hours < 1.0:
        return str(texts["units"]["minutes"].format(number=number(texts, hours * 60.0)))
    return str(texts["units"]["hours"].format(number=number(texts, round(hours, 1), None)))


def alone_text(texts: Texts, hours: float, most_h: int) -> str:
    """How long something runs: hours up to two days, then days.

    Examples
    --------
    >>> " ".join(alone_text(load_texts(), h, 720) for h in (1.76, 26.0, 140.5, 720.0)).split()
    ['1.8', 'h', '26', 'h', '5.9', 'days', '30+', 'days']
    """
    if hours < 48.0:
        shown = number(texts, hours, 1 if hours < 10.0 else 0)
        return str(texts["units"]["hours"].format(number=shown))
    return days_phrase(texts, hours / 24.0, most_h // 24)


def energy_text(texts: Texts, energy_wh: float) -> str:
    """An energy in Wh, from 1 kWh on in kWh.

    Examples
    --------
    >>> " ".join(energy_text(load_texts(), wh) for wh in (631.3, 2343.7)).split()
    ['631', 'Wh', '2.3', 'kWh']
    """
    if energy_wh < 1000.0:
        return str(texts["units"]["watt_hours"].format(number=number(texts, energy_wh)))
    return str(texts["units"]["kilowatt_hours"].format(number=number(texts, energy_wh / 1000.0, 1)))


def percent_text(texts: Texts, share: float) -> str:
    """A share as a whole percentage, small ones with a decimal; 100 is all of it."""
    percent = 100.0 * share
    if 99.0 < percent < 100.0:
        percent = 99.0
    shown = number(texts, percent, 0 if percent >= 2.0 or percent == 0.0 else 1)
    return str(texts["units"]["percent"].format(number=shown))


def chance_words(texts: Texts, share: float) -> str:
    """A chance in whole percents; one that is not certain never reads as certain.

    Examples
    --------
    >>> [" ".join(chance_words(load_texts(), c).split()) for c in (0.4, 0.997, 1.0, 0.001)]
    ['40 %', 'over 99 %', '100 %', 'under 1 %']
    """
    units = texts["units"]
    if _NEVER_CERTAIN <= share < 1.0:
        return str(units["over"].format(percent=units["percent"].format(number=99)))
    if 0.0 < share < 1.0 - _NEVER_CERTAIN:
        return str(units["under"].format(percent=units["percent"].format(number=1)))
    return str(units["percent"].format(number=number(texts, 100.0 * share)))


def both(texts: Texts, metric: str, us: str, units: Units) -> str:
    """Both measures, the reader's own first."""
    first, second = (metric, us) if units == "metric" else (us, metric)
    return str(texts["units"]["both"].format(first=first, second=second))


def roof_size(texts: Texts, length_m: float, width_m: float, units: Units) -> str:
    """The roof's length and width in metres and feet."""
    words = texts["units"]
    sides = (length_m, width_m)
    metres = [number(texts, side, 2) for side in sides]
    metric = words["metres"].format(length=metres[0], width=metres[1])
    feet = [number(texts, side * _FEET_PER_M, 1) for side in sides]
    us = words["feet"].format(length=feet[0], width=feet[1])
    return both(texts, metric, us, units)


def joined(texts: Texts, parts: Iterable[str]) -> str:
    """Parts of a sentence with "and" before the last."""
    found = list(parts)
    if len(found) < 2:
        return "".join(found)
    return ", ".join(found[:-1]) + str(texts["days"]["and"]) + found[-1]
