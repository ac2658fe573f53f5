"""What can be mended in a weather file: an odd hour at its head, its stamps, light at night."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray
from solarsim.weather.readers.checks import light_lag_min
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.record import Place
from solarsim.weather.sky.sun import Sun, sun_at_mid_hour

__all__ = ["STAMP_LAG_MIN", "head_mended", "repaired"]

# Beyond this the light is nearer to the next hour's sun: the stamps are off by an hour or more.
STAMP_LAG_MIN = 45.0
# The whole hour is past nautical twilight or close to it.
NIGHT_ZENITH_DEG = 100.0
# Thermal offset of a pyranometer, as in the quality report.
_NIGHT_LIGHT_W_M2 = 4.0
_HOURS_OF_YEARS = (8760, 8784)


def head_mended(columns: FileColumns) -> FileColumns:
    """Put the hour of a 31 December that stands before 1 January in its place, or leave it out.

    A year of 8760 rows that begins with hour 24 of the day before lacks its own last hour: the
    first row goes to the end. With one row more it is an hour too many, and goes.
    """
    first = (int(columns.month[0]), int(columns.day[0]), int(columns.hour_end[0]))
    rows = len(columns.month)
    if first != (12, 31, 24) or rows < 2 or int(columns.month[1]) != 1:
        return columns
    if rows in _HOURS_OF_YEARS:
        order = np.roll(np.arange(rows), -1)
        note = "The file begins with hour 24 of the day before; that hour was put at its end."
    else:
        order = np.arange(1, rows)
        note = "The file begins with hour 24 of the day before; that hour was left out."
    taken: dict[str, Any] = {
        field.name: getattr(columns, field.name)[order]
        for field in dataclasses.fields(columns)
        if isinstance(getattr(columns, field.name), np.ndarray)
    }
    year = taken["year"].copy()
    if rows in _HOURS_OF_YEARS and year[-1] == year[0] - 1:
        year[-1] = year[-2]
    taken["year"] = year
    return dataclasses.replace(
        columns, **taken, row=columns.first_row + order, notes=(*columns.notes, note)
    )


def repaired(
    columns: FileColumns, times: pd.DatetimeIndex, place: Place
) -> tuple[FileColumns, pd.DatetimeIndex]:
    """Move stamps that are off by whole hours, and set the light of full night to zero.

    Parameters
    ----------
    columns : FileColumns
        As read, with ``(hours,)`` arrays.
    times : pandas.DatetimeIndex
        Starts of its hours.
    place : Place
        Where.
    """
    late_h = _stamps_off_h(columns, sun_at_mid_hour(place, times))
    if late_h:
        columns, times = _stamps_moved(columns, times, late_h)
    return _night_cut(columns, sun_at_mid_hour(place, times)), times


def _stamps_off_h(columns: FileColumns, sun: Sun) -> int:
    """Whole hours by which the stamps come late after the sun; 0 where they are right."""
    ghi = columns.ghi_w_m2
    if not np.isfinite(ghi).all() or ghi.max() <= ghi.min():
        return 0
    lag = light_lag_min(ghi, sun.zenith_deg)
    return round(lag / 60.0) if abs(lag) > STAMP_LAG_MIN else 0


def _stamps_moved(
    columns: FileColumns, times: pd.DatetimeIndex, late_h: int
) -> tuple[FileColumns, pd.DatetimeIndex]:
    """Move all stamps earlier by so many hours; whole years keep theirs, and their values move."""
    way = "earlier" if late_h > 0 else "later"
    note = f"Repaired: all stamps were moved {abs(late_h)} h {way}."
    columns = dataclasses.replace(columns, notes=(*columns.notes, note))
    if columns.times is not None:
        times = times - pd.Timedelta(hours=late_h)
        return dataclasses.replace(columns, times=times), times
    dates = {"year", "month", "day", "hour_end", "row"}
    moved: dict[str, Any] = {
        field.name: np.roll(getattr(columns, field.name), -late_h)
        for field in dataclasses.fields(columns)
        if isinstance(getattr(columns, field.name), np.ndarray) and field.name not in dates
    }
    return dataclasses.replace(columns, **moved), times


def _night_cut(columns: FileColumns, sun: Sun) -> FileColumns:
    """Set the light of full night to zero."""
    night = sun.zenith_deg > NIGHT_ZENITH_DEG
    lit = _lit(columns, night)
    if not lit.any():
        return columns
    note = f"Repaired: the light of {int(lit.sum())} hours of night was set to zero."
    dark: dict[str, Any] = {
        name: np.where(night & np.isfinite(values), 0.0, values)
        for name, values in (
            ("ghi_w_m2", columns.ghi_w_m2),
            ("dni_w_m2", columns.dni_w_m2),
            ("dhi_w_m2", columns.dhi_w_m2),
        )
    }
    return dataclasses.replace(columns, **dark, notes=(*columns.notes, note))


def _lit(columns: FileColumns, night: BoolArray) -> BoolArray:
    parts = np.array([columns.ghi_w_m2, columns.dni_w_m2, columns.dhi_w_m2])
    lit: BoolArray = night & (np.nan_to_num(parts).max(axis=0) > _NIGHT_LIGHT_W_M2)
    return lit
