"""Stamps of a table as moments in UTC, whatever clock they were written by."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo

import numpy as np
import pandas as pd

from solarsim.errors import InputError
from solarsim.weather.readers.tables.text import TextTable, numbers

__all__ = ["fixed_offset_h", "table_moments", "zone_of"]

_PARTS = ("year", "month", "day", "hour", "minute")
# Written dates by what they look like; where day and month cannot be told, both are tried.
_FORMATS = (
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%d %H:%M",
    "%Y/%m/%d %H:%M:%S",
    "%Y/%m/%d %H:%M",
    "%d.%m.%Y %H:%M:%S",
    "%d.%m.%Y %H:%M",
    "%d/%m/%Y %H:%M:%S",
    "%m/%d/%Y %H:%M:%S",
    "%d/%m/%Y %H:%M",
    "%m/%d/%Y %H:%M",
    "%m/%d/%Y %I:%M:%S %p",
    "%m/%d/%Y %I:%M %p",
    "%Y%m%d %H%M",
    "%Y%m%d:%H%M",
    "%Y%m%d%H",
)
_FIRST_YEAR, _LAST_YEAR = 1950, 2100


def fixed_offset_h(text: str) -> float | None:
    """Offset of ``"UTC"``, ``"UTC+5:30"`` or ``"-7"`` in hours; None for anything else.

    Examples
    --------
    >>> fixed_offset_h("UTC+5:30"), fixed_offset_h("-7"), fixed_offset_h("Europe/Vienna")
    (5.5, -7.0, None)
    """
    cleaned = text.strip().upper().replace("GMT", "UTC").removeprefix("UTC").strip()
    if not cleaned or cleaned == "Z":
        return 0.0
    found = re.fullmatch(r"([+-]?)(\d{1,2})(?::?([0-5]\d)|\.(\d{1,2}))?", cleaned)
    if found is None:
        return None
    hours = float(found[2]) + float(found[3] or 0) / 60.0 + float(f"0.{found[4] or 0}")
    return -hours if found[1] == "-" else hours


def zone_of(text: str, *, source: str = "") -> dt.tzinfo:
    """Return the clock that a time-zone statement names.

    Raises
    ------
    InputError
        Neither a fixed offset from -12 to 14 h nor a zone's name such as ``Europe/Vienna``.
    """
    offset_h = fixed_offset_h(text)
    if offset_h is not None and -12.0 <= offset_h <= 14.0 and not offset_h * 4.0 % 1.0:
        return dt.timezone(dt.timedelta(hours=offset_h))
    try:
        if offset_h is None:
            return zoneinfo.ZoneInfo(text.strip())
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        pass
    message = f"got {text[:40]!r}; must be an offset such as UTC+1 or a zone such as Europe/Vienna"
    raise InputError(message, source=source, field="timezone")


def table_moments(
    table: TextTable, columns: dict[str, str], timezone: str | None
) -> tuple[pd.DatetimeIndex, tuple[str, ...]]:
    """Moments of the rows in UTC, and what had to be assumed for them.

    Parameters
    ----------
    table : TextTable
        The rows.
    columns : dict
        Headings by quantity: ``time``, or ``date`` and ``clock``, or ``year`` to ``minute``.
    timezone : str or None
        The clock of stamps that do not carry their own offset.

    Raises
    ------
    InputError
        No stamps, stamps that cannot be read or lie outside 1950 to 2100, no time zone where one
        is needed, or a time that a clock change leaves out; the row is named.
    """
    naive, notes = _written(table, columns)
    if naive.dt.tz is not None:
        moments = naive.dt.tz_convert("UTC")
    else:
        if timezone is None:
            message = (
                "is not stated, and the stamps do not carry it; state it, such as UTC+1 or "
                "Europe/Vienna"
            )
            raise InputError(message, source=table.source, field="timezone")
        moments, more = _localised(table, naive, timezone)
        notes += more
    index = pd.DatetimeIndex(moments).as_unit("s")
    outside = (index.year < _FIRST_YEAR) | (index.year > _LAST_YEAR)
    if outside.any():
        at = int(np.argmax(outside))
        message = f"got the year {index[at].year}; must be {_FIRST_YEAR} to {_LAST_YEAR}"
        raise InputError(message, source=table.source, field=f"row {table.first_row + at}, time")
    return index, notes


def _written(table: TextTable, columns: dict[str, str]) -> tuple[pd.Series, tuple[str, ...]]:
    if all(part in columns for part in _PARTS[:4]):
        return _from_parts(table, columns), ()
    if "time" not in columns:
        message = f"has no column of times; its headings are {', '.join(table.names)[:200]}"
        raise InputError(message, source=table.source)
    text = table.cells[columns["time"]].str.strip()
    if "clock" in columns:
        text = text + " " + table.cells[columns["clock"]].str.strip()
    first = str(text.iloc[0])
    if re.fullmatch(r"\d{9,10}(\.\d+)?", first) or re.fullmatch(r"\d{12,13}", first):
        seconds = numbers(table, columns["time"]) / (1000.0 if len(first.split(".")[0]) > 11 else 1)
        _refuse(table, columns["time"], ~(np.abs(seconds) < 5e9), text)
        return pd.Series(pd.to_datetime(seconds.round(), unit="s", utc=True)), ()
    return _parsed(table, columns["time"], text)


def _from_parts(table: TextTable, columns: dict[str, str]) -> pd.Series:
    parts = {part: numbers(table, columns[part]) for part in _PARTS if part in columns}
    text = table.cells[columns["year"]]
    for values in parts.values():
        _refuse(table, columns["year"], ~(np.abs(values) < 1e4), text)
    # Far years overflow the calendar before they could be told from the others.
    year = parts["year"]
    _refuse(table, columns["year"], ~((year >= _FIRST_YEAR) & (year <= _LAST_YEAR)), text)
    hour = parts.pop("hour")
    minute = parts.pop("minute", np.zeros(len(hour)))
    # Hour 24 is midnight of the day that ends.
    days = pd.to_datetime(pd.DataFrame(parts), errors="coerce")
    _refuse(table, columns["year"], days.isna().to_numpy(), text)
    _refuse(table, columns["hour"], ~((hour >= 0) & (hour <= 24)), table.cells[columns["hour"]])
    minutes = hour * 60.0 + minute
    return days.astype("datetime64[s]") + pd.Series(pd.to_timedelta(minutes, unit="min"))


def _parsed(table: TextTable, name: str, text: pd.Series) -> tuple[pd.Series, tuple[str, ...]]:
    sample = str(text.iloc[0])
    if re.search(r"(Z|[+-]\d{2}:?\d{2})$", sample) and re.match(r"\d{4}-\d{2}-\d{2}", sample):
        moments = pd.to_datetime(text, format="ISO8601", utc=True, errors="coerce")
        _refuse(table, name, moments.isna().to_numpy(), text)
        return moments, ()
    plain = text.str.replace("T", " ", regex=False).str.replace(r"\.\d+$", "", regex=True)
    read = {}
    for pattern in _FORMATS:
        stamps = pd.to_datetime(plain, format=pattern, errors="coerce")
        if not stamps.isna().any():
            read[pattern] = stamps
    if not read:
        best = max(
            (pd.to_datetime(plain, format=pattern, errors="coerce") for pattern in _FORMATS),
            key=lambda stamps: int(stamps.notna().sum()),
        )
        _refuse(table, name, best.isna().to_numpy(), text)
    # Of two readings of day and month, the one whose stamps never go back.
    in_order = [
        p for p, stamps in read.items() if (stamps.diff().iloc[1:] >= pd.Timedelta(0)).all()
    ]
    chosen = in_order[0] if in_order else next(iter(read))
    notes: tuple[str, ...] = ()
    if len(in_order) > 1 and len({str(read[p].iloc[0]) for p in in_order}) > 1:
        notes = (f"Day and month of '{sample}' could be either way round; read as {chosen}.",)
    return read[chosen], notes


def _localised(
    table: TextTable, naive: pd.Series, timezone: str
) -> tuple[pd.Series, tuple[str, ...]]:
    zone = zone_of(timezone, source=table.source)
    missing = naive.dt.tz_localize(zone, ambiguous=True, nonexistent="NaT").isna().to_numpy()
    if missing.any():
        at = int(np.argmax(missing))
        message = (
            f"got {naive.iloc[at]}, which the clocks of {timezone} leave out that day; where the "
            "file keeps standard time all year, state that as an offset such as UTC+1"
        )
        raise InputError(message, source=table.source, field=f"row {table.first_row + at}, time")
    try:
        return naive.dt.tz_localize(zone, ambiguous="infer").dt.tz_convert("UTC"), ()
    except ValueError:
        # The hour that the clocks repeat stands once: taken as the first of the two.
        once = naive.dt.tz_localize(zone, ambiguous=np.ones(len(naive), dtype=bool))
        note = f"The hour that the clocks of {timezone} repeat in autumn stands once in the file."
        return once.dt.tz_convert("UTC"), (note,)


def _refuse(table: TextTable, name: str, bad: np.ndarray, text: pd.Series) -> None:
    if bad.any():
        at = int(np.argmax(bad))
        message = f"got {str(text.iloc[at])[:30]!r}; must be a date and a time"
        raise InputError(message, source=table.source, field=f"row {table.first_row + at}, {name}")
