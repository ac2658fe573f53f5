"""What must hold of the figures of any answer: in its document, and in its text beside it."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import Any

import pytest
from rich.console import Console

__all__ = ["Table", "assert_adds_up", "assert_rows_are", "cells_of", "tables_of", "text_of"]

LEDGER = {"solar_available", "solar_used", "load_dc", "battery_loss", "stored_change", "unserved"}
# More than all of a bank may come in a day.
PAST_ONE = {"sun_june_share", "sun_december_share", "drive_hour_share", "shore_night_share"}
# Changes of a chance lie on both sides of nothing, and a loss of light may be more than all of it.
SIGNED = {"chance_gained"}
PARTS = ("p10", "p50", "p90")
HAIR = 1e-9
ERRORS = {*PARTS, "mean", "chance_lasts"}
Table = tuple[str, list[str], list[list[str]]]


def assert_adds_up(document: Any) -> int:
    """Check every dictionary of a document by what its keys mean; return how many totals it had."""
    found = 0
    for part in _dictionaries(document):
        if part.keys() >= LEDGER:
            _assert_ledger(part)
            found += 3
        # Errors of quantiles are in no order.
        if part.keys() != ERRORS and all(part.get(key) is not None for key in PARTS):
            bands = low, middle, high = [part[key] for key in PARTS]
            if not isinstance(low, list):
                # Quantiles of equal days may differ in the last bit.
                assert low <= middle + HAIR
                assert middle <= high + HAIR
                assert high <= part.get("follow_days", math.inf)
                found += 1
            else:
                assert all(a <= b + HAIR and b <= c + HAIR for a, b, c in zip(*bands, strict=True))
                found += 1
        for key, value in part.items():
            found += _assert_share(key, value)
        months = part.get("months")
        if isinstance(months, list) and len(months) == 12 and isinstance(months[0], dict):
            assert [row["month"] for row in months] == list(range(1, 13))
            found += 1
    return found


def _assert_ledger(wh: dict[str, float]) -> None:
    size = max(map(abs, wh.values())) + 1.0
    parts = ("solar_used", "solar_clipped", "solar_refused_full", "solar_refused_cold")
    assert sum(wh[key] for key in parts) == pytest.approx(wh["solar_available"], abs=1e-7 * size)
    came = wh["solar_used"] + wh["alternator"] + wh["shore"]
    went = ("load_dc", "load_ac", "inverter_loss", "battery_loss", "stored_change")
    assert sum(wh[key] for key in went) == pytest.approx(came, abs=1e-7 * size)
    assert all(value >= -1e-7 * size for key, value in wh.items() if key != "stored_change")


def _assert_share(key: str, value: Any) -> int:
    """A share, a chance or a state of charge lies between nothing and all of it."""
    if not re.search(r"(_share|_soc|chance\w*|share_by_month)$", key):
        return 0
    least = -1.0 if key in SIGNED else 0.0
    most = math.inf if key in PAST_ONE else 1.0
    values = [one for one in _numbers(value) if one is not None]
    assert all(least <= one <= most + 1e-12 for one in values), key
    return 1


def _numbers(value: Any) -> Iterator[float | None]:
    if isinstance(value, list):
        for one in value:
            yield from _numbers(one)
    elif isinstance(value, int | float):
        yield float(value)


def _dictionaries(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        yield value
        value = list(value.values())
    if isinstance(value, list):
        for one in value:
            yield from _dictionaries(one)


# --- text ---


def text_of(printer: Any, *answer: Any, **options: Any) -> str:
    out = io.StringIO()
    printer(*answer, Console(file=out, width=240), **options)
    return out.getvalue()


def tables_of(text: str) -> dict[str, Table]:
    """Every table of a page by its title: heading and rows, as they are read."""
    tables: dict[str, Table] = {}
    lines = text.splitlines()
    for at, line in enumerate(lines):
        if not line.startswith("┏"):
            continue
        title = lines[at - 1].strip()
        end = next(n for n in range(at, len(lines)) if lines[n].startswith("└"))
        rows = [cells_of(row) for row in lines[at + 1 : end] if row[:1] in "┃│"]
        tables[title] = (title, rows[0], rows[1:])
    return tables


def cells_of(line: str) -> list[str]:
    return [cell.strip() for cell in re.split("[┃│]", line)[1:-1]]


def assert_rows_are(table: Table, records: list[dict[str, Any]], **keys: str) -> int:
    """Check each column of a text table against its key of the records, rounded as it is shown."""
    _, head, rows = table
    assert len(rows) == len(records), table[0]
    for name, key in keys.items():
        column = head.index(name.replace("_", " "))
        for row, record in zip(rows, records, strict=True):
            assert_shown(row[column], record[key], horizon=record.get("follow_days", 30))
    return len(keys) * len(rows)


def assert_shown(cell: str, value: Any, *, horizon: int) -> None:
    """A cell shows a value: as text, rounded to its decimals, in percent, or as followed."""
    if isinstance(value, str) or value is None:
        assert cell == (value or ""), (cell, value)
        return
    if cell.endswith("+"):
        assert value >= int(cell[:-1]) == horizon, (cell, value)
        return
    if cell in {"over 99 %", "under 1 %"}:
        assert 0.995 <= value < 1.0 if cell.startswith("over") else 0.0 < value < 0.005
        return
    number = re.match(r"[-+]?[\d,]+(\.\d+)?", cell)
    assert number is not None, (cell, value)
    shown = float(number[0].replace(",", ""))
    # A share stands in percent or in points.
    of = 100.0 * value if cell.endswith(("%", "points", "point")) else value
    decimals = len(number[1] or ".") - 1
    assert shown == pytest.approx(of, abs=0.5 * 10.0**-decimals + 1e-9), (cell, value)
