"""Real weather that a log's own hours can be held against."""

from __future__ import annotations

import pandas as pd

from solarsim.weather.record import Place
from solarsim.weather.years.history import cached_years, history_series
from solarsim.weather.years.series import YearSeries

__all__ = ["covers", "history_of_hours", "years_in_cache"]


def covers(series: YearSeries, times: pd.DatetimeIndex) -> bool:
    """Whether a series holds every one of ``(hours,)`` hours, of their very year."""
    return bool((series.times.get_indexer(times) >= 0).all())


def years_in_cache(place: Place, times: pd.DatetimeIndex) -> tuple[int, ...]:
    """Return the real years that hold ``(hours,)`` hours; none unless all of them are cached."""
    # Years are kept in UTC: an hour of New Year's Eve may need the next one.
    utc = times.tz_convert("UTC")
    years = tuple(range(utc[0].year, utc[-1].year + 1))
    return years if set(years) <= set(cached_years(place)) else ()


def history_of_hours(place: Place, times: pd.DatetimeIndex) -> YearSeries | None:
    """Return the cached real years that hold ``(hours,)`` hours, or None where they are missing.

    Raises
    ------
    InputError
        A cached year has a gap of more than three hours.
    """
    years = years_in_cache(place, times)
    return history_series(place, years) if years else None
