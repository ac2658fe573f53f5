"""Settings that reach one table of a list by its name or position."""

from __future__ import annotations

import dataclasses
import difflib
from typing import Any

from solarsim.errors import InputError
from solarsim.inputs.files.toml import apply_settings

__all__ = ["AppliedSettings", "list_settings"]


@dataclasses.dataclass(frozen=True)
class AppliedSettings:
    """Data with the list's settings put in, and the settings of other tables."""

    data: dict[str, Any]
    rest: list[str]


def list_settings(
    data: dict[str, Any], settings: list[str], *, table: str, source: str
) -> AppliedSettings:
    """Put each ``TABLE.WHICH.FIELD=VALUE`` of one list into the table that WHICH names.

    Parameters
    ----------
    data : dict
        Tables as read from TOML; ``data[table]`` is a list of tables with names.
    settings : list of str
        All settings; those of other tables come back as they are.
    table : str
        The list's name, such as ``"appliances"``.
    source : str
        The file's name, for messages.

    Raises
    ------
    InputError
        Nothing of that name or position; the nearest names are listed.

    Examples
    --------
    >>> data = {"appliances": [{"name": "kettle", "power_w": 1500.0}]}
    >>> setting = "appliances.kettle.power_w=1000"
    >>> list_settings(data, [setting], table="appliances", source="loads.toml").data
    {'appliances': [{'name': 'kettle', 'power_w': 1000}]}
    """
    tables = data.get(table)
    mine = [setting for setting in settings if setting.partition(".")[0].strip() == table]
    if not isinstance(tables, list) or not mine:
        return AppliedSettings(data=data, rest=settings)
    changed = list(tables)
    for setting in mine:
        path, equals, value = setting.partition("=")
        keys = path.split(".")[1:]
        if not equals or len(keys) < 2:
            message = f"must look like {table}.NAME.FIELD=VALUE"
            raise InputError(message, source=f"--set {setting}")
        # A name may hold points, and a field may lie in a table of its own.
        splits = [
            (".".join(keys[:at]).strip(), ".".join(keys[at:])) for at in range(len(keys) - 1, 0, -1)
        ]
        which, field = next((s for s in splits if _found(s[0], tables) is not None), splits[0])
        number = _position(which, tables, table=table, setting=setting)
        changed[number] = apply_settings(changed[number], [f"{field}={value}"], source=source)
    rest = [setting for setting in settings if setting not in mine]
    return AppliedSettings(data=data | {table: changed}, rest=rest)


def _found(which: str, tables: list[Any]) -> int | None:
    names = _names(tables)
    if which in names:
        return names.index(which)
    return int(which) if which.isdecimal() and int(which) < len(tables) else None


def _names(tables: list[Any]) -> list[str]:
    return [str(each.get("name", "")) if isinstance(each, dict) else "" for each in tables]


def _position(which: str, tables: list[Any], *, table: str, setting: str) -> int:
    number = _found(which, tables)
    if number is not None:
        return number
    names = _names(tables)
    near = difflib.get_close_matches(which, names, n=3, cutoff=0.4) or names
    hint = ", ".join(f"'{name}'" for name in near)
    message = f"no {table.removesuffix('s')} '{which}'; known: {hint}"
    raise InputError(message, source=f"--set {setting}")
