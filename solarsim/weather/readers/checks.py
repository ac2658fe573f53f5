"""What a weather file must satisfy before its numbers are believed."""

from __future__ import annotations

import calendar
import datetime as dt

import numpy as np
import numpy.typing as npt
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.errors import WeatherFileError
from solarsim.weather.readers.columns import FileColumns

__all__ = [
    "TYPICAL_LEAP_YEAR",
    "TYPICAL_YEAR",
    "check_header",
    "check_values",
    "file_times",
    "light_lag_min",
]

# Months of different years go on one calendar year; with a 29 February, on a leap year.
TYPICAL_YEAR = 2001
TYPICAL_LEAP_YEAR = 2004

# Light in W/m2. Pyranometers read down to -4 at night, and a broken cloud's edge lifts the hour
# above the clear sky; hourly means stay far below 1500 (C. N. Long and E. G. Dutton, "BSRN Global
# Network recommended QC tests", 2002, for the lower limit; the upper one is common practice).
LIGHT_LIMITS_W_M2 = (-4.0, 1500.0)
# A file in kW or MJ shows in its mean; the darkest inhabited places have about 70 (from memory).
MEAN_GHI_LIMIT_W_M2 = 20.0
# The end of nautical twilight: no part of the hour sees the sun, even by a clock half an hour off.
NIGHT_ZENITH_DEG = 102.0
NIGHT_GHI_LIMIT_W_M2 = 10.0
TEMPERATURE_LIMITS_C = (-90.0, 60.0)
# Readings a little above saturation occur and are cut to 100 %.
HUMIDITY_LIMITS_PCT = (0.0, 110.0)
WIND_LIMITS_M_S = (0.0, 100.0)

_SLOTS = 366 * 24
_FIRST_OF_MARCH = (31 + 29) * 24
# Slot of the first hour of each month in a leap year.
_MONTH_START = np.cumsum([0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30]) * 24
_MONTH_DAYS = np.array([31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


def check_header(
    *,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float,
    utc_offset_h: float,
    source: str,
) -> None:
    """Refuse a header whose place or time zone cannot be.

    Raises
    ------
    WeatherFileError
        Latitude, longitude, elevation or time zone out of range, or a time zone that is hours away
        from the sun's time at that longitude.
    """
    for name, value, low, high in (
        ("latitude", latitude_deg, -90.0, 90.0),
        ("longitude", longitude_deg, -180.0, 180.0),
        ("elevation", elevation_m, -500.0, 9000.0),
        ("time zone", utc_offset_h, -12.0, 14.0),
    ):
        # Written so that NaN fails too.
        if not low <= value <= high:
            message = f"got {value:g}; must be {low:g} to {high:g}"
            raise WeatherFileError(message, source=source, field=f"header, {name}")
    if utc_offset_h % 0.25:
        message = f"got {utc_offset_h:g}; must be a multiple of a quarter of an hour"
        raise WeatherFileError(message, source=source, field="header, time zone")
    apart_h = (utc_offset_h - longitude_deg / 15.0 + 12.0) % 24.0 - 12.0
    if abs(apart_h) > 4.0:
        message = (
            f"got UTC{utc_offset_h:+g} at longitude {longitude_deg:g}, "
            f"{abs(apart_h):.1f} h from the sun's time there; must be within 4 h"
        )
        raise WeatherFileError(message, source=source, field="header, time zone")


def file_times(columns: FileColumns, *, source: str) -> tuple[pd.DatetimeIndex, bool]:
    """Give each row the start of its hour on one unbroken calendar of whole years.

    Returns
    -------
    times : pandas.DatetimeIndex
        ``(hours,)`` with the header's fixed offset. One year stitched from several stands on
        `TYPICAL_YEAR`.
    stitched : bool
        Whether the file's own years were set aside.

    Raises
    ------
    WeatherFileError
        A date that is none, an hour that is missing or there twice, or a file that does not run
        from 1 January to 31 December; the row is named.
    """
    row = columns.first_row
    for name, values, high in (
        ("month", columns.month, np.int64(12)),
        ("day", columns.day, _MONTH_DAYS[np.clip(columns.month, 1, 12) - 1]),
        ("hour", columns.hour_end, np.int64(24)),
    ):
        bad = (values < 1) | (values > high)
        if bad.any():
            at = int(np.argmax(bad))
            limit = int(np.broadcast_to(high, values.shape)[at])
            message = f"got {values[at]}; must be 1 to {limit}"
            raise WeatherFileError(message, source=source, field=f"row {row + at}, {name}")
    slot = _MONTH_START[columns.month - 1] + (columns.day - 1) * 24 + columns.hour_end - 1
    _check_steps(slot, row, source)
    if slot[0] != 0 or slot[-1] != _SLOTS - 1:
        message = (
            f"holds {len(slot)} hours, from {_name(slot[0])} to {_name(slot[-1])}; must hold whole "
            "years from 1 January to 31 December (8760 or 8784 hours each)"
        )
        raise WeatherFileError(message, source=source)
    starts = np.flatnonzero(slot == 0)
    leap = np.array([(part == _FIRST_OF_MARCH - 24).any() for part in np.split(slot, starts[1:])])
    first_year = int(columns.year[0])
    stitched = len(starts) == 1 and (
        bool((columns.year != first_year).any())
        or not 1950 <= first_year <= 2100
        or calendar.isleap(first_year) != leap[0]
    )
    if stitched:
        first_year = TYPICAL_LEAP_YEAR if leap[0] else TYPICAL_YEAR
    else:
        _check_years(columns.year, starts, leap, row, source)
    zone = dt.timezone(dt.timedelta(hours=columns.utc_offset_h))
    first = dt.datetime(first_year, 1, 1, tzinfo=zone)
    return pd.date_range(start=first, periods=len(slot), freq="h", unit="us"), stitched


def check_values(columns: FileColumns, zenith_deg: FloatArray, *, source: str) -> None:
    """Refuse holes and values that cannot be.

    Parameters
    ----------
    columns : FileColumns
        NaN stands for the format's own sign of a missing value.
    zenith_deg : ndarray
        ``(hours,)`` sun at mid-hour, degrees.
    source : str
        The file's name.

    Raises
    ------
    WeatherFileError
        GHI or temperature missing, any value out of range, light at night, or a mean GHI that no
        place on Earth has; row and limits are named.
    """
    for name, values in (
        ("GHI", columns.ghi_w_m2),
        ("dry bulb temperature", columns.temp_air_c),
    ):
        missing = np.isnan(values)
        if missing.any():
            message = (
                f"is marked as missing ({int(missing.sum())} such hours); must be given for every "
                "hour"
            )
            _fail(missing, columns, name, message, source)
    for name, values, (low, high), unit in (
        ("GHI", columns.ghi_w_m2, LIGHT_LIMITS_W_M2, "W/m2"),
        ("DNI", columns.dni_w_m2, LIGHT_LIMITS_W_M2, "W/m2"),
        ("DHI", columns.dhi_w_m2, LIGHT_LIMITS_W_M2, "W/m2"),
        ("dry bulb temperature", columns.temp_air_c, TEMPERATURE_LIMITS_C, "C"),
        ("relative humidity", columns.relative_humidity_pct, HUMIDITY_LIMITS_PCT, "%"),
        ("wind speed", columns.wind_speed_m_s, WIND_LIMITS_M_S, "m/s"),
    ):
        bad = (values < low) | (values > high)
        if bad.any():
            given = values[int(np.argmax(bad))]
            message = f"got {given:g} {unit}; must be {low:g} to {high:g}"
            _fail(bad, columns, name, message, source)
    night = zenith_deg > NIGHT_ZENITH_DEG
    for name, values in (
        ("GHI", columns.ghi_w_m2),
        ("DNI", columns.dni_w_m2),
        ("DHI", columns.dhi_w_m2),
    ):
        bad = night & (values > NIGHT_GHI_LIMIT_W_M2)
        if bad.any():
            at = int(np.argmax(bad))
            message = (
                f"got {values[at]:g} W/m2 with the sun {zenith_deg[at] - 90.0:.0f} degrees below "
                f"the horizon ({int(bad.sum())} such hours); must be at most "
                f"{NIGHT_GHI_LIMIT_W_M2:g}: the place, time zone or stamps may be wrong"
            )
            _fail(bad, columns, name, message, source)
    mean_w_m2 = float(columns.ghi_w_m2.mean())
    if mean_w_m2 < MEAN_GHI_LIMIT_W_M2:
        message = (
            f"is {mean_w_m2:.3g} on the mean; must be at least {MEAN_GHI_LIMIT_W_M2:g} W/m2: "
            "the column may be empty or in another unit"
        )
        raise WeatherFileError(message, source=source, field="GHI")


def light_lag_min(ghi_w_m2: FloatArray, zenith_deg: FloatArray) -> float:
    """How many minutes the light comes after the sun that it is read with.

    The correlation of GHI with the sun's height is taken at shifts by whole hours; the lag is the
    top of the parabola through the best shift and its neighbours. Hours that are labelled rightly
    give a lag of a few minutes, which is the place's own morning fog or afternoon cloud.

    Parameters
    ----------
    ghi_w_m2, zenith_deg : ndarray
        ``(hours,)`` light and the sun at mid-hour.
    """
    height = np.maximum(np.cos(np.radians(zenith_deg)), 0.0)
    shifts = range(-4, 5)
    fit = [float(np.corrcoef(ghi_w_m2, np.roll(height, shift))[0, 1]) for shift in shifts]
    best = 1 + int(np.argmax(fit[1:-1]))
    before, here, after = fit[best - 1 : best + 2]
    return 60.0 * shifts[best] + 30.0 * (after - before) / (2.0 * here - before - after)


def _check_steps(slot: IntArray, row: int, source: str) -> None:
    """Refuse a row that does not stand one hour after the row before it."""
    step = np.diff(slot) % _SLOTS
    over_february = (slot[1:] == _FIRST_OF_MARCH) & (slot[:-1] == _FIRST_OF_MARCH - 25)
    bad = (step != 1) & ~over_february
    if not bad.any():
        return
    at = int(np.argmax(bad)) + 1
    here, before = _name(slot[at]), _name(slot[at - 1])
    found = "again" if step[at - 1] == 0 else f"after {before}"
    message = f"holds {here} {found}; every hour must stand once and in order"
    raise WeatherFileError(message, source=source, field=f"row {row + at}")


def _check_years(
    year: IntArray,
    starts: npt.NDArray[np.intp],
    leap: BoolArray,
    row: int,
    source: str,
) -> None:
    """Refuse several years that are not consecutive calendar years."""
    number = np.searchsorted(starts, np.arange(len(year)), side="right") - 1
    expected = year[0] + number
    bad = (year != expected) | (year < 1950) | (year > 2100)
    bad |= (
        np.array([calendar.isleap(int(year[0]) + k) for k in range(len(starts))])[number]
        != (leap[number])
    )
    if bad.any():
        at = int(np.argmax(bad))
        message = (
            f"got year {year[at]}; several years in one file must be consecutive, between 1950 and "
            "2100, with 29 February in leap years alone"
        )
        raise WeatherFileError(message, source=source, field=f"row {row + at}, year")


def _fail(bad: BoolArray, columns: FileColumns, name: str, message: str, source: str) -> None:
    at = int(np.argmax(bad))
    row = columns.first_row + at if columns.row is None else int(columns.row[at])
    raise WeatherFileError(message, source=source, field=f"row {row}, {name}")


def _name(slot: np.int64) -> str:
    month = int(np.searchsorted(_MONTH_START, slot, side="right"))
    day, hour = divmod(int(slot - _MONTH_START[month - 1]), 24)
    return f"{day + 1} {calendar.month_name[month]} hour {hour + 1}"
