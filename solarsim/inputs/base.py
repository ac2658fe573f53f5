"""The record that all typed-in tables share, and readable messages for what is wrong in them."""

from __future__ import annotations

import difflib
import types
import typing
from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from solarsim.errors import InputError

__all__ = [
    "Record",
    "checked_record",
    "parse_record",
    "plain_value",
    "record_data",
    "record_in",
]

# A year of hourly watts is no reading.
_SHORT = 600


class Record(BaseModel):
    """Frozen, strict table of values that a person types; an unknown key is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    def __repr__(self) -> str:
        text = super().__repr__()
        return text if len(text) <= _SHORT else f"{text[: _SHORT - 4]} ..."


RecordT = TypeVar("RecordT", bound=Record)


def parse_record(model: type[RecordT], data: Mapping[str, Any], *, source: str) -> RecordT:
    """Build a record from plain data, or say in one line per fault what is wrong.

    Parameters
    ----------
    model : type
        The record's class.
    data : mapping
        Tables and values as read from TOML.
    source : str
        The file's name, for the message.

    Raises
    ------
    InputError
        Names the file, the table and field, what was given and what is allowed; an unknown key
        comes with the nearest known one.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        faults = [_describe(model, fault) for fault in error.errors(include_url=False)]
        field, message = faults[0]
        more = tuple(": ".join(x for x in (source, *other) if x) for other in faults[1:])
        raise InputError(message, source=source, field=field, more=more) from None


def checked_record(record: RecordT, *, source: str) -> RecordT:
    """Check a record like a file: a changed copy (`model_copy`) is checked by nobody else.

    Parameters
    ----------
    record : Record
        Any record, however it was made.
    source : str
        What it is, for the message.

    Raises
    ------
    InputError
        As for `parse_record`; the whole record is looked at, also the records in it.
    """
    return parse_record(type(record), record_data(record), source=source)


def record_data(record: Record) -> dict[str, Any]:
    """Return what was given to a record, as plain tables; what was left out stays out."""
    given = record.model_fields_set
    return {name: plain_value(value) for name, value in vars(record).items() if name in given}


def plain_value(value: Any) -> Any:
    """Return a value as plain Python: records as tables, numpy's scalars as numbers and text."""
    if isinstance(value, Record):
        return record_data(value)
    if isinstance(value, list):
        return [plain_value(item) for item in value]
    if isinstance(value, tuple):
        return tuple(plain_value(item) for item in value)
    if isinstance(value, dict):
        return {key: plain_value(item) for key, item in value.items()}
    # Not by numpy's own class: reading a file needs no numpy.
    return value.item() if getattr(value, "ndim", None) == 0 else value


def _describe(model: type[Record], fault: Any) -> tuple[str, str]:
    location: tuple[int | str, ...] = fault["loc"]
    field = ".".join(str(part) for part in location)
    kind = fault["type"]
    if kind == "extra_forbidden":
        known = _known_keys(model, location[:-1])
        near = difflib.get_close_matches(str(location[-1]), known, n=1, cutoff=0.5)
        hint = f"did you mean '{near[0]}'?" if near else f"known here: {', '.join(sorted(known))}"
        return field, f"unknown key; {hint}"
    if kind == "missing":
        return field, "is required and was not given"
    message = str(fault["msg"]).removeprefix("Value error, ").removeprefix("Input ")
    given = fault["input"]
    if isinstance(given, str | int | float | bool) or given is None:
        message = f"got {given!r}; {message}"
    return field, message


def _known_keys(model: type[Record], location: tuple[int | str, ...]) -> list[str]:
    current: Any = model
    for part in location:
        if isinstance(part, int):
            continue
        info = current.model_fields.get(part)
        if info is None:
            return []
        current = record_in(info.annotation)
        if current is None:
            return []
    return list(current.model_fields)


def record_in(annotation: Any) -> type[Record] | None:
    """Return the record that a field's annotation holds, also in a list or an option of it."""
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return annotation
    if isinstance(annotation, types.UnionType) or typing.get_origin(annotation) is not None:
        for inner in typing.get_args(annotation):
            found = record_in(inner)
            if found is not None:
                return found
    return None
