"""Plain CSV weather: any headings and units, with a statement of the place and the clock."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Mapping

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError, WeatherFileError
from solarsim.weather.places import find_place
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.readers.hourly_columns import hourly_columns, place_at
from solarsim.weather.readers.tables.text import (
    TextTable,
    columns_by_pattern,
    numbers,
    read_columns_option,
    read_table_text,
)
from solarsim.weather.readers.tables.times import table_moments
from solarsim.weather.readers.tables.to_hours import regular_step_s
from solarsim.weather.record import Place

__all__ = ["CSV_QUANTITIES", "LIGHT_UNITS", "STAMPS", "TIME_PATTERNS", "CsvStatement", "parse_csv"]

STAMPS = ("start", "middle", "end")
# Energy over a row's step, or mean power; what turns one into W/m2 (with the step in hours).
LIGHT_UNITS: Mapping[str, Callable[[float], float]] = {
    "W/m2": lambda _: 1.0,
    "kW/m2": lambda _: 1000.0,
    "Wh/m2": lambda step_h: 1.0 / step_h,
    "kWh/m2": lambda step_h: 1000.0 / step_h,
    "kJ/m2": lambda step_h: 1.0 / 3.6 / step_h,
    "MJ/m2": lambda step_h: 1000.0 / 3.6 / step_h,
    "J/cm2": lambda step_h: 10.0 / 3.6 / step_h,
}
# How a heading writes them, the more particular first.
_UNIT_PATTERNS = {
    "kWh/m2": r"kwh[ _/]?m",
    "Wh/m2": r"wh[ _/]?m",
    "kW/m2": r"kw[ _/]?m",
    "W/m2": r"w[ _/]?m|w\*m",
    "MJ/m2": r"mj[ _/]?m",
    "kJ/m2": r"kj[ _/]?m",
    "J/cm2": r"j[ _/]?cm",
}
TIME_PATTERNS = {
    "time": r"^(date[ _]?time|time[ _]?stamp|time|datum|date|zeit|utc|ts)\b|^time\(|date.*time",
    "clock": r"^(time|clock|uhrzeit|hh:mm)\b",
    "year": r"^(year|yr|yyyy)$",
    "month": r"^(month|mo|mm)$",
    "day": r"^(day|dd|dy)$",
    "hour": r"^(hour|hh|hr)$",
    "minute": r"^(minute|min|mi)$",
}
_WEATHER_PATTERNS = {
    "ghi": r"\bghi|^gh\b|g\(h\)|global.*horiz|^global|^gti?_?h|solar.?rad|sw_dwn|shortwave",
    "dni": r"\bdni|^bn\b|gb\(n\)|direct.*norm|beam.*norm|sw_dni",
    "dhi": r"\bdhi|^dh\b|gd\(h\)|diffuse|sw_diff",
    "temp": r"temp|^t2m|^ta\b|dry.?bulb|^t_?air|^tt\b",
    "humidity": r"humid|^rh\b|^rh2m|rhum",
    "wind": r"wind.*(speed|m/s|km)|^ws|^wspd|wind_speed|^ff\b|^wind$",
    "albedo": r"albedo",
    "rain": r"precip(?!itable)|rain|^rr\b",
}
CSV_QUANTITIES = (*TIME_PATTERNS, *_WEATHER_PATTERNS)
_MISSING = (-999.0, -9999.0, -99.0, -99.9, 9999.0)
# The mean of full sun lies far above this in W/m2 and far below it in kW/m2 or kWh/m2.
_LEAST_PEAK_W_M2 = 30.0


@dataclasses.dataclass(frozen=True)
class CsvStatement:
    """What a plain CSV file does not say of itself; lines ``# key = value`` in it may.

    Attributes
    ----------
    place : Place or None
        Where it was measured.
    timezone : str or None
        Clock of its stamps: ``UTC+1`` or ``Europe/Vienna``.
    columns : dict
        Headings by quantity of `CSV_QUANTITIES`, where they cannot be guessed.
    stamp : str or None
        Whether a stamp marks the ``start`` of its row's step (the default), ``middle`` or ``end``.
    light_unit : str or None
        One of `LIGHT_UNITS`, where the headings do not say.
    """

    place: Place | None = None
    timezone: str | None = None
    columns: Mapping[str, str] = dataclasses.field(default_factory=dict)
    stamp: str | None = None
    light_unit: str | None = None


def parse_csv(text: str, *, source: str, statement: CsvStatement) -> FileColumns:
    """Take a plain CSV file apart.

    Parameters
    ----------
    text : str
        The whole file with bare newlines.
    source : str
        The file's name.
    statement : CsvStatement
        What the file does not say; it goes before what lines such as ``# timezone = UTC`` say.

    Raises
    ------
    InputError
        No place, clock, light or temperature; a cell that is no number; a unit that cannot be;
        stamps that are not regular; a long gap. What is allowed is named.
    """
    table = read_table_text(text, source=source)
    columns = _columns(table, statement)
    moments, notes = table_moments(
        table, columns, statement.timezone or table.statements.get("timezone")
    )
    place = _place(table, statement)
    stamp = statement.stamp or table.statements.get("stamp", "start")
    if stamp not in STAMPS:
        message = f"got {stamp[:20]!r}; must be one of {', '.join(STAMPS)}"
        raise InputError(message, source=source, field="stamp")
    order = np.diff(moments.asi8)
    step_h = float(np.median(order)) / 3600.0 if len(order) else 1.0
    if step_h <= 0.0:
        regular_step_s(moments, source=source, first_row=table.first_row)
    values: dict[str, FloatArray] = {}
    for quantity, name in (("ghi", "ghi_w_m2"), ("dni", "dni_w_m2"), ("dhi", "dhi_w_m2")):
        if quantity in columns:
            values[name] = _light(table, columns[quantity], quantity, step_h, statement)
    values["temp_air_c"] = _temperature(table, columns["temp"])
    if "humidity" in columns:
        humidity = numbers(table, columns["humidity"], missing=_MISSING)
        as_share = np.nanmax(humidity, initial=0.0) <= 1.0
        values["relative_humidity_pct"] = humidity * 100.0 if as_share else humidity
    if "wind" in columns:
        values["wind_speed_m_s"] = _wind(table, columns["wind"])
    if "albedo" in columns:
        values["albedo"] = numbers(table, columns["albedo"], missing=_MISSING)
    if "rain" in columns:
        rain_mm = numbers(table, columns["rain"], missing=_MISSING)
        values["precipitation_mm_h"] = rain_mm / step_h
    told = ", ".join(f"{quantity} = '{name}'" for quantity, name in columns.items())
    return hourly_columns(
        moments,
        values,
        place=place,
        format_name="CSV",
        stamp=stamp,
        first_row=table.first_row,
        source=source,
        typical=table.statements.get("typical_year") == "yes",
        notes=(f"Columns read: {told}; stamps mark the {stamp} of their step.", *notes),
    )


def _columns(table: TextTable, statement: CsvStatement) -> dict[str, str]:
    said = dict(statement.columns) or read_columns_option(
        table.statements.get("columns"), CSV_QUANTITIES, source=table.source
    )
    for quantity, name in said.items():
        if name not in table.names:
            message = f"got {name[:40]!r} for {quantity}; the headings are {table.names}"
            raise InputError(message[:400], source=table.source, field="columns")
    taken = set(said.values())
    free = [name for name in table.names if name not in taken]
    parts = columns_by_pattern(free, {k: v for k, v in TIME_PATTERNS.items() if k != "clock"})
    found = {k: v for k, v in parts.items() if k not in said}
    if all(part in {**found, **said} for part in ("year", "month", "day", "hour")):
        found.pop("time", None)
    else:
        found = {k: v for k, v in found.items() if k == "time"}
        rest = [name for name in free if name not in found.values()]
        found |= {k: v for k, v in columns_by_pattern(rest, TIME_PATTERNS).items() if k == "clock"}
    rest = [name for name in free if name not in found.values()]
    found |= columns_by_pattern(rest, {k: v for k, v in _WEATHER_PATTERNS.items() if k not in said})
    found |= said
    for quantity, label in (("ghi", "global light (GHI)"), ("temp", "air temperature")):
        if quantity not in found:
            message = (
                f"has no column of {label} that its heading gives away; the headings are "
                f"{', '.join(table.names)}"
            )
            raise InputError(f"{message[:300]}; name it with columns", source=table.source)
    return found


def _place(table: TextTable, statement: CsvStatement) -> Place:
    if statement.place is not None:
        return statement.place
    said = table.statements
    if "place" in said:
        place = find_place(said["place"])
        return dataclasses.replace(place, name=said.get("site", place.name))
    if "latitude" in said and "longitude" in said:
        try:
            numbers_said = [
                float(said.get(key, "0")) for key in ("latitude", "longitude", "elevation_m")
            ]
        except ValueError:
            message = "must be numbers in degrees, and elevation_m in metres"
            raise InputError(message, source=table.source, field="latitude, longitude") from None
        return place_at(said.get("site", "the file's place"), *numbers_said, source=table.source)
    message = (
        "is not stated; give it, or write a line such as '# place = 47.80, 13.05' above the heading"
    )
    raise InputError(message, source=table.source, field="place")


def _light(
    table: TextTable, name: str, quantity: str, step_h: float, statement: CsvStatement
) -> FloatArray:
    """Light in W/m2, by the unit that is stated, or that the heading tells."""
    unit = statement.light_unit or table.statements.get("light_unit") or _unit_of(name)
    if unit is not None and unit not in LIGHT_UNITS:
        message = f"got {unit[:20]!r}; must be one of {', '.join(LIGHT_UNITS)}"
        raise InputError(message, source=table.source, field="light_unit")
    values = numbers(table, name, missing=_MISSING) * LIGHT_UNITS[unit or "W/m2"](step_h)
    peak = float(np.nanmax(values, initial=0.0))
    if quantity != "ghi" or peak >= _LEAST_PEAK_W_M2 or len(values) * step_h < 24.0:
        return values
    where = f"as {unit}" if unit else "as W/m2, since the heading names no unit"
    message = (
        f"is at most {peak:.3g} W/m2 when read {where}, which is no daylight: the file may be in "
        f"kWh/m2 or kW/m2; state the light's unit, one of {', '.join(LIGHT_UNITS)}"
    )
    raise WeatherFileError(message, source=table.source, field=name)


def _unit_of(name: str) -> str | None:
    for unit, pattern in _UNIT_PATTERNS.items():
        if re.search(pattern, name.lower()):
            return unit
    return None


def _temperature(table: TextTable, name: str) -> FloatArray:
    values = numbers(table, name, missing=_MISSING)
    if re.search(r"[(\[_ °]f[)\]]?$|fahrenheit", name.lower()):
        return (values - 32.0) / 1.8
    if re.search(r"[(\[_ ]k[)\]]?$|kelvin", name.lower()):
        return values - 273.15
    return values


def _wind(table: TextTable, name: str) -> FloatArray:
    values = numbers(table, name, missing=_MISSING)
    for pattern, factor in ((r"km/?_?h|kph", 1.0 / 3.6), (r"mph", 0.44704), (r"knot|kt", 0.514444)):
        if re.search(pattern, name.lower()):
            return values * factor
    return values
