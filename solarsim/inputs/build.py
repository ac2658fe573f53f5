"""Vans and profiles from keywords: parts filled in, everything checked as in a file."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from solarsim.errors import InputError
from solarsim.inputs.base import plain_value
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.inputs.van import Van

__all__ = ["built_profile", "built_van"]

_VAN, _PROFILE = "Van.build", "Profile.build"
# Tables that a part's name alone can stand for.
_BY_PART = ("panels", "battery")

Short = Mapping[str, Mapping[str, Any]]


def built_van(tables: Mapping[str, Any], short: Short) -> Van:
    """Build a van from tables and from fields that were keywords of their own.

    Parameters
    ----------
    tables : mapping
        By name, as in a van's file; panels and battery may be a part's name.
    short : mapping
        By table: fields, None where left out.

    Raises
    ------
    InputError
        As for `Van.build`.
    """
    named = {
        name: {"part": table} if name in _BY_PART and isinstance(table, str) else table
        for name, table in tables.items()
    }
    data = _joined(named, short, known=Van.model_fields, source=_VAN)
    stay = data.get("stay")
    if isinstance(stay, dict) and isinstance(stay.get("place"), list):
        stay["place"] = _pair_text(stay["place"])
    return van_from_data(data, source=_VAN)


def built_profile(appliances: Any, tables: Mapping[str, Any], short: Short) -> Profile:
    """Build a profile from appliances, tables, and fields that were keywords of their own.

    Raises
    ------
    InputError
        As for `Profile.build`.
    """
    data = _joined(tables, short, known=("cabin", "hourly", "habits"), source=_PROFILE)
    return profile_from_data(data | {"appliances": _appliances(appliances)}, source=_PROFILE)


def _joined(
    tables: Mapping[str, Any], short: Short, *, known: Iterable[str], source: str
) -> dict[str, Any]:
    """Tables with the short fields in them."""
    data: dict[str, Any] = {}
    whose = next((fields for fields in short.values() if "name" in fields), {})
    if whose.get("name") is None:
        raise InputError("is required and was not given", source=source, field="name")
    for name, table in tables.items():
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
            hint = f"did you mean '{near[0]}'?" if near else f"known: {', '.join(known)}"
            raise InputError(f"unknown keyword; {hint}", source=source, field=name)
        if table is not None:
            data[name] = _plain(table)
    for name, fields in short.items():
        for field, value in fields.items():
            if value is None:
                continue
            table = data.setdefault(name, {})
            if not isinstance(table, dict):
                message = f"got {type(table).__name__}; must be a table"
                raise InputError(message, source=source, field=name)
            if field in table:
                message = "is given twice, in its table and as a keyword"
                raise InputError(message, source=source, field=f"{name}.{field}")
            table[field] = _plain(value)
    return data


def _appliances(given: Any) -> list[Any]:
    if isinstance(given, Mapping):
        return [_named(name, value) for name, value in given.items()]
    if isinstance(given, str | bytes) or not isinstance(given, Iterable):
        message = (
            f"got {given!r}; must be a list of the library's names and of tables, or a mapping "
            "from names to them"
        )
        raise InputError(message, source=_PROFILE, field="appliances")
    return [{"part": each} if isinstance(each, str) else _plain(each) for each in given]


def _named(name: Any, value: Any) -> dict[str, Any]:
    table = {"part": value} if isinstance(value, str) else _plain(value)
    if not isinstance(table, dict):
        message = f"got {value!r}; must be a table, or the name of a part of the library"
        raise InputError(message, source=_PROFILE, field=f"appliances.{name}")
    return {"name": name} | table


def _pair_text(pair: list[Any]) -> str:
    if len(pair) != 2 or not all(type(degrees) in {int, float} for degrees in pair):
        message = f"got {pair!r}; must be a town, 'latitude, longitude', or the two as a pair"
        raise InputError(message, source=_VAN, field="stay.place")
    return ", ".join(f"{degrees:.6f}" for degrees in pair)


def _plain(value: Any) -> Any:
    """As TOML would give it: paths as text, other mappings as tables, tuples as lists."""
    value = plain_value(value)
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    return [_plain(item) for item in value] if isinstance(value, list | tuple) else value
