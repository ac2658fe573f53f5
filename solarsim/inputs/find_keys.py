"""Find keys by a table's name, a key's, or a word of what they mean."""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Callable

from solarsim.errors import InputError
from solarsim.inputs.keys import Key, KeyTable, key_tables

__all__ = ["find_keys"]


def find_keys(words: str) -> list[KeyTable]:
    """Return the tables that a table's name, a key or a word is found in, with those keys alone.

    Parameters
    ----------
    words : str
        A table (``"battery"``, ``"[[roof.obstacles]]"``), a key alone or in its table
        (``"transfer_a"``, ``"appliances.kettle.power_w"``), or a part of a key's name or meaning.

    Raises
    ------
    InputError
        Nothing of that name; the nearest names are listed.

    Examples
    --------
    >>> [table.name for table in find_keys("transfer_a")]
    ['inverter']
    """
    word = words.strip().strip("[]").strip().lower()
    tables = key_tables()
    if word:
        for found in (_by_table(word), _by_key(word), _by_meaning(word)):
            if found:
                return found
    known = {name for table in tables for name in (table.name, *table.also)}
    known |= {key.name for table in tables for key in table.keys}
    near = difflib.get_close_matches(word, sorted(known), n=3, cutoff=0.5)
    hint = f"near: {', '.join(near)}" if near else f"tables: {', '.join(t.name for t in tables)}"
    raise InputError(f"got {words!r}; no key or table of that name; {hint}", source="keys")


def _by_table(word: str) -> list[KeyTable]:
    """The table of that name, and those below it."""
    named = [table for table in key_tables() if word in (table.name, *table.also)]
    below = [table for table in key_tables() if table.name.startswith(f"{word}.")]
    return [*named, *(table for table in below if table not in named)] if named else []


def _by_key(word: str) -> list[KeyTable]:
    path, _, name = word.rpartition(".")
    found = _with_keys(lambda key: key.name == name)
    # The name of one appliance, obstacle or array may stand between the table and the key.
    first = path.partition(".")[0]
    tables = {table.name.partition(".")[0] for table in key_tables()}
    if first not in tables:
        return found
    like = {table.like for table in key_tables() if table.name == first}
    own = [table for table in found if table.name.partition(".")[0] == first]
    return own or [table for table in found if table.name in like]


def _by_meaning(word: str) -> list[KeyTable]:
    return _with_keys(lambda key: word in key.name) or _with_keys(
        lambda key: word in key.meaning.lower()
    )


def _with_keys(wanted: Callable[[Key], bool]) -> list[KeyTable]:
    found = []
    for table in key_tables():
        keys = tuple(key for key in table.keys if wanted(key))
        if keys:
            found.append(dataclasses.replace(table, keys=keys))
    return found
