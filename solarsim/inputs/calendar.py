"""The hours of a stay: arrival, days followed, local clock."""

from __future__ import annotations

import calendar
import datetime as dt
import zoneinfo

import pandas as pd

from solarsim.inputs.stay import Stay

__all__ = [
    "ARRIVAL_HOUR",
    "FOLLOW_DAYS",
    "arrival_time",
    "standard_offset_h",
    "stay_start",
    "stay_times",
]

ARRIVAL_HOUR = 17
FOLLOW_DAYS = 30


def standard_offset_h(timezone: str, year: int) -> float:
    """Standard (non-summer) offset of a zone from UTC, in hours.

    The smaller of the January and July offsets: summer time is ahead of standard time.
    """
    zone = zoneinfo.ZoneInfo(timezone)
    offsets = [dt.datetime(year, month, 1, tzinfo=zone).utcoffset() for month in (1, 7)]
    return min(offset.total_seconds() / 3600.0 for offset in offsets if offset is not None)


def stay_start(stay: Stay) -> dt.date:
    """First day of the stay: given, or such that the stay is centred on the month's middle.

    Examples
    --------
    >>> stay_start(Stay(month=1, days=7))
    datetime.date(2026, 1, 12)
    """
    if stay.start is not None:
        return stay.start
    days_in_month = calendar.monthrange(stay.year, stay.month)[1]
    centred = days_in_month / 2 - stay.days / 2 - ARRIVAL_HOUR / 24
    return dt.date(stay.year, stay.month, 1) + dt.timedelta(days=round(centred))


def stay_times(
    stay: Stay, timezone: str, utc_offset_h: float, *, follow_days: int = FOLLOW_DAYS
) -> pd.DatetimeIndex:
    """Hours from arrival at 17:00 local time to the last day followed, never short of the stay's.

    Returns
    -------
    pandas.DatetimeIndex
        ``(hours,)`` left-labelled stamps with the fixed offset ``utc_offset_h``; a clock change
        moves no stamp.
    """
    start = arrival_time(stay_start(stay), timezone, utc_offset_h)
    hours = max(follow_days, stay.days) * 24
    return pd.date_range(start=start, periods=hours, freq="h", unit="us")


def arrival_time(day: dt.date, timezone: str, utc_offset_h: float) -> dt.datetime:
    """Return 17:00 local time of a day as a stamp of the fixed offset ``utc_offset_h``."""
    local = dt.datetime.combine(day, dt.time(ARRIVAL_HOUR), tzinfo=zoneinfo.ZoneInfo(timezone))
    fixed = dt.timezone(dt.timedelta(hours=utc_offset_h))
    # Stamps fall on whole hours of the standard offset, also where summer time moves by 30 min.
    return local.astimezone(fixed).replace(minute=0)
