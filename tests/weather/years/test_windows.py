"""Windows of a weather file: which, how many, and that each run keeps its own dates."""

import dataclasses
import datetime as dt
import pathlib

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.inputs.calendar import stay_times
from solarsim.inputs.stay import Stay
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.sky.sun import Sun, sun_at_mid_hour
from solarsim.weather.years.series import YearSeries
from solarsim.weather.years.windows import file_windows, stay_month, window_starts, year_windows

# pvlib 0.16 asks pandas 3.1 for the day of year by its old name.

DATA = pathlib.Path(pvlib.__file__).parent / "data"
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
FIELDS = (
    "ghi_w_m2",
    "dni_w_m2",
    "dhi_w_m2",
    "temp_air_c",
    "wind_speed_m_s",
    "relative_humidity",
    "snowfall_mm",
    "albedo",
)


@pytest.fixture(scope="module")
def greensboro() -> YearSeries:
    return read_weather_file(DATA / "723170TYA.CSV")


def numbered(years: int, first_year: int = 2019) -> YearSeries:
    """A series whose light is the hour's own number, so that a window shows where it was taken."""
    zone = dt.timezone(dt.timedelta(hours=1))
    times = pd.date_range(
        dt.datetime(first_year, 1, 1, tzinfo=zone),
        dt.datetime(first_year + years, 1, 1, tzinfo=zone),
        freq="h",
        inclusive="left",
        unit="us",
    )
    number = np.arange(len(times), dtype=float)
    place = dataclasses.replace(
        read_weather_file(DATA / "12839.tm2").place, timezone="Europe/Vienna", utc_offset_h=1.0
    )
    arrays = {name: number + 0.001 * k for k, name in enumerate(FIELDS)}
    sun = Sun(zenith_deg=number + 0.1, azimuth_deg=number + 0.2, dni_extra_w_m2=number + 0.3)
    return YearSeries(place=place, times=times, sun=sun, source="numbers", **arrays)


@pytest.fixture(scope="module")
def one_year() -> YearSeries:
    return numbered(1)


@pytest.fixture(scope="module")
def three_years() -> YearSeries:
    return numbered(3)


def times_of(series: YearSeries, stay: Stay, **keywords) -> pd.DatetimeIndex:
    return stay_times(stay, series.place.timezone, series.place.utc_offset_h, **keywords)


@pytest.mark.parametrize("month", range(1, 13))
def test_one_window_for_each_day_of_the_month(greensboro, month):
    times = times_of(greensboro, Stay(month=month))
    weather = file_windows(greensboro, times)
    assert weather.runs == DAYS[month - 1]
    assert weather.hours == 720
    assert weather.times is times
    assert weather.place == greensboro.place
    assert weather.zenith_deg.shape == (weather.runs, 720)
    # Consecutive windows are the same weather, a day later.
    assert (weather.ghi_w_m2[1:, :-24] == weather.ghi_w_m2[:-1, 24:]).all()


def test_sun_of_each_run_is_that_of_its_own_dates(greensboro):
    weather = file_windows(greensboro, times_of(greensboro, Stay(month=6)))
    for run in (0, 29):
        first = pd.Timestamp(2001, 6, run + 1, 16, tz=greensboro.times.tz)  # 17:00 summer time
        dates = pd.date_range(first, periods=720, freq="h", unit="us")
        sun = sun_at_mid_hour(greensboro.place, dates)
        assert weather.zenith_deg[run] == pytest.approx(sun.zenith_deg, abs=1e-9)
        assert weather.azimuth_deg[run] == pytest.approx(sun.azimuth_deg, abs=1e-9)
        assert weather.dni_extra_w_m2[run] == pytest.approx(sun.dni_extra_w_m2, abs=1e-9)


def test_light_and_sun_of_a_run_rise_together(greensboro):
    weather = file_windows(greensboro, times_of(greensboro, Stay(month=3)))
    assert weather.ghi_w_m2[weather.zenith_deg > 97.0].max() == 0.0
    assert weather.ghi_w_m2[weather.zenith_deg < 80.0].min() > 0.0


@pytest.mark.slow
def test_all_arrays_are_taken_from_the_same_hours(one_year):
    weather = file_windows(one_year, times_of(one_year, Stay(month=4)))
    for k, name in enumerate(FIELDS):
        assert getattr(weather, name) == pytest.approx(weather.ghi_w_m2 + 0.001 * k, abs=1e-9)
    for name, offset in (("zenith_deg", 0.1), ("azimuth_deg", 0.2), ("dni_extra_w_m2", 0.3)):
        assert getattr(weather, name) == pytest.approx(weather.ghi_w_m2 + offset, abs=1e-9)


def test_december_of_a_single_year_goes_on_with_its_january(one_year):
    weather = file_windows(one_year, times_of(one_year, Stay(month=12)))
    assert weather.runs == 31
    last = weather.ghi_w_m2[-1]
    # 31 December 17:00 leaves seven hours of the year.
    assert last[:8].tolist() == [8753, 8754, 8755, 8756, 8757, 8758, 8759, 0]
    assert last[8:].tolist() == list(range(1, 713))
    assert any("first January" in note for note in weather.notes)


def test_months_inside_the_file_do_not_wrap(one_year):
    weather = file_windows(one_year, times_of(one_year, Stay(month=11)))
    assert (np.diff(weather.ghi_w_m2, axis=1) == 1.0).all()
    assert not any("first January" in note for note in weather.notes)


def test_every_year_of_the_file_gives_its_windows(three_years):
    weather = file_windows(three_years, times_of(three_years, Stay(month=2)))
    assert weather.runs == 28 + 29 + 28
    starts = three_years.times[weather.ghi_w_m2[:, 0].astype(int)]
    assert set(starts.hour) == {17}
    assert set(starts.month) == {2}
    assert starts[28 + 28] == pd.Timestamp(2020, 2, 29, 17, tz=three_years.times.tz)
    assert any("3 years" in note for note in weather.notes)


def test_december_runs_on_into_the_next_year_of_the_file(three_years):
    weather = file_windows(three_years, times_of(three_years, Stay(month=12)))
    assert weather.runs == 93
    assert weather.ghi_w_m2[30, -1] == 8753 + 719
    assert weather.ghi_w_m2[-1, -1] == 712


@pytest.mark.slow
@given(
    month=st.integers(1, 12),
    days=st.integers(1, 60),
    runs=st.integers(1, 120),
    year=st.integers(2000, 2040),
)
@settings(max_examples=60, deadline=None)
def test_windows_are_unbroken_and_evenly_spread(three_years, month, days, runs, year):
    stay = Stay(month=month, days=days, year=year)
    times = times_of(three_years, stay)
    weather = file_windows(three_years, times, runs=runs, month=stay_month(stay))
    starts = weather.ghi_w_m2[:, 0].astype(int)
    whole = file_windows(three_years, times, month=stay_month(stay))
    assert weather.runs == min(runs, whole.runs)
    assert len(set(starts)) == weather.runs
    assert set(starts) <= set(whole.ghi_w_m2[:, 0].astype(int))
    step = np.diff(weather.ghi_w_m2, axis=1)
    assert ((step == 1.0) | (step == 1.0 - len(three_years.times))).all()
    # Evenly spread over the windows: neighbours are within one window of each other's distance.
    order = np.searchsorted(whole.ghi_w_m2[:, 0].astype(int), starts)
    gaps = np.diff(order)
    if len(gaps):
        assert gaps.max() - gaps.min() <= 1
    assert (three_years.times[starts].month == month).all()
    assert (three_years.times[starts].hour == times[0].hour).all()


@pytest.mark.slow
@given(month=st.integers(1, 12), days=st.integers(1, 30), year=st.integers(2000, 2040))
@settings(max_examples=200, deadline=None)
def test_month_is_found_from_the_stamps_alone(one_year, month, days, year):
    """A horizon that runs past the stay does not move the windows into the next month."""
    stay = Stay(month=month, days=days, year=year)
    assert stay_month(stay) == month
    times = times_of(one_year, stay)
    weather = file_windows(one_year, times, runs=1)
    assert one_year.times[int(weather.ghi_w_m2[0, 0])].month == month


def test_a_stay_by_date_takes_the_month_of_its_middle():
    assert stay_month(Stay(start=dt.date(2026, 1, 20), days=7)) == 1
    assert stay_month(Stay(start=dt.date(2026, 1, 29), days=7)) == 2
    assert stay_month(Stay(start=dt.date(2026, 12, 30), days=14)) == 1


def test_a_stay_of_a_whole_year_fits_a_typical_year(one_year):
    times = times_of(one_year, Stay(month=7, days=365))
    weather = file_windows(one_year, times, month=7)
    assert weather.ghi_w_m2.shape == (31, 8760)
    assert (np.sort(weather.ghi_w_m2, axis=1) == np.arange(8760.0)).all()


def test_notes_of_the_file_travel_on(greensboro):
    weather = file_windows(greensboro, times_of(greensboro, Stay()))
    assert set(greensboro.notes) < set(weather.notes)
    assert weather.source == greensboro.source
    assert any("31 runs" in note and "overlap" in note for note in weather.notes)


def test_what_cannot_be_asked_for(greensboro):
    times = times_of(greensboro, Stay())
    with pytest.raises(ValueError, match="runs=0; must be at least 1"):
        file_windows(greensboro, times, runs=0)
    with pytest.raises(ValueError, match="month=13; must be 1 to 12"):
        file_windows(greensboro, times, month=13)
    with pytest.raises(ValueError, match="times holds 0 hours; must be 1 to 8760"):
        file_windows(greensboro, times[:0])
    longer = pd.date_range(times[0], periods=8761, freq="h", unit="us")
    with pytest.raises(ValueError, match="times holds 8761 hours"):
        file_windows(greensboro, longer)
    with pytest.raises(ValueError, match="must be a whole hour of UTC-5"):
        file_windows(greensboro, stay_times(Stay(), "Europe/Vienna", 1.0))
    with pytest.raises(ValueError, match="must be a whole hour"):
        file_windows(greensboro, times + pd.Timedelta(minutes=20))


def test_a_year_s_window_starts_on_the_stay_s_own_day():
    series = numbered(3)
    for start, day in ((dt.date(2028, 2, 29), 28), (dt.date(2026, 12, 27), 27)):
        times = stay_times(Stay(start=start, days=5), "Europe/Vienna", 1.0)
        weather = year_windows(series, times)
        assert weather.run_years == (2019, 2020, 2021)
        first = weather.ghi_w_m2[:, 0].astype(int)
        assert {(t.month, t.day, t.hour) for t in series.times[first]} == {(start.month, day, 17)}
    # The last December goes on with the first January.
    assert weather.ghi_w_m2[-1, -1] < weather.ghi_w_m2[-1, 0]


@pytest.mark.parametrize("start", [dt.date(2026, 1, 5), dt.date(2026, 7, 12)])
def test_windows_around_a_day_are_a_month_of_each_year(start):
    series = numbered(4)
    times = stay_times(Stay(start=start, days=7), "Europe/Vienna", 1.0)
    starts = window_starts(series, times, around=True)
    day = series.times[starts].day_of_year.to_numpy()
    apart = (day - start.timetuple().tm_yday + 182) % 365 - 182
    assert abs(apart).max() in (15, 16)
    assert len(starts) == 4 * 31
    # By the day's number within the year, of which one is a leap year.
    assert abs(apart.mean()) < 0.3
