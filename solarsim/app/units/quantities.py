"""Numbers, lengths, temperatures and masses in the visitor's units, and back without a loss.

A pound is 0.45359237 kg and an inch 25.4 mm exactly [1]_. signs are those of ISO 80000-1:
a point or a comma before the decimals, a narrow space between thousands where commas are taken.

References
----------
.. [1] International yard and pound agreement (1959).
"""

from __future__ import annotations

import dataclasses
import math
import re

from solarsim.app.widgets.numbers import number_of, number_text
from solarsim.errors import InputError
from solarsim.inputs.lengths import feet_text, read_length_m

__all__ = [
    "FOOT_M",
    "INCH_M",
    "METRIC",
    "THOUSANDS",
    "Units",
    "celsius_text",
    "inches_text",
    "kilograms_text",
    "limit_text",
    "metres_text",
    "number_signs",
    "read_inches_m",
    "read_value",
    "value_text",
]

INCH_M = 0.0254
FOOT_M = 12 * INCH_M
POUND_KG = 0.45359237
THOUSANDS = "\N{NARROW NO-BREAK SPACE}"
# From here on a height above the sea, or a way, is meant: whole feet.
_FAR_M = 30.0
_BARE = re.compile(r"\s*[+-]?[\d\s.,]+\s*")


@dataclasses.dataclass(frozen=True)
class Units:
    """What a visitor reads and types.

    Attributes
    ----------
    feet : bool
        Lengths in feet and inches and masses in pounds, wires by AWG; else metric.
    fahrenheit : bool
        Temperatures in degrees Fahrenheit; else Celsius.
    comma : bool
        A comma before the decimals; else a point.
    """

    feet: bool = False
    fahrenheit: bool = False
    comma: bool = False


METRIC = Units()


def number_signs(text: str, units: Units) -> str:
    """Put the visitor's signs into a number, which is written with a point.

    Examples
    --------
    >>> number_signs("1,234.5", Units(comma=True)).replace(THOUSANDS, " ")
    '1 234,5'
    """
    if not units.comma:
        return text
    return text.replace(",", THOUSANDS).replace(".", ",")


def metres_text(length_m: float, units: Units, places: int = 2) -> str:
    r"""Return a length with its unit; what is long in whole feet.

    Examples
    --------
    >>> metres_text(3.4036, METRIC), metres_text(3.4036, Units(feet=True))
    ('3.40 m', '11\' 2"')
    """
    if not units.feet:
        return f"{number_signs(f'{length_m:,.{places}f}', units)} m"
    if abs(length_m) >= _FAR_M:
        return f"{number_signs(f'{length_m / FOOT_M:,.0f}', units)} ft"
    sign = "-" if length_m < 0.0 else ""
    return sign + feet_text(abs(length_m))


def celsius_text(temp_c: float, units: Units, places: int = 0, *, interval: bool = False) -> str:
    """Return a temperature with its unit, or with `interval` a difference of temperatures.

    Examples
    --------
    >>> celsius_text(20.0, Units(fahrenheit=True)), celsius_text(-40.0, Units(fahrenheit=True))
    ('68 °F', '-40 °F')
    """
    if units.fahrenheit:
        temp_c = 1.8 * temp_c + (0.0 if interval else 32.0)
    return f"{number_signs(f'{temp_c:z.{places}f}', units)} {'°F' if units.fahrenheit else '°C'}"


def kilograms_text(mass_kg: float, units: Units, places: int = 1) -> str:
    """Return a mass with its unit.

    Examples
    --------
    >>> kilograms_text(10.0, Units(feet=True))
    '22.0 lb'
    """
    mass = mass_kg / POUND_KG if units.feet else mass_kg
    return f"{number_signs(f'{mass:z,.{places}f}', units)} {'lb' if units.feet else 'kg'}"


def value_text(path: str, value: float, units: Units, places: int = 0) -> str:
    r"""Return what a field of the records holds, as it stands in its box, without its unit.

    Parameters
    ----------
    path : str
        Its name ends with the unit: ``_m`` and ``_c`` are the visitor's to choose.
    value : float
        In the record's unit.
    units : Units
        The visitor's.
    places : int
        Decimals at least.

    Examples
    --------
    >>> value_text("roof.length_m", 3.4, Units(feet=True))
    '11\' 1 7/8"'
    >>> value_text("cabin.heater_set_point_c", 20.0, Units(fahrenheit=True), 1)
    '68.0'
    """
    if path.endswith("_m") and units.feet:
        return feet_text(value)
    if path.endswith("_c") and units.fahrenheit:
        value = round(1.8 * value + 32.0, 4)
    text = number_text(value, places)
    return text.replace(".", ",") if units.comma else text


def read_value(path: str, text: str, units: Units, *, whole: bool = False) -> float:
    r"""Return what was typed for a field, in the record's unit.

    A length may carry its unit, metric or not, whatever the visitor's are.

    Raises
    ------
    InputError
        It is no number or no length, or a bare number where it could be feet or inches.

    Examples
    --------
    >>> read_value("roof.length_m", "11' 2\"", METRIC), read_value("roof.length_m", "3,4", METRIC)
    (3.4036, 3.4)
    """
    if path.endswith("_m") and not _BARE.fullmatch(text):
        return _length_m(text, path)
    if path.endswith("_m") and units.feet:
        bare = text.strip()
        if number_of(bare, comma=units.comma, field=path) == 0.0:
            return 0.0
        message = f"got '{bare}'; write '{bare} ft', '{bare} in' or '{bare} m'"
        raise InputError(message, field=path)
    number = number_of(text, whole=whole, comma=units.comma, field=path)
    if path.endswith("_c") and units.fahrenheit:
        return round((number - 32.0) / 1.8, 6)
    return number


def limit_text(path: str, limit: float, units: Units, *, most: bool) -> str:
    """Return a field's limit, rounded to what its box shows and never past the limit."""
    if path.endswith("_m") and units.feet:
        eighth_m = INCH_M / 8.0
        whole = math.floor(limit / eighth_m) if most else math.ceil(limit / eighth_m)
        return feet_text(whole * eighth_m)
    if path.endswith("_c") and units.fahrenheit:
        limit = 1.8 * limit + 32.0
    return number_signs(f"{limit:,g}", units)


def inches_text(length_m: float, units: Units) -> str:
    """Return a length for a narrow cell: metres, or inches to a hundredth.

    Examples
    --------
    >>> inches_text(0.4, METRIC), inches_text(0.4, Units(feet=True))
    ('0.40', '15.75')
    """
    text = number_text(round(length_m / INCH_M, 2)) if units.feet else number_text(length_m, 2)
    return text.replace(".", ",") if units.comma else text


def read_inches_m(text: str, units: Units) -> float:
    """Return the length of such a cell; with its unit in it, that unit counts.

    Raises
    ------
    InputError
        It is no number and no length.
    """
    if not _BARE.fullmatch(text):
        return _length_m(text, "")
    number = number_of(text, comma=units.comma)
    return round(number * INCH_M, 7) if units.feet else number


def _length_m(text: str, field: str) -> float:
    try:
        return read_length_m(text.replace(",", "."))
    except ValueError as error:
        # A fault of a number is said in a number's words.
        if not any(letter.isalpha() or letter in "'\"′″’”" for letter in text):
            number_of(text, field=field)
        raise InputError(f"got '{text[:40]}'; it {error}", field=field) from None
