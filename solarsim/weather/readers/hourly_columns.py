"""Samples at moments in UTC become the hourly columns of a place's own clock."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.errors import WeatherFileError
from solarsim.inputs.calendar import standard_offset_h
from solarsim.inputs.stay import DEFAULT_YEAR
from solarsim.weather.readers.checks import TYPICAL_LEAP_YEAR, TYPICAL_YEAR, check_header
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.readers.tables.to_hours import fill_short_gaps, on_hours, regular_step_s
from solarsim.weather.record import Place
from solarsim.weather.sky.sun import sun_at_mid_hour

__all__ = ["QUANTITIES", "hourly_columns", "one_year", "place_at"]

QUANTITIES = (
    "ghi_w_m2",
    "dni_w_m2",
    "dhi_w_m2",
    "temp_air_c",
    "relative_humidity_pct",
    "wind_speed_m_s",
    "albedo",
    "precipitation_mm_h",
)
# Which part of its sample a stamp marks, as the share of the step that lies before it.
_BEFORE_STAMP = {"start": 0.0, "middle": 0.5, "end": 1.0}
_LEAST_HOURS = 24
_LARGEST_JUMP_DAYS = 300
# While the sun is lower than this in mid-hour the hour is dark, and light need not be given.
_DARK_ZENITH_DEG = 97.0
_LOW_SUN_COS = 0.05


def place_at(
    name: str, latitude_deg: float, longitude_deg: float, elevation_m: float, *, source: str
) -> Place:
    """Return a place by its coordinates, with the clock that its time zone keeps.

    Raises
    ------
    WeatherFileError
        Coordinates or an elevation that cannot be.
    """
    import tzfpy

    check_header(
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        utc_offset_h=round(longitude_deg / 15.0) if abs(longitude_deg) <= 180.0 else 0.0,
        source=source,
    )
    timezone = tzfpy.get_tz(longitude_deg, latitude_deg) or "UTC"
    return Place(
        name=name,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        timezone=timezone,
        utc_offset_h=standard_offset_h(timezone, DEFAULT_YEAR),
    )


def one_year(moments: pd.DatetimeIndex) -> tuple[pd.DatetimeIndex, bool]:
    """Put months of different years, one after the other, on one calendar year.

    Returns
    -------
    tuple
        The moments, and whether that was done: only where they jump by most of a year or back
        between months that follow each other.
    """
    jump_days = np.diff(moments.asi8) / 86400.0
    jumps = (jump_days < 0.0) | (jump_days > _LARGEST_JUMP_DAYS)
    months = moments.month.to_numpy()
    next_month = (np.diff(months) == 1) | (np.diff(months) == -11)
    if not jumps.any() or not next_month[jumps].all() or (np.diff(months) < 0).sum() > 1:
        return moments, False
    leap = bool(((months == 2) & (moments.day == 29)).any())
    year = TYPICAL_LEAP_YEAR if leap else TYPICAL_YEAR
    # Stamps at the end of the hour run into the neighbouring year.
    years = year + np.concatenate([[0], np.cumsum(np.diff(months) < 0)])
    parts = pd.DataFrame(
        {
            "year": years,
            "month": months,
            "day": moments.day,
            "hour": moments.hour,
            "minute": moments.minute,
        }
    )
    put = pd.DatetimeIndex(pd.to_datetime(parts, errors="coerce")).as_unit("s").tz_localize("UTC")
    return (moments, False) if put.isna().any() else (put, True)


def hourly_columns(
    moments: pd.DatetimeIndex,
    values: dict[str, FloatArray],
    *,
    place: Place,
    format_name: str,
    stamp: str,
    first_row: int,
    source: str,
    typical: bool = False,
    notes: tuple[str, ...] = (),
) -> FileColumns:
    """Average samples to the hours of the place's clock and close short gaps.

    Parameters
    ----------
    moments : pandas.DatetimeIndex
        ``(samples,)`` stamps in UTC.
    values : dict
        ``(samples,)`` arrays by name of `QUANTITIES`, in its units, NaN where nothing is given.
    place : Place
        Where; its standard offset sets the hours.
    format_name : str
        The format's name.
    stamp : str
        ``"start"``, ``"middle"`` or ``"end"``: what of its sample a stamp marks.
    first_row : int
        Line of the file in which the first sample stands.
    source : str
        The file's name.
    typical : bool
        Whether the file says that it is a typical year.
    notes : tuple of str
        What the reader has assumed so far.

    Raises
    ------
    WeatherFileError
        Stamps that are not regular, less than a day, or a gap of more than three hours.
    """
    moments, stitched = _on_one_year(moments, place)
    step_s = regular_step_s(moments, source=source, first_row=first_row)
    starts_s = (
        moments.asi8 - round(_BEFORE_STAMP[stamp] * step_s) + round(3600 * place.utc_offset_h)
    )
    table = np.array([values.get(name, np.full(len(moments), np.nan)) for name in QUANTITIES])
    first_s, means, sample = on_hours(starts_s, step_s, table)
    used = _covered_hours(means, source)
    column = dict(zip(QUANTITIES, means[:, used], strict=True))
    zone = dt.timezone(dt.timedelta(hours=place.utc_offset_h))
    start = dt.datetime.fromtimestamp(first_s + 3600 * used.start, dt.UTC)
    times = pd.date_range(
        start=start.replace(tzinfo=zone), periods=used.stop - used.start, freq="h", unit="us"
    )
    notes = (*notes, *_put_leap_days(column, times))
    closed = _close_gaps(column, times, place, source)
    return FileColumns(
        format_name=format_name,
        site=place.name,
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        elevation_m=place.elevation_m,
        utc_offset_h=place.utc_offset_h,
        first_row=first_row,
        year=times.year.to_numpy(dtype=np.int64),
        month=times.month.to_numpy(dtype=np.int64),
        day=times.day.to_numpy(dtype=np.int64),
        hour_end=times.hour.to_numpy(dtype=np.int64) + 1,
        ghi_w_m2=column["ghi_w_m2"],
        dni_w_m2=column["dni_w_m2"],
        dhi_w_m2=column["dhi_w_m2"],
        temp_air_c=column["temp_air_c"],
        relative_humidity_pct=column["relative_humidity_pct"],
        wind_speed_m_s=column["wind_speed_m_s"],
        albedo=column["albedo"],
        snow_depth_cm=np.full(len(times), np.nan),
        precipitation_mm=column["precipitation_mm_h"],
        precipitation_h=np.ones(len(times)),
        times=times,
        row=first_row + sample[used],
        averaged=True,
        stitched=stitched,
        typical=typical,
        step_minutes=step_s // 60,
        closed_hours=closed,
        notes=notes,
    )


def _on_one_year(moments: pd.DatetimeIndex, place: Place) -> tuple[pd.DatetimeIndex, bool]:
    """As `one_year`, by the months of the place's clock or else of UTC."""
    for shift in (pd.Timedelta(hours=place.utc_offset_h), pd.Timedelta(0)):
        put, stitched = one_year((moments + shift).as_unit("s"))
        if stitched:
            return (put - shift).as_unit("s"), True
    return moments, False


def _covered_hours(means: FloatArray, source: str) -> slice:
    """The hours without those at either end of which nothing is known."""
    covered = np.flatnonzero(np.isfinite(means).any(axis=0))
    if not len(covered) or covered[-1] - covered[0] + 1 < _LEAST_HOURS:
        raise WeatherFileError("holds less than a day of weather", source=source)
    return slice(int(covered[0]), int(covered[-1]) + 1)


def _put_leap_days(column: dict[str, FloatArray], times: pd.DatetimeIndex) -> tuple[str, ...]:
    """Let 28 February stand in for a 29th that the file leaves out altogether."""
    leap = (times.month == 2) & (times.day == 29)
    put = 0
    for year in np.unique(times.year[leap]):
        day = np.flatnonzero(leap & (times.year == year))
        if day[0] < 24 or any(np.isfinite(values[day]).any() for values in column.values()):
            continue
        for values in column.values():
            values[day] = values[day - 24]
        put += 1
    return (f"The file leaves out {put} leap day(s); 28 February stands in.",) if put else ()


def _close_gaps(
    column: dict[str, FloatArray], times: pd.DatetimeIndex, place: Place, source: str
) -> int:
    """Close short gaps of light and temperature in place; return how many hours that were."""
    sun = sun_at_mid_hour(place, times)
    dark = sun.zenith_deg > _DARK_ZENITH_DEG
    for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2"):
        # A logger that sleeps at night leaves nothing out.
        column[name] = np.where(dark & np.isnan(column[name]), 0.0, column[name])
    missing = np.isnan(column["ghi_w_m2"]) | np.isnan(column["temp_air_c"])
    # Light is carried across a gap as clearness, so that it follows the sun.
    cos_zenith = np.maximum(np.cos(np.radians(sun.zenith_deg)), _LOW_SUN_COS)
    above_air = sun.dni_extra_w_m2 * cos_zenith
    gap = np.isnan(column["ghi_w_m2"])
    clearness, _ = fill_short_gaps(
        column["ghi_w_m2"] / above_air, name="GHI", times=times, source=source
    )
    column["ghi_w_m2"] = np.where(gap, clearness * above_air, column["ghi_w_m2"])
    for name in ("dni_w_m2", "dhi_w_m2"):
        # Split from GHI later.
        column[name] = np.where(gap, np.nan, column[name])
    column["temp_air_c"], _ = fill_short_gaps(
        column["temp_air_c"], name="air temperature", times=times, source=source
    )
    return int(missing.sum())
