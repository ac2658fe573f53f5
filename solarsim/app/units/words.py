"""Sentences of the program in the visitor's units and signs.

Sentences are metric with a point, and say each unit right after its number or its numbers, as in
"3.40 x 1.60 m" or "18 to 21 °C". A number without a unit behind it, such as that of a clause in a
standard, stays as it is, and so does what stands in quotes, which is somebody's name.
"""

from __future__ import annotations

import numbers
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from solarsim.app.units.quantities import (
    FOOT_M,
    INCH_M,
    THOUSANDS,
    Units,
    celsius_text,
    kilograms_text,
    metres_text,
    number_signs,
)

__all__ = ["in_signs", "in_units", "in_units_columns", "in_units_heading"]

_NUMBER = r"[+\-\N{MINUS SIGN}]?\d{1,3}(?:,\d{3})+(?:\.\d+)?|[+\-\N{MINUS SIGN}]?\d+(?:\.\d+)?"
_JOINED = r"(?:(?:,? to |,? or |,? and | of | x |, y | ± |\N{EN DASH})(?:{n}))*".replace(
    "{n}", _NUMBER
)
# The longer first. What only takes the visitor's signs stands beside what is converted.
_MEASURED = ("°C", "mm", "cm", "km", "kg", "m²", "m2", "m", "C")
_COUNTED = (
    *("kWh", "Wh", "kW", "W", "Ah", "A", "mm²", "mm2", "mV", "V", "mΩ", "Ω", "ohm", "K", "%"),
    *("hours", "hour", "h", "minutes", "min", "days", "day", "points", "nights", "years", "litres"),
)
_UNITS = "|".join(sorted(map(re.escape, {*_MEASURED, *_COUNTED}), key=len, reverse=True))
_QUANTITY = re.compile(
    # Names that somebody gave stand in quotes.
    r"(?<!\w)'[^'\n]*'(?!\w)"
    rf"|(?<![\w.])(?P<numbers>(?:{_NUMBER}){_JOINED})(?P<gap>\s?)(?P<unit>{_UNITS})(?![\w²])"
    r"(?P<after> (?:higher|lower|warmer|cooler|colder|insulation|column|table))?"
)
_ONE = re.compile(_NUMBER)
_THOUSANDS = re.compile(r"(?<![\w.,])\d{1,3}(?:,\d{3})+(?![\w,])")
# A class of insulation is known by its degrees Celsius everywhere.
_KEPT = ("insulation", "column", "table")
_BEFORE_KEPT = re.compile(
    r"(?:insulation|insulated) (?:\w+ )?(?:for|of|at) $|rated (?:for|at) $|those of panels of $|"
    # As the electrical view says it after the class of all other wires.
    r"names none, $"
)
_BEFORE_INTERVAL = re.compile(r"(?:shifted|differs?|within|by) (?:by |of )?$")
_SQUARE_FOOT_M2 = FOOT_M**2
_MILE_M = 1609.344


def in_units(text: str, units: Units) -> str:
    r"""Return a sentence in the visitor's units and signs.

    Examples
    --------
    >>> in_units("Roof 3.40 x 1.60 m, held at 18 to 21 °C; see 690.7", Units(True, True, False))
    'Roof 11\' 1 7/8" x 5\' 3", held at 64 to 70 °F; see 690.7'
    >>> in_units("It lasts 4.1 to 4.5 days", Units(comma=True))
    'It lasts 4,1 to 4,5 days'
    """
    if units == Units():
        return text
    found = _QUANTITY.sub(lambda match: _quantity(match, text[: match.start()], units), text)
    if not units.comma:
        return found
    return _THOUSANDS.sub(lambda match: match[0].replace(",", THOUSANDS), found)


def in_signs(text: str, units: Units) -> str:
    """Return a sentence with the visitor's signs in all its numbers, its units as they are.

    For sentences that say a unit once and mean it for numbers further on.

    Examples
    --------
    >>> in_signs("0.3 kg a day (2.1 in all)", Units(feet=True, comma=True))
    '0,3 kg a day (2,1 in all)'
    """
    return _ONE.sub(lambda one: number_signs(one[0], units), text)


def _quantity(match: re.Match[str], before: str, units: Units) -> str:
    numbers, unit, after = match["numbers"], match["unit"], match["after"] or ""
    if numbers is None:
        return match[0]
    convert = _converter(unit, before, after.strip(), units)
    if convert is None:
        said = _ONE.sub(lambda one: number_signs(one[0], units), numbers)
        return f"{said}{match['gap']}{unit}{after}"
    texts = [convert(*_read(one[0])) for one in _ONE.finditer(numbers)]
    # The unit is said once, behind the last; feet and inches say it each time.
    shared = {text.rpartition(" ")[2] for text in texts if text[-1] not in "\"'"}
    if len(shared) == 1 and all(text[-1] not in "\"'" for text in texts):
        texts = [text.rpartition(" ")[0] for text in texts[:-1]] + texts[-1:]
    left = iter(texts)
    return _ONE.sub(lambda _: next(left), numbers) + after


def _read(text: str) -> tuple[float, int]:
    bare = text.replace(",", "").replace("\N{MINUS SIGN}", "-")
    return float(bare), len(bare.partition(".")[2])


def _converter(
    unit: str, before: str, after: str, units: Units
) -> Callable[[float, int], str] | None:
    """Return what makes a text of a number and its decimals; None where the unit stays."""
    if unit in {"°C", "C"}:
        if not units.fahrenheit or after in _KEPT or _BEFORE_KEPT.search(before):
            return None
        interval = bool(after) or bool(_BEFORE_INTERVAL.search(before))
        return lambda value, places: celsius_text(value, units, places, interval=interval)
    if not units.feet or unit not in _MEASURED:
        return None
    if unit == "kg":
        return lambda value, places: kilograms_text(value, units, places)
    if unit == "m":
        return lambda value, _: metres_text(value, units)
    factor, name, more = {
        "km": (1000.0 / _MILE_M, "mi", 0),
        "cm": (0.01 / INCH_M, "in", 1),
        "mm": (0.001 / INCH_M, "in", 2),
        "m2": (1.0 / _SQUARE_FOOT_M2, "sq ft", 0),
        "m²": (1.0 / _SQUARE_FOOT_M2, "sq ft", 0),
    }[unit]

    def converted(value: float, places: int) -> str:
        return f"{number_signs(f'{factor * value:,.{places + more}f}', units)} {name}"

    return converted


def in_units_heading(heading: str, units: Units) -> str:
    """Return a column's or an input's heading, which ends with its unit, in the visitor's.

    Examples
    --------
    >>> in_units_heading("Heated to, °C", Units(fahrenheit=True))
    'Heated to, °F'
    """
    lead, comma, unit = heading.rpartition(", ")
    if units.fahrenheit and unit == "°C":
        unit = "°F"
    elif units.feet and unit in {"m", "kg"}:
        unit = {"m": "ft in", "kg": "lb"}[unit]
    return f"{lead}{comma}{unit}"


def in_units_columns(
    columns: Mapping[str, Sequence[Any]], units: Units
) -> dict[str, Sequence[Any]]:
    """Return a table whose columns of metres, kilograms and °C are in the visitor's units.

    What is converted becomes text; all else stays as it is, and takes its signs where it is shown.
    """
    found: dict[str, Sequence[Any]] = {}
    for heading, values in columns.items():
        unit = heading.rpartition(", ")[2]
        shown = in_units_heading(heading, units)
        found[shown] = (
            values if shown == heading else [_cell(unit, value, units) for value in values]
        )
    return found


def _cell(unit: str, value: Any, units: Units) -> Any:
    if isinstance(value, bool) or not isinstance(value, numbers.Real) or value != value:
        return value
    value = float(value)
    places = len(f"{value:g}".partition(".")[2])
    if unit == "m":
        return metres_text(value, units)
    text = celsius_text(value, units, places) if unit == "°C" else kilograms_text(value, units, 1)
    return text.rpartition(" ")[0]
