"""Arrival, horizon and the local clock."""

from __future__ import annotations

import calendar
import datetime as dt
import zoneinfo

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.inputs.calendar import (
    ARRIVAL_HOUR,
    FOLLOW_DAYS,
    standard_offset_h,
    stay_start,
    stay_times,
)
from solarsim.inputs.stay import Stay

OFFSETS = {
    "Europe/Vienna": 1.0,
    "America/New_York": -5.0,
    "America/Phoenix": -7.0,
    "Australia/Adelaide": 9.5,
    "Australia/Lord_Howe": 10.5,
    "Asia/Kathmandu": 5.75,
    "America/St_Johns": -3.5,
    "Pacific/Auckland": 12.0,
    "America/Santiago": -4.0,
    "Etc/UTC": 0.0,
}


@pytest.mark.parametrize(("zone", "offset_h"), OFFSETS.items())
def test_standard_offset_is_the_winter_one_on_both_hemispheres(zone, offset_h):
    assert standard_offset_h(zone, 2026) == offset_h


def test_ireland_counts_from_its_winter():
    # Its law calls summer time the standard; the sun does not.
    assert standard_offset_h("Europe/Dublin", 2026) == 0.0


@given(year=st.integers(1950, 2100), month=st.integers(1, 12), days=st.integers(1, 30))
def test_a_stay_by_month_is_centred_on_its_middle(year, month, days):
    stay = Stay(year=year, month=month, days=days)
    arrival = dt.datetime.combine(stay_start(stay), dt.time(ARRIVAL_HOUR))
    middle_of_stay = arrival + dt.timedelta(days=days / 2)
    length = calendar.monthrange(year, month)[1]
    middle = dt.datetime(year, month, 1) + dt.timedelta(days=length / 2)
    assert abs(middle_of_stay - middle) <= dt.timedelta(hours=12)


def test_a_given_start_is_taken():
    assert stay_start(Stay(start=dt.date(2026, 12, 24), month=7)) == dt.date(2026, 12, 24)


@pytest.mark.parametrize(
    ("year", "month", "days", "start"),
    [
        (2026, 1, 7, (2026, 1, 12)),
        (2028, 2, 29, (2028, 1, 31)),
        (2026, 1, 30, (2026, 1, 1)),
        (2026, 12, 30, (2026, 12, 1)),
        (2026, 6, 1, (2026, 6, 15)),
    ],
)
def test_first_days_by_hand(year, month, days, start):
    assert stay_start(Stay(year=year, month=month, days=days)) == dt.date(*start)


@pytest.mark.parametrize("zone", OFFSETS)
@pytest.mark.parametrize("month", [1, 3, 7, 10])
def test_arrival_is_five_in_the_afternoon_by_the_local_clock(zone, month):
    offset_h = standard_offset_h(zone, 2026)
    times = stay_times(Stay(month=month), zone, offset_h)
    arrival = times[0].tz_convert(zone)
    # Summer time there moves by half an hour; stamps stay on whole hours of standard time.
    assert arrival.hour in ({17} if zone != "Australia/Lord_Howe" else {16, 17})
    assert arrival.date() == stay_start(Stay(month=month))
    assert times[0].utcoffset() == dt.timedelta(hours=offset_h)
    assert times[0].minute == 0


@pytest.mark.parametrize(
    ("start", "stamp_hour"),
    [("2026-03-27", 17), ("2026-03-30", 16), ("2026-10-24", 16), ("2026-10-26", 17)],
)
def test_summer_arrival_is_an_hour_earlier_in_standard_time(start, stamp_hour):
    stay = Stay(start=dt.date.fromisoformat(start))
    assert stay_times(stay, "Europe/Vienna", 1.0)[0].hour == stamp_hour


@given(
    days=st.integers(1, 365),
    month=st.integers(1, 12),
    zone=st.sampled_from(sorted(OFFSETS)),
    year=st.sampled_from([2026, 2027, 2028]),
)
def test_hours_are_strictly_regular_to_the_horizon(days, month, zone, year):
    stay = Stay(days=days, month=month, year=year)
    times = stay_times(stay, zone, OFFSETS[zone])
    assert len(times) == 24 * max(days, FOLLOW_DAYS)
    steps = np.diff(times.asi8)
    assert (steps == 3_600_000_000).all(), "microseconds of an hour"
    assert times.tz == dt.timezone(dt.timedelta(hours=OFFSETS[zone]))


def test_a_shorter_horizon_never_cuts_the_stay():
    assert len(stay_times(Stay(days=10), "Etc/UTC", 0.0, follow_days=3)) == 240
    assert len(stay_times(Stay(days=2), "Etc/UTC", 0.0, follow_days=3)) == 72


def test_29_february_is_there_in_leap_years_alone():
    for year, there in ((2028, True), (2027, False), (2100, False)):
        times = stay_times(Stay(year=year, month=2, days=28), "Etc/UTC", 0.0)
        assert any((stamp.month, stamp.day) == (2, 29) for stamp in times) is there


def test_stamps_are_the_same_moments_as_the_local_clock_s():
    times = stay_times(Stay(start=dt.date(2026, 3, 28)), "Europe/Vienna", 1.0)
    zone = zoneinfo.ZoneInfo("Europe/Vienna")
    local = [stamp.astimezone(zone).hour for stamp in times[:24]]
    # From 17:00 on; 2:00 is missing.
    assert local == [*range(17, 24), 0, 1, *range(3, 18)]
    assert isinstance(times, pd.DatetimeIndex)
