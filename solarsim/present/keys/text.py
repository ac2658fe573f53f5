"""The keys of the files on a terminal, and as a document."""

from __future__ import annotations

import dataclasses
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from solarsim.inputs.key_limits import default_text
from solarsim.inputs.keys import Key, KeyTable, key_tables
from solarsim.inputs.parts import part_tables

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["key_facts", "keys_document", "part_example", "print_key_overview", "print_keys"]

# A part of each library, as an example of what one fills in.
_EXAMPLES = {
    "panels": "200 W rigid",
    "batteries": "100 Ah LFP self-heating",
    "appliances": "compressor fridge 65 L",
}
_NOT_FILLED = ("name", "source")
_FILES = {
    "van": "a van's file",
    "profile": "a load profile",
    "trip": "a trip's file",
    "prices": "a file of prices",
    "interview": "a client's answers",
}


def key_facts(key: Key) -> str:
    """Return a key's unit, limits and default in one line.

    Examples
    --------
    >>> from solarsim.inputs.keys import key_tables
    >>> units = next(k for t in key_tables() if t.name == "battery" for k in t.keys
    ...              if k.name == "unit_capacity_ah")
    >>> key_facts(units)
    'Ah; above 0, up to 2000; required, or from a part'
    """
    default = f"default {key.default}" if key.default else ""
    if key.required:
        default = f"required, or {key.given_by}" if key.given_by else "required"
    return "; ".join(fact for fact in (key.unit, key.allowed, default) if fact)


def part_example(kind: str) -> str:
    """Return what one part of a library fills in.

    Examples
    --------
    >>> part_example("batteries")[:76]
    'For example, `part = "100 Ah LFP self-heating"` fills in `chemistry = "lfp",'
    """
    name = _EXAMPLES[kind]
    part = part_tables(kind)[name]
    filled = (f"{key} = {default_text(part[key])}" for key in part if key not in _NOT_FILLED)
    return f'For example, `part = "{name}"` fills in `{", ".join(filled)}`.'


def keys_document(tables: Sequence[KeyTable]) -> dict[str, Any]:
    """Return tables and keys as plain data."""
    return {"schema": 1, "tables": [dataclasses.asdict(table) for table in tables]}


def print_key_overview(console: Console) -> None:
    """Print every table with the names of its keys."""
    file = ""
    for table in key_tables():
        if table.file != file:
            file = table.file
            _say(console, f"Tables of {_FILES[file]}", style="bold")
        names = ", ".join(key.name for key in table.keys)
        if table.like:
            names = f"{names}; and every key of [{table.like}]" if names else f"as [{table.like}]"
        for header in (table.header, *(f"[{other}]" for other in table.also)):
            _say(console, header, indent=2)
        _say(console, names, indent=6)
    _say(console, "`solarsim keys battery` tells each key of a table; so does a key or a word.")


def print_keys(tables: Sequence[KeyTable], console: Console) -> None:
    """Print tables and what each of their keys means."""
    whole = {table.name: table for table in key_tables()}
    for number, table in enumerate(tables):
        if number:
            _say(console, "")
        need = ", required" if table.required else ""
        _say(console, f"{table.header} in {_FILES[table.file]}{need}", style="bold")
        if table == whole[table.name]:
            for line in table.meaning.splitlines():
                _say(console, line, indent=2)
        for key in table.keys:
            _say(console, f"{key.name}: {key_facts(key)}", indent=2, style="bold")
            _say(console, key.meaning, indent=6)
        if table.like:
            _say(console, f"and every key of [{table.like}]", indent=2)
        elif table.part_kind and table == whole[table.name]:
            _say(console, part_example(table.part_kind), indent=2)


def _say(console: Console, text: str, *, indent: int = 0, style: str = "") -> None:
    """Print a line or more of them, none longer than the terminal."""
    begin = " " * indent
    further = begin + ("  " if text.startswith(("* ", "  ")) or style else "")
    lines = textwrap.wrap(
        text,
        min(console.width, 100),
        initial_indent=begin,
        subsequent_indent=further,
        break_on_hyphens=False,
    )
    for line in lines or [""]:
        console.print(line, style=style, markup=False, highlight=False, soft_wrap=True)
