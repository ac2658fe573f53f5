"""Windows of a weather file as weather runs."""

from __future__ import annotations

import calendar
import datetime as dt

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray, IntArray
from solarsim.errors import WeatherFileError
from solarsim.inputs.calendar import ARRIVAL_HOUR, stay_start
from solarsim.inputs.stay import Stay
from solarsim.weather.record import Weather
from solarsim.weather.years.series import YearSeries, whole_years

__all__ = ["file_span", "file_windows", "stay_month", "window_starts", "year_windows"]


# A month of starts.
_AROUND_DAYS = 15


def stay_month(stay: Stay) -> int:
    """Month in which the middle of the stay lies.

    Examples
    --------
    >>> stay_month(Stay(month=2, days=30))
    2
    """
    arrival = dt.datetime.combine(stay_start(stay), dt.time(ARRIVAL_HOUR))
    return (arrival + dt.timedelta(days=stay.days / 2)).month


def file_windows(
    series: YearSeries,
    times: pd.DatetimeIndex,
    *,
    runs: int | None = None,
    month: int | None = None,
    around: bool = False,
) -> Weather:
    """Make a run of every window that starts on a day of the stay's month, in every year.

    A window starts at the stay's arrival hour and is as long as the stay's calendar. The end of
    the series is followed by its start, so that a December stay has its 31 windows too. The sun of
    each run is that of its own dates.

    Parameters
    ----------
    series : YearSeries
        Whole years of hours.
    times : pandas.DatetimeIndex
        ``(hours,)`` stamps of the stay with the series' fixed offset.
    runs : int, optional
        At most so many runs, evenly spread over the windows; all of them by default.
    month : int, optional
        Month whose days start the windows, 1 to 12; see `stay_month`. Without it, the month a
        quarter of the way through `times`: `times` may run on past the stay, and that point is
        within 7.5 days of the middle of every stay of 1 to 30 days followed for 30 days.
    around : bool, optional
        Whether windows start within 15 days of the stay's first day instead, so that they stand
        for its dates as a climate does: a month's own days start later on average than a stay
        that is centred on its middle.

    Returns
    -------
    Weather
        ``(runs, hours)`` arrays, 28 to 31 runs for each year.

    Raises
    ------
    ValueError
        `times` is empty, is longer than the series, or has another offset or other minutes;
        `runs` is below 1 or `month` is none.
    WeatherFileError
        The series holds less than whole years and no such window lies within it.
    """
    if runs is not None and runs < 1:
        raise ValueError(f"got runs={runs}; must be at least 1")
    hours = len(times)
    starts = window_starts(series, times, month=month, around=around)
    windows = len(starts)
    if runs is not None and runs < windows:
        starts = starts[((np.arange(runs) + 0.5) * windows / runs).astype(np.int64)]
    index = (starts[:, np.newaxis] + np.arange(hours)) % len(series.times)

    years = len(np.unique(series.times.year[starts]))
    span = "one year" if years == 1 else f"{years} years"
    where = "in the same month"
    if around:
        where = f"within {_AROUND_DAYS} days of {times[0].day} {times[0]:%B}"
    notes = [
        *series.notes,
        f"{len(starts)} runs are windows of {span} that start {where}; neighbours "
        "overlap, so that they are fewer independent samples than runs.",
    ]
    if int(starts[-1]) + hours > len(series.times):
        notes.append("Windows that pass the end of the file go on with its first January.")
    return _gathered(series, index, times, tuple(notes))


def year_windows(series: YearSeries, times: pd.DatetimeIndex) -> Weather:
    """Make one run of each year: the window that starts on the very day of the stay.

    Parameters
    ----------
    series : YearSeries
        Whole years of hours.
    times : pandas.DatetimeIndex
        ``(hours,)`` stamps of the stay with the series' fixed offset.

    Returns
    -------
    Weather
        ``(years, hours)`` arrays. A stay that starts on 29 February starts on the 28th.

    Raises
    ------
    ValueError, WeatherFileError
        As for `file_windows`.
    """
    starts = window_starts(series, times, month=times[0].month)
    leap_day = (times[0].month, times[0].day) == (2, 29)
    starts = starts[series.times.day[starts] == times[0].day - int(leap_day)]
    index = (starts[:, np.newaxis] + np.arange(len(times))) % len(series.times)
    return _gathered(series, index, times, series.notes)


def file_span(series: YearSeries, times: pd.DatetimeIndex) -> Weather:
    """Return the very hours of a series as one run.

    Parameters
    ----------
    series : YearSeries
        Hours that cover `times`.
    times : pandas.DatetimeIndex
        ``(hours,)`` whole hours of the series' clock.

    Raises
    ------
    WeatherFileError
        The series does not cover them.
    """
    at = series.times.get_indexer(times)
    if (at < 0).any():
        message = (
            f"holds {series.times[0]:%Y-%m-%d} to {series.times[-1]:%Y-%m-%d} at "
            f"UTC{series.place.utc_offset_h:+g}; {times[0]:%Y-%m-%d} to {times[-1]:%Y-%m-%d} are "
            "needed"
        )
        raise WeatherFileError(message, source=series.source)
    return _gathered(series, at[np.newaxis].astype(np.int64), times, series.notes)


def _gathered(
    series: YearSeries,
    index: IntArray,
    times: pd.DatetimeIndex,
    notes: tuple[str, ...],
) -> Weather:
    def gather(values: FloatArray) -> FloatArray:
        taken: FloatArray = values[index]
        return taken

    return Weather(
        place=series.place,
        times=times,
        ghi_w_m2=gather(series.ghi_w_m2),
        dni_w_m2=gather(series.dni_w_m2),
        dhi_w_m2=gather(series.dhi_w_m2),
        temp_air_c=gather(series.temp_air_c),
        wind_speed_m_s=gather(series.wind_speed_m_s),
        relative_humidity=gather(series.relative_humidity),
        snowfall_mm=gather(series.snowfall_mm),
        albedo=gather(series.albedo),
        zenith_deg=gather(series.sun.zenith_deg),
        azimuth_deg=gather(series.sun.azimuth_deg),
        dni_extra_w_m2=gather(series.sun.dni_extra_w_m2),
        source=series.source,
        notes=notes,
        run_years=tuple(series.times.year[index[:, 0]].tolist()),
    )


def window_starts(
    series: YearSeries,
    times: pd.DatetimeIndex,
    *,
    month: int | None = None,
    around: bool = False,
) -> IntArray:
    """Hours of the series at which the windows of `file_windows` start; raises as that does."""
    hours = len(times)
    if hours < 1 or (hours > len(series.times) and whole_years(series.times)):
        raise ValueError(f"times holds {hours} hours; must be 1 to {len(series.times)}")
    if times[0].utcoffset() != series.times[0].utcoffset() or times[0].minute:
        raise ValueError(
            f"times starts at {times[0]}; must be a whole hour of UTC{series.place.utc_offset_h:+g}"
        )
    if month is None:
        month = times[hours // 4].month
    elif not 1 <= month <= 12:
        raise ValueError(f"got month={month}; must be 1 to 12")
    near = series.times.month == month
    if around:
        apart = _day_of_common_year(series.times) - _day_of_common_year(times[:1])
        near = np.abs((apart + 182) % 365 - 182) <= _AROUND_DAYS
    found = np.flatnonzero(near & (series.times.hour == times[0].hour))
    if not whole_years(series.times):
        found = found[found + hours <= len(series.times)]
        if not len(found):
            message = (
                f"holds {series.times[0]:%Y-%m-%d} to {series.times[-1]:%Y-%m-%d}, in which no "
                f"{hours // 24} days start in {calendar.month_name[month]}; give whole years, or "
                "follow fewer days"
            )
            raise WeatherFileError(message, source=series.source)
    return found.astype(np.int64)


def _day_of_common_year(times: pd.DatetimeIndex) -> IntArray:
    """1 to 365; 29 February counts as the 28th."""
    day = times.day_of_year.to_numpy().astype(np.int64)
    return np.asarray(day - (times.is_leap_year & (day >= 60)))
