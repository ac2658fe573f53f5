"""Lengths as a builder measures them: metres as a number, or text in metric or feet and inches."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator

__all__ = ["Metres", "feet_text", "read_length_m"]

_INCH_M = 0.0254
_FOOT_M = 12 * _INCH_M
_METRIC_M = {"m": 1.0, "cm": 0.01, "mm": 0.001}
_ALLOWED = (
    "give metres as a number, or text such as '3.4 m', '340 cm', '11ft 2in', '5\\' 3\"' or "
    "'62 1/2 in'"
)

_NUMBER = r"\d+(?:\.\d+)?"
_METRIC = re.compile(rf"({_NUMBER})\s*(mm|cm|m)")
_INCHES = rf"(?:(?P<inches>{_NUMBER})(?:\s+|$|(?=[i\"']))|(?!$))(?:(?P<over>\d+)/(?P<under>\d+))?"
_FEET_AND_INCHES = re.compile(
    rf"(?:(?P<feet>{_NUMBER})\s*(?:feet|foot|ft|')\s*)?"
    rf"(?P<tail>{_INCHES}\s*(?P<unit>inches|inch|in|\"|'')?)?"
)


def read_length_m(text: str) -> float:
    r"""Read a length with its unit, in metres.

    Parameters
    ----------
    text : str
        Metric (``"340 cm"``), or feet and inches (``"11ft 2in"``, ``5' 3"``), inches with a
        fraction or not. After feet, inches need no unit.

    Raises
    ------
    ValueError
        Anything else; says what is allowed.

    References
    ----------
    .. [1] International yard and pound agreement (1959): one inch is 25.4 mm exactly.

    Examples
    --------
    >>> read_length_m("340 cm"), read_length_m("11ft 2in"), read_length_m("5' 3\"")
    (3.4, 3.4036, 1.6002)
    >>> read_length_m("62 1/2 in")
    1.5875
    """
    # Typed quotes may have been turned into primes or curly ones on the way.
    plain = text.strip().lower()
    for sign, stands_for in (("′", "'"), ("’", "'"), ("″", '"'), ("”", '"')):
        plain = plain.replace(sign, stands_for)
    metric = _METRIC.fullmatch(plain)
    if metric is not None:
        return round(float(metric[1]) * _METRIC_M[metric[2]], 7)
    found = _FEET_AND_INCHES.fullmatch(plain)
    if found is None:
        raise ValueError(f"is no length: {_ALLOWED}")
    feet, inches, over, under = (found[name] for name in ("feet", "inches", "over", "under"))
    only_a_number = feet is None and found["unit"] is None
    if only_a_number or (inches is None and over is None and found["unit"] is not None):
        raise ValueError(f"is no length: {_ALLOWED}")
    if under is not None and not 0 < int(over) < int(under):
        raise ValueError(f"has a fraction that is none: {_ALLOWED}")
    fraction = 0.0 if under is None else int(over) / int(under)
    length_m = float(feet or 0) * _FOOT_M + (float(inches or 0) + fraction) * _INCH_M
    return round(length_m, 7)


def feet_text(length_m: float) -> str:
    r"""Return a length in feet and inches, to the nearest eighth of an inch.

    Examples
    --------
    >>> feet_text(3.4036), feet_text(1.5875), feet_text(0.1)
    ('11\' 2"', '5\' 2 1/2"', '3 7/8"')
    """
    eighths = round(length_m / _INCH_M * 8)
    feet, rest = divmod(eighths, 12 * 8)
    inches, part = divmod(rest, 8)
    fraction = {0: "", 2: " 1/4", 4: " 1/2", 6: " 3/4"}.get(part, f" {part}/8")
    lead = f"{feet}' " if feet else ""
    return f'{lead}{inches}{fraction}"'


def _from_text(value: Any) -> Any:
    return read_length_m(value) if isinstance(value, str) else value


Metres = Annotated[float, BeforeValidator(_from_text)]
"""A length in metres that may also be typed as text with a unit."""
