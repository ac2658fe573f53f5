"""A battery monitor's log: columns, units and sign guessed and told, put on whole hours."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pandas as pd

from solarsim.answers.calibrate.log_units import scale_units
from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.van import Van
from solarsim.power.chemistry import load_chemistry, resting_voltage_v
from solarsim.records import ArrayRecord
from solarsim.weather.readers.file import read_text_file
from solarsim.weather.readers.tables.text import (
    TextTable,
    columns_by_pattern,
    numbers,
    read_table_text,
)
from solarsim.weather.readers.tables.times import table_moments
from solarsim.weather.record import Place
from solarsim.weather.sky.sun import sun_at_mid_hour

__all__ = ["LOG_QUANTITIES", "BankLog", "read_log"]

_TIME_PATTERNS = {
    "time": r"date.*time|time.*stamp|^time|^date|^datum|^zeit|^ts$",
    "clock": r"^time|^clock|^uhrzeit",
}
_POWER = r".*(power|watt|\(w\)|\[w\]|_w$| w$)"
_CURRENT = r".*(curr|amp|\(a\)|\[a\]|_a$| a$)"
_ALTERNATOR = r"(alternator|dc.?dc|engine)"
_SHORE = r"(shore|mains|ac.?charger|ac.?in\b)"
# Charging from elsewhere than the sun, each with its power and its current.
_OTHER = ("alternator", "shore")
_PATTERNS = {
    "alternator_power": _ALTERNATOR + _POWER,
    "alternator_current": _ALTERNATOR + _CURRENT,
    "shore_power": _SHORE + _POWER,
    "shore_current": _SHORE + _CURRENT,
    "solar_power": r"(pv|solar|panel|array).*(power|watt|\(w\)|\[w\]|_w$| w$)",
    "solar_current": r"(pv|solar|panel|array|charger).*(curr|amp|\(a\)|\[a\]|_a$| a$)",
    "soc": r"\bsoc|state.?of.?charge|charge.?level|charge \(?%|^%|ladezustand|capacity.*%",
    "ah": r"\bah\b|amp.?hour|_ah$",
    "voltage": r"volt|\(v\)|\[v\]|_v$| v$|^v$|^u$",
    "current": r"curr|amp|\(m?a\)|\[m?a\]|_a$| a$|^i$|^a$",
    "power": r"power|watt|\(k?w\)|\[k?w\]|_w$| w$|^p$|^w$",
}
LOG_QUANTITIES = (*_TIME_PATTERNS, *_PATTERNS)
_LEAST_HOURS = 72
_MOST_DAYS = 800
# A sample stands until the next one, but no longer than so many usual steps: then there is a gap.
_HOLD_STEPS = 3.0
_NIGHT_ZENITH_DEG = 100.0
_MISSING = (-999.0, -9999.0)
_NEWEST_FIRST_SHARE = 0.9


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class BankLog(ArrayRecord):
    """A log by the hour of the place's clock; NaN where it has a gap.

    Attributes
    ----------
    times : pandas.DatetimeIndex
        ``(hours,)`` starts, with the place's fixed standard offset.
    soc : ndarray
        Mean state of charge of the hour, 0 to 1.
    net_a : ndarray
        Mean current into the bank, A.
    net_w : ndarray
        Mean power into the bank, W.
    solar_w : ndarray
        Mean power from the sun's controller, W.
    other_w : ndarray
        Mean power from the alternator and from shore by columns of their own.
    has_soc, has_current, has_solar, has_other : bool
        What the log tells.
    soc_counted : bool
        Whether the state of charge was counted here from the current, with the van's capacity.
    covered_share : float
        Share of the hours from first to last that hold data.
    guesses : tuple of str
        How columns, units and the sign were read; to be confirmed by a person.
    """

    times: pd.DatetimeIndex
    soc: FloatArray
    net_a: FloatArray
    net_w: FloatArray
    solar_w: FloatArray
    other_w: FloatArray
    has_soc: bool
    has_current: bool
    has_solar: bool
    has_other: bool
    soc_counted: bool
    covered_share: float
    guesses: tuple[str, ...]


def read_log(
    path: Path,
    van: Van,
    place: Place,
    *,
    columns: Mapping[str, str] | None = None,
    timezone: str | None = None,
    positive: str | None = None,
) -> BankLog:
    """Read a battery monitor's export.

    Parameters
    ----------
    path : Path
        CSV with a heading; minutes to an hour between rows, which need not be regular.
    van : Van
        Whose bank it is.
    place : Place
        Where it stood, for its clock and its nights.
    columns : mapping, optional
        Headings by quantity of `LOG_QUANTITIES`, where they cannot be guessed.
    timezone : str, optional
        Clock of the stamps; by default the place's own local clock.
    positive : str, optional
        ``"in"`` or ``"out"``: which way a positive current flows; guessed by default.

    Raises
    ------
    InputError
        No times, neither state of charge nor current, values that no bank has, less than three
        days; the file, the row and what is allowed are named.
    """
    source = str(path)
    if positive not in {None, "in", "out"}:
        raise InputError(f"got {positive!r}; must be 'in' or 'out'", field="positive")
    try:
        table = read_table_text(read_text_file(path, kind="of a battery log"), source=source)
        return _hourly(table, van, place, dict(columns or {}), timezone, positive)
    except InputError as error:
        raise InputError(error.message, source=source, field=error.field) from None


def _hourly(
    table: TextTable,
    van: Van,
    place: Place,
    said: dict[str, str],
    timezone: str | None,
    positive: str | None,
) -> BankLog:
    found = _columns(table, said)
    guesses = [
        ("Columns: " + ", ".join(f"{what} = '{name}'" for what, name in found.items())) + "."
    ]
    clock = timezone or table.statements.get("timezone")
    if clock is None:
        clock = place.timezone
        guesses.append(f"Stamps without an offset are taken as local time of {clock}.")
    moments, notes = table_moments(table, found, clock)
    guesses += notes
    values = {
        what: numbers(table, name, missing=_MISSING)
        for what, name in found.items()
        if what in _PATTERNS
    }
    scale_units(values, found, van, guesses)
    seconds = moments.asi8.astype(np.int64)
    if (np.diff(seconds) < 0).mean() > _NEWEST_FIRST_SHARE:
        # Read again in the order of time, which a clock that is set back needs.
        turned = dataclasses.replace(table, cells=table.cells[::-1].reset_index(drop=True))
        seconds = table_moments(turned, found, clock)[0].asi8.astype(np.int64)
        values = {what: column[::-1] for what, column in values.items()}
        guesses.append("The newest row stands first.")
    order = np.argsort(seconds, kind="stable")
    if (np.diff(seconds) < 0).sum() > 0.01 * len(seconds) + 1:
        message = "rows go back in time more than now and then; sort them or state the time zone"
        raise InputError(message, field="time")
    keep = order[np.concatenate([[True], np.diff(seconds[order]) > 0])]
    if len(keep) < len(seconds):
        guesses.append(f"{len(seconds) - len(keep)} rows repeat a moment; the first one counts.")
    seconds = seconds[keep] + round(3600 * place.utc_offset_h)
    values = {what: column[keep] for what, column in values.items()}
    if seconds[-1] - seconds[0] > _MOST_DAYS * 86400:
        raise InputError(f"spans more than {_MOST_DAYS} days; give a part of it", field="time")
    first = -(-int(seconds[0]) // 3600) * 3600
    hours = (int(seconds[-1]) - first) // 3600
    if hours < _LEAST_HOURS:
        message = f"spans {max(hours, 0)} hours; must span {_LEAST_HOURS} at least"
        raise InputError(message, field="time")
    edges = first + 3600 * np.arange(hours + 1)
    if "ah" in values:
        _counted_current(values, seconds)
    hourly = {what: _hour_means(seconds, column, edges) for what, column in values.items()}
    zone = dt.timezone(dt.timedelta(hours=place.utc_offset_h))
    start = dt.datetime.fromtimestamp(first, dt.UTC).replace(tzinfo=zone)
    times = pd.date_range(start=start, periods=hours, freq="h", unit="us")
    return _bank_log(hourly, times, van, place, positive, guesses)


def _bank_log(
    hourly: dict[str, FloatArray],
    times: pd.DatetimeIndex,
    van: Van,
    place: Place,
    positive: str | None,
    guesses: list[str],
) -> BankLog:
    nothing = np.full(len(times), np.nan)
    resting_v = resting_voltage_v(load_chemistry(van.battery.chemistry))
    resting_v *= van.van.system_voltage_v / 12.0
    voltage_v = hourly.get("voltage", nothing)
    volts = np.where(np.isfinite(voltage_v), voltage_v, resting_v)
    soc = hourly.get("soc", nothing)
    if "current" in hourly:
        net_a = hourly["current"]
    elif "power" in hourly:
        net_a = hourly["power"] / volts
    else:
        net_a = nothing
    has_current = bool(np.isfinite(net_a).any())
    if has_current:
        sign = _sign(net_a, soc, times, place, positive, guesses)
        net_a = sign * net_a
    net_w = sign * hourly["power"] if has_current and "power" in hourly else net_a * volts
    has_soc = bool(np.isfinite(soc).any())
    if not has_soc and not has_current:
        raise InputError("holds neither a state of charge nor a current or power of the bank")
    counted = not has_soc
    if counted:
        drawn_ah = np.cumsum(np.nan_to_num(net_a))
        soc = 1.0 + (drawn_ah - drawn_ah.max()) / van.bank_capacity_ah
        soc = np.where(np.isfinite(net_a), np.clip(soc, 0.0, 1.0), np.nan)
        guesses.append(
            "No state of charge: counted from the current, full where the count is highest, with "
            "the van's capacity."
        )
    solar_w = hourly.get("solar_power", nothing)
    if "solar_power" not in hourly and "solar_current" in hourly:
        solar_w = hourly["solar_current"] * volts
    other_w = _other_power(hourly, volts)
    covered = np.isfinite(soc) & (np.isfinite(net_a) if has_current else True)
    if covered.sum() < _LEAST_HOURS:
        message = f"holds {int(covered.sum())} hours of data; must hold {_LEAST_HOURS} at least"
        raise InputError(message)
    return BankLog(
        times=times,
        soc=soc,
        net_a=net_a,
        net_w=net_w,
        solar_w=np.maximum(solar_w, 0.0),
        other_w=other_w,
        has_soc=has_soc,
        has_current=has_current,
        has_solar=bool(np.isfinite(solar_w).mean() > 0.5),
        has_other=bool(np.isfinite(other_w).any()),
        soc_counted=counted,
        covered_share=float(covered.mean()),
        guesses=tuple(guesses),
    )


def _other_power(hourly: dict[str, FloatArray], volts: FloatArray) -> FloatArray:
    """Power from alternator and shore together, NaN where no column tells it."""
    total = np.zeros(len(volts))
    parts = 0
    for name in _OTHER:
        power_w = hourly.get(f"{name}_power")
        if power_w is None and f"{name}_current" in hourly:
            power_w = hourly[f"{name}_current"] * volts
        if power_w is not None:
            total = total + np.maximum(power_w, 0.0)
            parts += 1
    return total if parts else np.full(len(volts), np.nan)


def _columns(table: TextTable, said: dict[str, str]) -> dict[str, str]:
    for quantity, name in said.items():
        if name not in table.names:
            message = f"got {name[:40]!r} for {quantity}; the headings are {table.names}"
            raise InputError(message[:400], field="columns")
    for name in said.values():
        of_it = [quantity for quantity, heading in said.items() if heading == name]
        if len(of_it) > 1:
            message = f"got {name[:40]!r} for {' and '.join(of_it)}; a column is one quantity"
            raise InputError(message, field="columns")
    free = [name for name in table.names if name not in said.values()]
    found = dict(said)
    if "time" not in said:
        found |= columns_by_pattern(free, {"time": _TIME_PATTERNS["time"]})
        free = [name for name in free if name not in found.values()]
        found |= columns_by_pattern(free, {"clock": _TIME_PATTERNS["clock"]})
    free = [name for name in free if name not in found.values()]
    patterns = {what: pattern for what, pattern in _PATTERNS.items() if what not in said}
    return found | columns_by_pattern(free, patterns)


def _counted_current(values: dict[str, FloatArray], seconds: np.ndarray) -> None:
    """Let a counter of ampere-hours stand in for a current that the log does not have."""
    counter = values.pop("ah")
    if "current" in values or "power" in values:
        return
    step_h = np.diff(seconds) / 3600.0
    current = np.diff(counter) / step_h
    # A counter that is set back at full is no current.
    usual = 20.0 * (np.nanmedian(np.abs(current)) + 1.0)
    current = np.where(np.abs(current) > usual, np.nan, current)
    values["current"] = np.append(current, np.nan)


def _hour_means(seconds: np.ndarray, column: FloatArray, edges: np.ndarray) -> FloatArray:
    """Time-weighted means between edges; NaN where less than half of the hour is covered."""
    steps = np.append(np.diff(seconds), np.median(np.diff(seconds))).astype(np.float64)
    hold = np.minimum(steps, _HOLD_STEPS * float(np.median(steps)))
    known = np.isfinite(column)
    hold = np.where(known, hold, 0.0)
    amount = np.where(known, column, 0.0) * hold
    # Running sums rise while a sample stands and are level in gaps.
    at = np.empty(2 * len(seconds))
    at[0::2], at[1::2] = seconds, seconds + hold
    sums = []
    for part in (hold, amount):
        total = np.empty(2 * len(seconds))
        total[1::2] = np.cumsum(part)
        total[0::2] = total[1::2] - part
        sums.append(np.diff(np.interp(edges, at, total)))
    covered, total = sums
    return np.where(covered >= 1800.0, total / np.maximum(covered, 1.0), np.nan)


def _sign(
    net_a: FloatArray,
    soc: FloatArray,
    times: pd.DatetimeIndex,
    place: Place,
    positive: str | None,
    guesses: list[str],
) -> float:
    """1 where the log counts current into the bank as positive, else -1."""
    if positive is not None:
        way = "into" if positive == "in" else "out of"
        guesses.append(f"A positive current flows {way} the bank, as stated.")
        return 1.0 if positive == "in" else -1.0
    rise = np.diff(soc, append=np.nan)
    both = np.isfinite(rise) & np.isfinite(net_a)
    agreement = float((rise[both] * net_a[both]).sum())
    reason = "the state of charge rises with it"
    if both.sum() < 24 or agreement == 0.0:
        night = sun_at_mid_hour(place, times).zenith_deg > _NIGHT_ZENITH_DEG
        agreement = -float(np.nansum(net_a[night]))
        reason = "it is negative at night"
    sign = 1.0 if agreement >= 0.0 else -1.0
    way = "into" if sign > 0.0 else "out of"
    if sign < 0.0:
        reason = reason.replace("rises", "falls").replace("negative", "positive")
    guesses.append(f"A positive current flows {way} the bank: {reason}.")
    return sign
