"""Real years are taken only where they hold every hour of a log."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.calibrate.weather import covers, history_of_hours, years_in_cache
from solarsim.weather.places import find_place
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.years.history import (
    HISTORY_QUANTITIES,
    HistoryYear,
    hours_of_years,
    store_year,
)
from tests.weather.readers.epw_by_hand import GREENSBORO

PLACE = find_place("36.10, -79.95")  # five hours behind UTC


@pytest.fixture(autouse=True)
def year_2019(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    zeros = np.zeros(len(hours_of_years(2019, 2019)))
    store_year(PLACE, HistoryYear(2019, dict.fromkeys(HISTORY_QUANTITIES, zeros), 0.0, "by hand"))


def local(first, last):
    return pd.date_range(first, last, freq="h", tz="Etc/GMT+5", unit="us")


@pytest.mark.parametrize(
    ("first", "last", "years"),
    [
        ("2019-06-01", "2019-07-01", (2019,)),
        ("2018-12-31 19:00", "2019-01-04", (2019,)),
        ("2018-12-31 18:00", "2019-01-04", ()),
        ("2019-12-28", "2019-12-31 18:00", (2019,)),
        ("2019-12-28", "2019-12-31 19:00", ()),
    ],
)
def test_the_years_are_those_of_utc(first, last, years):
    assert years_in_cache(PLACE, local(first, last)) == years


def test_no_history_where_a_year_is_missing():
    assert history_of_hours(PLACE, local("2018-12-01", "2019-01-04")) is None


def test_a_file_covers_its_own_year_alone():
    series = read_weather_file(GREENSBORO)
    own = series.times[24:96]
    assert covers(series, own)
    assert not covers(series, own + pd.DateOffset(years=1))
    assert not covers(series, series.times[-24:] + pd.Timedelta(hours=1))
