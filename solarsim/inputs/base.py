"""The record that all typed-in tables share, and readable messages for what is wrong in them."""

from __future__ import annotations

import difflib
import types
import typing
from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from solarsim.errors import InputError

__all__ = ["Record", "parse_record"]


class Record(BaseModel):
    """Frozen, strict table of values that a person types; an unknown key is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


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
        for other_field, other_message in faults[1:]:
            message += f"\n{source}: {other_field + ': ' if other_field else ''}{other_message}"
        raise InputError(message, source=source, field=field) from None


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
        current = _record_in(info.annotation)
        if current is None:
            return []
    return list(current.model_fields)


def _record_in(annotation: Any) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if isinstance(annotation, types.UnionType) or typing.get_origin(annotation) is not None:
        for inner in typing.get_args(annotation):
            found = _record_in(inner)
            if found is not None:
                return found
    return None
