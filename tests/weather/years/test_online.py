"""History from a stand-in server with its faults: patience, cache, resumption, and no trust."""

from __future__ import annotations

import datetime as dt
import json
import pwd

import numpy as np
import pytest

from solarsim.errors import HistoryError, InputError
from solarsim.weather.places import find_place
from solarsim.weather.years.history import (
    cached_years,
    history_folder,
    history_series,
    years_at_hand,
)
from solarsim.weather.years.online import download_years, read_years
from solarsim.weather.years.series import YearSeries, whole_years
from solarsim.weather.years.windows import window_starts
from tests.weather.years.stand_in import StandIn

PLACE = find_place("36.10, -79.95")


@pytest.fixture
def cache(tmp_path, monkeypatch):
    """An empty cache folder, and no proxy between this machine and itself."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    for name in ("http_proxy", "HTTP_PROXY", "all_proxy", "ALL_PROXY"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path / "cache"


@pytest.fixture
def server(greensboro: YearSeries):
    with StandIn(greensboro) as stand_in:
        yield stand_in


def test_years_are_fetched_once_with_provenance(cache, server):
    waits = []
    got = download_years(PLACE, (2019, 2020), url=server.url, sleep=waits.append)
    assert got == cached_years(PLACE) == (2019, 2020)
    assert waits == []
    assert [query["start"] for query in server.asked] == ["20190101", "20200101"]
    assert server.asked[0]["time-standard"] == "utc"
    about = json.loads((history_folder(PLACE) / "2020.json").read_text())
    assert about["source"] == server.url
    assert len(about["sha256"]) == 64
    assert dt.datetime.fromisoformat(about["fetched"]).utcoffset() == dt.timedelta(0)
    assert download_years(PLACE, (2019, 2020), url=server.url) == ()
    assert len(server.asked) == 2


@pytest.mark.parametrize(
    "fault",
    ["429", "500", "500 page", "cut", "truncated", "half a year", "wrong units", "local clock"],
)
def test_a_fault_is_retried_with_growing_waits(cache, server, fault):
    server.faults = [fault, fault]
    waits = []
    assert download_years(PLACE, (2019,), url=server.url, sleep=waits.append) == (2019,)
    assert len(waits) == 2
    assert waits[1] > waits[0]


@pytest.mark.parametrize(
    ("fault", "reason"),
    [
        ("429", "refused with 429"),
        ("wrong units", "ALLSKY_SFC_SW_DWN comes in 'MJ/hr'"),
        ("half a year", "4000 hours of 8784"),
        ("local clock", "in LST, not in UTC"),
    ],
)
def test_a_fault_that_stays_is_told_in_one_line(cache, server, fault, reason):
    server.faults = ["", *[fault] * 4]
    with pytest.raises(HistoryError, match=r"2020 could not be fetched in 4 attempts") as caught:
        download_years(PLACE, (2019, 2020, 2021), url=server.url, sleep=lambda _: None)
    assert reason in str(caught.value)
    assert "\n" not in str(caught.value)
    # What came before it is kept, and the next attempt goes on from there.
    assert cached_years(PLACE) == (2019,)
    assert download_years(PLACE, (2019, 2020, 2021), url=server.url) == (2020, 2021)


@pytest.mark.slow
def test_a_slow_answer_is_given_up(cache, server):
    server.faults = ["slow"]
    waits = []
    got = download_years(PLACE, (2019,), url=server.url, sleep=waits.append, deadline_s=1.0)
    assert got == (2019,)
    assert len(waits) == 1


def test_nobody_there_is_told_at_once(cache, greensboro):
    with StandIn(greensboro) as gone:
        url = gone.url
    waits = []
    with pytest.raises(HistoryError, match="cannot be reached"):
        download_years(PLACE, (2019,), url=url, sleep=waits.append)
    assert waits == []
    assert not cache.exists()


def test_history_is_the_weather_that_was_served(cache, server, greensboro):
    download_years(PLACE, (2019, 2020), url=server.url)
    series = history_series(PLACE, (2019, 2020))
    assert series.place == PLACE
    assert len(series.times) == 8760 + 8784
    # Years in UTC begin five hours before New Year on the place's clock.
    assert str(series.times[0]) == "2018-12-31 19:00:00-05:00"
    assert whole_years(series.times)
    # 2019-06-15, local clock: the served year with that year's factor.
    hour = int(np.flatnonzero(series.times == "2019-06-15 12:00-05:00")[0])
    same = int(np.flatnonzero(greensboro.times.strftime("%m%d%H") == "061512")[0])
    factor = server.light_factor(2019)
    assert series.ghi_w_m2[hour] == pytest.approx(factor * greensboro.ghi_w_m2[same], rel=1e-3)
    fall_c = 0.0055 * (373.0 - PLACE.elevation_m)
    assert series.temp_air_c[hour] == pytest.approx(greensboro.temp_air_c[same] + fall_c, abs=0.05)
    assert any("shifted by" in note for note in series.notes)
    assert series.source == f"NASA POWER history ({PLACE.name}), 2019 to 2020"


def test_missing_hours_are_closed_or_refused(cache, server):
    server.faults = ["gap", "long gap"]
    download_years(PLACE, (2019, 2020), url=server.url)
    series = history_series(PLACE, (2019,))
    assert series.quality is not None
    assert round(series.quality.missing_share * len(series.times)) == 2
    with pytest.raises(InputError, match="air temperature: is missing for 100 hours"):
        history_series(PLACE, (2020,))


def test_a_damaged_year_is_not_believed_and_fetched_again(cache, server):
    download_years(PLACE, (2019,), url=server.url)
    path = history_folder(PLACE) / "2019.csv.gz"
    path.write_bytes(path.read_bytes()[:-30])
    assert cached_years(PLACE) == ()
    with pytest.raises(InputError, match="2019 is not in the cache"):
        history_series(PLACE, (2019,))
    assert download_years(PLACE, (2019,), url=server.url) == (2019,)


@pytest.mark.parametrize(
    "text", ["", "19", "2020-2010", "1990-2000", "2005-2024-2030", "²⁰¹⁹", "a"]
)
def test_years_that_cannot_be(text):
    with pytest.raises(InputError, match="years"):
        read_years(text)


def test_an_address_that_is_none():
    with pytest.raises(InputError, match="https"):
        download_years(PLACE, (2019,), url="file:///etc/hosts")


def test_years_with_one_missing_between_them_stand_side_by_side(cache, server):
    download_years(PLACE, (2018, 2020, 2021), url=server.url)
    assert years_at_hand(PLACE, range(2018, 2023)) == ((2018, 2020, 2021), (2019, 2022))
    series = history_series(PLACE, (2018, 2020, 2021))
    assert len(series.times) == 8760 + 8784 + 8760
    assert series.source.endswith("2018, 2020-2021")
    assert any("goes on with the next one at hand" in note for note in series.notes)
    later = history_series(PLACE, (2020, 2021))
    assert (series.times[8760:] == later.times).all()
    for name in ("ghi_w_m2", "temp_air_c", "snowfall_mm"):
        assert (getattr(series, name)[8760:] == getattr(later, name)).all()
    assert (series.sun.zenith_deg[8760:] == later.sun.zenith_deg).all()
    # Every year's July has its 31 windows, and none of the missing one.
    starts = window_starts(series, series.times[12 : 12 + 240], month=7)
    assert list(series.times.year[starts].value_counts().sort_index()) == [31, 31, 31]


def test_a_user_without_home_has_no_years_and_can_keep_none(monkeypatch):
    for name in ("SOLARSIM_CACHE", "XDG_CACHE_HOME", "HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(pwd, "getpwuid", {}.__getitem__)
    assert cached_years(PLACE) == ()
    with pytest.raises(InputError, match="no home folder; SOLARSIM_CACHE can name another"):
        history_folder(PLACE)
