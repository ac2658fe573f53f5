"""Settings that reach one appliance of a list by its name or position."""

from __future__ import annotations

import dataclasses
import difflib
from typing import Any

from solarsim.errors import InputError
from solarsim.spec.read import apply_settings

__all__ = ["AppliedSettings", "appliance_settings"]

_LIST = "appliances"


@dataclasses.dataclass(frozen=True)
class AppliedSettings:
    """Data with the appliances' settings put in, and the settings of other tables."""

    data: dict[str, Any]
    rest: list[str]


def appliance_settings(
    data: dict[str, Any], settings: list[str], *, source: str
) -> AppliedSettings:
    """Put each ``appliances.WHICH.FIELD=VALUE`` into the table that WHICH names.

    Parameters
    ----------
    data : dict
        Tables as read from TOML; ``data["appliances"]`` is a list of tables with names.
    settings : list of str
        All settings; those of other tables come back as they are.
    source : str
        The file's name, for messages.

    Raises
    ------
    InputError
        No appliance of that name or position; the nearest names are listed.

    Examples
    --------
    >>> data = {"appliances": [{"name": "kettle", "power_w": 1500.0}]}
    >>> appliance_settings(data, ["appliances.kettle.power_w=1000"], source="loads.toml").data
    {'appliances': [{'name': 'kettle', 'power_w': 1000}]}
    """
    tables = data.get(_LIST)
    mine = [setting for setting in settings if setting.partition(".")[0].strip() == _LIST]
    if not isinstance(tables, list) or not mine:
        return AppliedSettings(data=data, rest=settings)
    changed = list(tables)
    for setting in mine:
        path, equals, value = setting.partition("=")
        which, dot, field = path.partition(".")[2].rpartition(".")
        if not (equals and dot):
            message = f"must look like {_LIST}.NAME.FIELD=VALUE"
            raise InputError(message, source=f"--set {setting}")
        number = _position(which.strip(), tables, setting=setting)
        changed[number] = apply_settings(changed[number], [f"{field}={value}"], source=source)
    rest = [setting for setting in settings if setting not in mine]
    return AppliedSettings(data=data | {_LIST: changed}, rest=rest)


def _position(which: str, tables: list[Any], *, setting: str) -> int:
    names = [str(table.get("name", "")) if isinstance(table, dict) else "" for table in tables]
    if which in names:
        return names.index(which)
    if which.isdecimal() and int(which) < len(tables):
        return int(which)
    near = difflib.get_close_matches(which, names, n=3, cutoff=0.4) or names
    hint = ", ".join(f"'{name}'" for name in near)
    raise InputError(f"no appliance '{which}'; known: {hint}", source=f"--set {setting}")
