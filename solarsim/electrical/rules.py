"""Published limits and factors, each with its source, and the code's tables."""

from __future__ import annotations

import csv
import functools
from pathlib import Path
from typing import Any, NamedTuple

from solarsim.inputs.files.toml import read_text, read_toml

__all__ = ["Rule", "fuse_sizes_a", "read_table", "rule"]


class Rule(NamedTuple):
    """A number and where it stands."""

    value: float
    source: str


@functools.cache
def rule(name: str) -> Rule:
    """Return one rule of ``rules.toml``.

    Raises
    ------
    KeyError
        No such rule.

    Examples
    --------
    >>> rule("fuse_place_m")
    Rule(value=0.178, source='33 CFR 183.455(b): within 7 inches of the source')
    """
    table = _rules()[name]
    return Rule(float(table["value"]), str(table["source"]))


@functools.cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of one of the room's CSV tables, without the line that names its source."""
    text = read_text(Path(__file__).with_name(f"{name}.csv"), "CSV")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@functools.cache
def fuse_sizes_a() -> tuple[float, ...]:
    """Return the ratings that fuses come in, A, rising."""
    return tuple(float(row["rating_a"]) for row in read_table("fuse_sizes"))


@functools.cache
def _rules() -> dict[str, dict[str, Any]]:
    return read_toml(Path(__file__).with_name("rules.toml"))
