"""One input: its words, what its record allows, and its value in a design."""

from __future__ import annotations

import dataclasses
import types
import typing
from typing import Any, Literal

import annotated_types

from solarsim.app.draft import Draft
from solarsim.inputs.base import Record, record_in
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van

__all__ = ["PROFILE_TABLES", "Field", "Limits", "limits_of", "value_of"]

PROFILE_TABLES = ("profile", "cabin")


@dataclasses.dataclass(frozen=True)
class Field:
    """One input.

    Attributes
    ----------
    path : str
        ``"table.field"`` of the van's file or the profile's, or ``"table.table.field"``.
    group : str
        Key of `solarsim.app.widgets.fields.GROUPS`.
    label, help : str
        What it is called; what it means and what is usual.
    places : int
        Decimals of a number.
    percent : bool
        Whether a share is shown in percent.
    optional : bool
        Whether it may be left empty.
    empty : str
        What an empty input says.
    """

    path: str
    group: str
    label: str
    help: str
    places: int = 0
    percent: bool = False
    optional: bool = False
    empty: str = "left open"


@dataclasses.dataclass(frozen=True)
class Limits:
    """What a record allows: least and most (None where open), choices, and the kind of value."""

    least: Any
    most: Any
    choices: tuple[Any, ...]
    kind: type


def limits_of(path: str) -> Limits:
    """Return what the record allows for a field's path."""
    *tables, name = path.split(".")
    record: type[Record] = Profile if tables[0] in PROFILE_TABLES else Van
    for table in tables:
        inner = record_in(record.model_fields[table].annotation)
        assert inner is not None
        record = inner
    info = record.model_fields[name]
    annotation, metadata = info.annotation, list(info.metadata)
    if isinstance(annotation, types.UnionType) or typing.get_origin(annotation) is typing.Union:
        annotation = next(a for a in typing.get_args(annotation) if a is not type(None))
    if typing.get_origin(annotation) is typing.Annotated:
        annotation, *more = typing.get_args(annotation)
        metadata += more
    choices = typing.get_args(annotation) if typing.get_origin(annotation) is Literal else ()
    least: Any = None
    most: Any = None
    for rule in _flat(metadata):
        if isinstance(rule, annotated_types.Ge):
            least = rule.ge
        elif isinstance(rule, annotated_types.Gt):
            least = rule.gt
        elif isinstance(rule, annotated_types.Le):
            most = rule.le
        elif isinstance(rule, annotated_types.Lt):
            most = rule.lt
    kind = type(choices[0]) if choices else typing.cast("type", annotation)
    return Limits(least, most, choices, kind)


def value_of(design: Draft, path: str) -> Any:
    """Return a field's value; None also where its table is not aboard."""
    tables = path.split(".")
    found: Any = design.profile if tables[0] in PROFILE_TABLES else design.van
    for name in tables:
        found = None if found is None else getattr(found, name)
    return found


def _flat(metadata: list[Any]) -> list[Any]:
    found: list[Any] = []
    for rule in metadata:
        found += getattr(rule, "metadata", None) or [rule]
    return found
