"""Every key of the files that people type, gathered from the records.

What a key means stands below it in its record, as text; its limits and default are the record's
own, so that a list of keys cannot say something else than what a file is held to.
"""

from __future__ import annotations

import ast
import dataclasses
import functools
import inspect
import itertools
import re
import textwrap
from collections.abc import Iterator

from solarsim.inputs.base import Record, record_in
from solarsim.inputs.interview import Interview
from solarsim.inputs.key_limits import allowed_text, default_text, unit_of
from solarsim.inputs.parts import part_tables
from solarsim.inputs.prices import Prices
from solarsim.inputs.profile import Profile
from solarsim.inputs.trip import Trip
from solarsim.inputs.van import Van

__all__ = ["Key", "KeyTable", "key_tables"]

# Library of parts that a table's `part` names.
_PART_KINDS = {
    "panels": "panels",
    "arrays": "panels",
    "battery": "batteries",
    "appliances": "appliances",
}
# What gives a required key besides the file itself.
_GIVEN_BY = {
    "roof.length_m": "from a template or an outline",
    "roof.width_m": "from a template or an outline",
    "appliances.name": "from a part",
}


@dataclasses.dataclass(frozen=True)
class Key:
    """One key of a file.

    Attributes
    ----------
    name : str
        As it is typed.
    unit : str
        Empty where there is none.
    default : str
        As it is typed; empty where nothing stands in for a key that is left out.
    required : bool
        Whether a file must give it, or what `given_by` names.
    allowed : str
        Limits or values.
    meaning : str
        One or two plain sentences.
    given_by : str
        What fills it in besides the file, such as a part of the library; empty where nothing does.
    """

    name: str
    unit: str
    default: str
    required: bool
    allowed: str
    meaning: str
    given_by: str = ""


@dataclasses.dataclass(frozen=True)
class KeyTable:
    """One table of a file.

    Attributes
    ----------
    name : str
        Such as ``"roof.obstacles"``.
    file : str
        ``"van"``, ``"profile"``, ``"trip"``, ``"prices"`` or ``"interview"``.
    required : bool
        Whether every file must have it.
    repeats : bool
        Whether it may stand there several times, ``[[roof.obstacles]]``.
    also : tuple of str
        Further tables with the same keys.
    meaning : str
        Paragraphs, separated by empty lines.
    keys : tuple of Key
        Its own keys.
    like : str
        Table whose keys it has besides; empty where there is none.
    part_kind : str
        Library that its ``part`` names; empty where there is none.
    """

    name: str
    file: str
    required: bool
    repeats: bool
    also: tuple[str, ...]
    meaning: str
    keys: tuple[Key, ...]
    like: str = ""
    part_kind: str = ""

    @property
    def header(self) -> str:
        """How the table is begun in a file."""
        return f"[[{self.name}]]" if self.repeats else f"[{self.name}]"


@functools.cache
def key_tables() -> tuple[KeyTable, ...]:
    """Return every table of a van's file, then of profiles, trips, prices and interviews."""
    files: tuple[tuple[type[Record], str], ...] = (
        *((Van, "van"), (Profile, "profile"), (Trip, "trip")),
        (Prices, "prices"),
        (Interview, "interview"),
    )
    return tuple(table for root, file in files for table in _tables(root, file))


def _tables(root: type[Record], file: str) -> Iterator[KeyTable]:
    homes: dict[type[Record], str] = {}
    for name, kind, _, _ in _records(root, ""):
        # What a further array has besides is told where the van's own is.
        if kind not in homes or homes[kind].startswith("arrays."):
            homes[kind] = name
    for name, kind, repeats, meanings in _records(root, ""):
        at_home = homes[kind] == name
        others = kind.__mro__[1:] if at_home else kind.__mro__
        like = next((homes[base] for base in others if base in homes), "")
        own = list(inspect.get_annotations(kind)) if at_home else []
        part_kind = _PART_KINDS.get(name, "")
        about = [_listed(meanings)] if len(meanings) > 1 else []
        about.append(inspect.getdoc(kind) or "" if own else meanings[name])
        yield KeyTable(
            name=name,
            file=file,
            required="." not in name and root.model_fields[name].is_required(),
            repeats=repeats,
            also=tuple(other for other in meanings if other != name),
            meaning="\n\n".join(map(_one_line_each, about)),
            keys=tuple(_keys(kind, own, name)),
            like=like,
            part_kind=part_kind,
        )


def _one_line_each(text: str) -> str:
    """A docstring with each paragraph and each item of a list on one line."""
    text = re.sub(r"\n(?!\n|\* )(?<!\n\n)\s*", " ", text.replace("``", "`"))
    return re.sub(r" +\n", "\n", text)


def _listed(meanings: dict[str, str]) -> str:
    return "\n".join(f"* `{name}`: {meaning}" for name, meaning in meanings.items())


def _records(
    kind: type[Record], path: str
) -> Iterator[tuple[str, type[Record], bool, dict[str, str]]]:
    """Tables below a record in the order of its keys, alike ones of one record as one."""
    meanings = _meanings(kind)
    inner = {name: record_in(field.annotation) for name, field in kind.model_fields.items()}
    done: set[str] = set()
    for name, found in inner.items():
        if found is None or name in done:
            continue
        alike = [other for other, record in inner.items() if record is found]
        done |= set(alike)
        repeats = "tuple[" in str(kind.model_fields[name].annotation)
        yield path + name, found, repeats, {path + other: meanings[other] for other in alike}
        yield from _records(found, f"{path}{name}.")


def _keys(kind: type[Record], names: list[str], table: str) -> Iterator[Key]:
    meanings = _meanings(kind)
    properties = kind.model_json_schema()["properties"]
    parts = part_tables(_PART_KINDS[table]).values() if table in _PART_KINDS else ()
    filled = {name for part in parts for name in part} - {"name", "source"}
    for name in names:
        field = kind.model_fields[name]
        inner = record_in(field.annotation)
        yield Key(
            name=name,
            unit=unit_of(name),
            default="" if inner or field.is_required() else default_text(field.default),
            required=field.is_required(),
            allowed=allowed_text(properties[name]) if inner is None else "a table of its own",
            meaning=meanings[name],
            given_by="from a part" if name in filled else _GIVEN_BY.get(f"{table}.{name}", ""),
        )


@functools.cache
def _meanings(kind: type[Record]) -> dict[str, str]:
    """The text below each key of a record, its bases' too."""
    found: dict[str, str] = {}
    for base in reversed(kind.__mro__):
        if not issubclass(base, Record) or base is Record:
            continue
        body = ast.parse(textwrap.dedent(inspect.getsource(base))).body[0]
        assert isinstance(body, ast.ClassDef)
        for field, text in itertools.pairwise(body.body):
            if (
                isinstance(field, ast.AnnAssign)
                and isinstance(field.target, ast.Name)
                and isinstance(text, ast.Expr)
                and isinstance(text.value, ast.Constant)
            ):
                found[field.target.id] = " ".join(str(text.value.value).split())
    return found
