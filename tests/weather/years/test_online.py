"""History from a stand-in server with its faults: patience, cache, resumption, and no trust."""

from __future__ import annotations

import datetime as dt
import json
import pwd
import time

import numpy as np
import pytest

from solarsim.errors import HistoryError, InputError
from solarsim.weather.places import find_place
from solarsim.weather.years.history import (
    HISTORY_QUANTITIES,
    HistoryYear,
    cached_years,
    damaged_years,
    history_folder,
    history_series,
    store_year,
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


@pytest.mark.one_plain
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


@pytest.mark.slow
@pytest.mark.one_plain
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


@pytest.mark.slow
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


@pytest.mark.slow
def test_missing_hours_are_closed_or_not_kept(cache, server):
    server.faults = ["gap", "long gap"]
    with pytest.raises(HistoryError, match="air temperature is missing for 100 hours") as caught:
        download_years(PLACE, (2019, 2020, 2021), url=server.url, sleep=lambda _: None)
    assert "2020 cannot be used and was not kept: " in str(caught.value)
    # Asked for once: it would come out the same; and the year after it was fetched.
    assert len(server.asked) == 3
    assert cached_years(PLACE) == (2019, 2021)
    series = history_series(PLACE, (2019,))
    assert series.quality is not None
    assert round(series.quality.missing_share * len(series.times)) == 2


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("fault", "reason"),
    [
        ("not yet over", "light and air are there for 7000 hours of 8760, .*not complete"),
        pytest.param("dark to its end", "GHI is missing for ", marks=pytest.mark.slow),
        ("negative", "GHI got -40 W/m2; must be -4 to 1500"),
        ("absurd", "GHI got 5000 W/m2; must be -4 to 1500"),
        pytest.param("no light", "GHI is 0 on the mean; must be", marks=pytest.mark.slow),
    ],
)
def test_a_year_that_no_answer_could_stand_on_is_not_kept(cache, server, fault, reason):
    server.faults = [fault]
    waits = []
    with pytest.raises(HistoryError, match=reason) as caught:
        download_years(PLACE, (2019,), url=server.url, sleep=waits.append)
    assert "\n" not in str(caught.value)
    assert waits == []
    assert cached_years(PLACE) == ()
    # Asked for again the next time.
    assert download_years(PLACE, (2019,), url=server.url) == (2019,)


@pytest.mark.slow
def test_an_endless_number_is_a_missing_one(cache, server):
    server.faults = ["endless"]
    download_years(PLACE, (2019,), url=server.url)
    assert np.isfinite(history_series(PLACE, (2019,)).temp_air_c).all()


@pytest.mark.parametrize(
    ("fault", "reason"),
    [
        ("another place", r"for 47.80, 13.04, not for 36.10, -79.95"),
        ("large", "larger than 20 MB"),
        ("bomb", "larger than 20 MB"),
        ("away", "to another host"),
    ],
)
def test_what_lasts_is_refused_without_asking_again(cache, server, fault, reason):
    server.faults = [fault] * 4
    waits = []
    with pytest.raises(HistoryError, match=reason):
        download_years(PLACE, (2019,), url=server.url, sleep=waits.append)
    assert waits == []
    assert not cache.exists()


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["no place", "nowhere", "oddly packed", "nested"])
def test_an_answer_that_is_none_is_refused(cache, server, fault):
    server.faults = [fault] * 4
    with pytest.raises(HistoryError, match=r"2019 could not be fetched"):
        download_years(PLACE, (2019,), url=server.url, sleep=lambda _: None)
    assert not cache.exists()


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["packed", "along"])
def test_an_answer_may_be_packed_and_the_service_may_move_on_its_host(cache, server, fault):
    server.faults = [fault]
    waits = []
    assert download_years(PLACE, (2019,), url=server.url, sleep=waits.append) == (2019,)
    assert waits == []


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["slow", "trickle"])
def test_all_of_an_answer_has_its_time(cache, server, fault):
    server.faults = [fault] * 4
    begun = time.monotonic()
    with pytest.raises(HistoryError, match="in the time that it may take"):
        download_years(PLACE, (2019,), url=server.url, sleep=lambda _: None, deadline_s=0.3)
    assert time.monotonic() - begun < 4 * 0.3 + 2.0


def test_secrets_of_an_address_are_neither_printed_nor_kept(cache, server):
    url = server.url.replace("://", "://visitor:open%20sesame@") + "?key=k4711"
    server.faults = ["", *["429"] * 4]
    with pytest.raises(HistoryError, match="refused with 429") as caught:
        download_years(PLACE, (2019, 2020), url=url, sleep=lambda _: None)
    said = str(caught.value) + (history_folder(PLACE) / "2019.json").read_text()
    for secret in ("visitor", "sesame", "k4711"):
        assert secret not in said
    assert server.asked[0]["key"] == "k4711"
    for wrong in ("ftp://me:sesame@x/", "https://me:sesame@/x", "https://me:sesame@x:port/"):
        with pytest.raises(InputError) as refused:
            download_years(PLACE, (2019,), url=wrong)
        assert "sesame" not in str(refused.value)


@pytest.mark.slow
def test_a_damaged_year_is_told_not_believed_and_fetched_again(cache, server):
    download_years(PLACE, (2019, 2020), url=server.url)
    path = history_folder(PLACE) / "2019.csv.gz"
    path.write_bytes(path.read_bytes()[:-30])
    assert cached_years(PLACE) == (2020,)
    assert damaged_years(PLACE) == (2019,)
    with pytest.raises(InputError, match="2019 is not in the cache"):
        history_series(PLACE, (2019,))
    assert download_years(PLACE, (2019,), url=server.url) == (2019,)
    assert damaged_years(PLACE) == ()


def test_a_year_of_another_place_is_not_believed(cache, server):
    download_years(PLACE, (2019,), url=server.url)
    elsewhere = find_place("36.20, -79.95")
    history_folder(PLACE).rename(history_folder(elsewhere))
    assert cached_years(elsewhere) == ()
    assert damaged_years(elsewhere) == (2019,)


@pytest.mark.slow
def test_years_are_fetched_again_on_request_and_stay_where_that_fails(cache, server):
    download_years(PLACE, (2019, 2020), url=server.url)
    assert download_years(PLACE, (2019, 2020), again=True, url=server.url) == (2019, 2020)
    assert len(server.asked) == 4
    server.faults = ["absurd"]
    with pytest.raises(HistoryError, match="5000"):
        download_years(PLACE, (2019,), again=True, url=server.url)
    assert cached_years(PLACE) == (2019, 2020)


def test_a_year_kept_before_it_was_checked_says_how_to_fetch_it_anew(cache, server):
    download_years(PLACE, (2019,), url=server.url)
    light = np.full(8760, 200.0)
    columns = dict.fromkeys(HISTORY_QUANTITIES, light) | {"temp_air_c": np.full(8760, 99.0)}
    store_year(PLACE, HistoryYear(2019, columns, 300.0, "by hand"))
    with pytest.raises(InputError, match=r"99 C.*; `solarsim weather get --again` fetches it anew"):
        history_series(PLACE, (2019,))


@pytest.mark.parametrize(
    "text", ["", "19", "2020-2010", "1990-2000", "2005-2024-2030", "²⁰¹⁹", "a"]
)
def test_years_that_cannot_be(text):
    with pytest.raises(InputError, match="years"):
        read_years(text)


def test_an_address_that_is_none():
    with pytest.raises(InputError, match="https"):
        download_years(PLACE, (2019,), url="file:///etc/hosts")


@pytest.mark.slow
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
