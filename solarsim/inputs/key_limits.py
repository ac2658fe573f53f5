"""What a key allows, its default and its unit, in a builder's words."""

from __future__ import annotations

import datetime as dt
from typing import Any

__all__ = ["allowed_text", "default_text", "unit_of"]

# Endings of names, the longest first where one ends like another.
_UNITS = {
    "share_per_year": "share a year",
    "hours_per_day": "h a day",
    "minutes_per_day": "min a day",
    "l_per_day": "L a day",
    "wh_per_day": "Wh a day",
    "starts_per_hour": "an hour",
    "pct_k": "% per K",
    "m3_h": "m3/h",
    "wh_k": "Wh/K",
    "w_k": "W/K",
    "m2": "m2",
    "share": "share",
    "efficiency": "share",
    "soc": "share",
    "chance": "share",
    "minutes": "min",
    "years": "years",
    "days": "days",
    "hour": "o'clock",
    "deg": "degrees",
    "ah": "Ah",
    "wh": "Wh",
    "w": "W",
    "v": "V",
    "a": "A",
    "h": "h",
    "c": "C",
    "m": "m",
    "per_kg": "your currency a kg",
    "kg": "kg",
    "per_kwh": "L or kg a kWh",
    "per_l": "your currency a L",
    "l": "L",
    "cost": "your currency",
}
_CLOCK = {"windows", "home", "night"}


def unit_of(name: str) -> str:
    """Return a key's unit by its name; empty where it has none.

    Examples
    --------
    >>> unit_of("unit_capacity_ah"), unit_of("beta_voc_pct_k"), unit_of("chemistry")
    ('Ah', '% per K', '')
    """
    if name in _CLOCK:
        return "o'clock"
    ends = (unit for end, unit in _UNITS.items() if name == end or name.endswith(f"_{end}"))
    return next(ends, "")


def default_text(value: Any) -> str:
    """Return a default as it is typed; empty where there is none.

    Examples
    --------
    >>> default_text(0.05), default_text("mppt"), default_text(((0.0, 24.0),)), default_text(None)
    ('0.05', '"mppt"', '[[0, 24]]', '')
    """
    return "" if value is None or value in ("", ()) else _typed(value)


def _typed(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_typed, value))}]"
    if isinstance(value, dt.date):
        return value.isoformat()
    return f"{value:g}"


def allowed_text(schema: dict[str, Any]) -> str:
    """Return what a property of a JSON schema allows.

    Examples
    --------
    >>> allowed_text({"type": "number", "exclusiveMinimum": 0.0, "maximum": 20.0})
    'above 0, up to 20'
    >>> allowed_text({"anyOf": [{"enum": ["lfp", "agm"]}, {"type": "null"}]})
    '"lfp" or "agm"'
    >>> allowed_text({"type": "integer", "minimum": 1, "maximum": 12})
    'a whole number, 1 to 12'
    """
    if "anyOf" in schema:
        schema = next(each for each in schema["anyOf"] if each.get("type") != "null")
    if "enum" in schema:
        values = [_typed(value) for value in schema["enum"]]
        return f"{', '.join(values[:-1])} or {values[-1]}"
    kind = schema["type"]
    if kind == "boolean":
        return "true or false"
    if kind == "string":
        return _text(schema)
    if kind == "array":
        return _list(schema)
    limits = _limits(schema)
    if kind == "integer":
        return f"a whole number, {limits}" if limits else "a whole number"
    return limits or "a number"


def _text(schema: dict[str, Any]) -> str:
    if schema.get("format") == "date":
        return "a date, such as 2026-07-01"
    most = schema.get("maxLength")
    return "text" if most is None else f"text of up to {most} characters"


def _list(schema: dict[str, Any]) -> str:
    if "prefixItems" in schema:
        return f"[from, to], each {_limits(schema['prefixItems'][-1])}"
    return f"a list of {allowed_text(schema['items'])}"


def _limits(schema: dict[str, Any]) -> str:
    # Lengths that may be typed as text carry their limits under the short names.
    least, most = schema.get("minimum", schema.get("ge")), schema.get("maximum", schema.get("le"))
    above = schema.get("exclusiveMinimum", schema.get("gt"))
    below = schema.get("exclusiveMaximum", schema.get("lt"))
    if least is not None and most is not None:
        return f"{_number(least)} to {_number(most)}"
    if least is not None and below is not None:
        return f"{_number(least)} to below {_number(below)}"
    words = {"above {}": above, "below {}": below, "{} or more": least, "up to {}": most}
    return ", ".join(
        text.format(_number(value)) for text, value in words.items() if value is not None
    )


def _number(value: float) -> str:
    """A limit as text; only large ones have their thousands set apart, years have not."""
    return f"{value:,g}" if abs(value) >= 10_000 else f"{value:g}"
