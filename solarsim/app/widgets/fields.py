"""All inputs, and the group that each belongs to.

Limits and choices come from the records; here and in the lists stand only words.
"""

from __future__ import annotations

from solarsim.app.widgets.field import Field
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.app.widgets.fields_in_views import DATASHEETS, RATINGS, ROOF, RUNS

__all__ = ["FIELDS", "GROUPS", "field_label", "group_of"]

GROUPS = {
    "where": "Where and when",
    "roof": "Roof and panels",
    "bank": "Bank and charging",
    "people": "Who is aboard",
}
_TABLES = {
    "stay": "where",
    "weather": "where",
    "horizon": "where",
    "place": "where",
    "panels": "roof",
    "arrays": "roof",
    "controller": "roof",
    "roof": "roof",
    "van": "bank",
    "battery": "bank",
    "inverter": "bank",
    "wiring": "bank",
    "alternator": "bank",
    "shore": "bank",
    "cabin": "people",
    "appliances": "people",
    "profile": "people",
    "hourly": "people",
}
FIELDS: tuple[Field, ...] = (*BESIDE, *DATASHEETS["panels"], *DATASHEETS["battery"])
FIELDS += (*RATINGS, *RUNS, *ROOF)

_LABELS = {field.path: field.label for field in FIELDS}


def field_label(path: str) -> str:
    """Return what a field is called on the page, or its name in the file."""
    return _LABELS.get(path, path)


def group_of(text: str) -> str | None:
    """Return the group that a field, or the first field named in a message, belongs to.

    Examples
    --------
    >>> group_of("battery.units (3) must be a multiple of 2")
    'bank'
    """
    words = text.replace("(", " ").replace("[", " ").replace("'", " ").split()
    for word in words:
        group = _TABLES.get(word.partition(".")[0].rstrip(":,;]"))
        if group is not None and ("." in word or len(words) == 1):
            return group
    return None
