"""Plain CSV and NSRDB files: columns, clocks, units, steps and gaps."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pytest
from pvlib import iotools

from solarsim.errors import InputError, WeatherFileError
from solarsim.weather.places import find_place
from solarsim.weather.readers.csv import LIGHT_UNITS, CsvStatement
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.readers.tables.text import read_columns_option
from solarsim.weather.years.series import whole_years
from tests.weather.readers.tables_by_hand import (
    CSV_HEAD,
    NSRDB_HEAD,
    csv_text,
    finer,
    frame,
    nsrdb_text,
)

ARRAYS = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_air_c", "wind_speed_m_s")


@pytest.fixture(scope="module")
def june(greensboro):
    return frame(greensboro, "06-01", "06-20")


def agrees(series, table, **tolerance):
    tolerance = tolerance or {"abs": 1e-6}
    for name, column in zip(ARRAYS, ("ghi", "dni", "dhi", "temp", "wind"), strict=True):
        assert getattr(series, name) == pytest.approx(table[column].to_numpy(), **tolerance), name


def test_a_csv_gives_back_what_was_written(read, june):
    series = read(csv_text(june), "log.csv")
    agrees(series, june)
    assert series.times.tz_localize(None).equals(pd.DatetimeIndex(june["time"]))
    assert series.times[0].utcoffset() == dt.timedelta(hours=-5)
    assert not whole_years(series.times)
    assert series.quality.missing_share == 0.0
    # The file's own light is its own closure, bar the hours in which the sun rises or sets.
    assert series.quality.closure_share == 1.0
    assert any("ghi = 'GHI (W/m2)'" in note for note in series.notes)


@pytest.mark.slow
def test_a_whole_year_makes_windows_in_every_month(read, greensboro):
    series = read(csv_text(frame(greensboro, "01-01", "12-31")), "log.csv")
    assert whole_years(series.times)
    agrees(series, frame(greensboro, "01-01", "12-31"))


@pytest.mark.parametrize(
    ("delimiter", "comma"), [(",", False), (";", False), (";", True), ("\t", False), ("\t", True)]
)
def test_delimiters_and_decimal_commas(read, june, delimiter, comma):
    body = june.to_csv(index=False, sep=delimiter, decimal="," if comma else ".")
    agrees(read(CSV_HEAD + body, "log.csv"), june)


@pytest.mark.parametrize(
    "pattern",
    [
        "%Y-%m-%dT%H:%M:%S",
        "%d.%m.%Y %H:%M",
        "%d/%m/%Y %H:%M:%S",
        "%m/%d/%Y %I:%M %p",
        "%Y%m%d:%H%M",
    ],
)
def test_stamps_as_people_write_them(read, june, pattern):
    table = june.assign(time=june["time"].dt.strftime(pattern))
    agrees(read(csv_text(table), "log.csv"), june)


def test_stamps_with_their_own_offset_or_as_seconds(read, june):
    head = "# place = 36.10, -79.95\n"
    own = june.assign(time=june["time"].dt.strftime("%Y-%m-%dT%H:%M:%S-05:00"))
    agrees(read(csv_text(own, head), "log.csv"), june)
    seconds = (june["time"] + pd.Timedelta(hours=5)).astype("datetime64[s]").astype("int64")
    utc = csv_text(june.assign(time=seconds), head + "# timezone = UTC\n")
    agrees(read(utc, "log.csv"), june)


@pytest.mark.parametrize(("stamp", "shift_min"), [("end", 60), ("middle", 30), ("start", 0)])
def test_what_a_stamp_marks_is_stated(read, june, stamp, shift_min):
    table = june.assign(time=june["time"] + pd.Timedelta(minutes=shift_min))
    agrees(read(csv_text(table, CSV_HEAD + f"# stamp = {stamp}\n"), "log.csv"), june)


@pytest.mark.parametrize("per_hour", [2, 4, 12])
def test_steps_within_the_hour_are_averaged(read, june, per_hour):
    series = read(csv_text(finer(june, per_hour)), "log.csv")
    agrees(series, june)
    assert series.quality.step_minutes == 60 // per_hour


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("kWh/m2", 1e-3), ("Wh/m2", 1.0), ("kW/m2", 1e-3), ("MJ/m2", 3.6e-3), ("J/cm2", 0.36)],
)
def test_units_in_headings_and_in_statements(read, june, tmp_path, unit, factor):
    table = june.copy()
    for name in ("ghi", "dni", "dhi"):
        table[name] *= factor
    names = {name: f"{name} [{unit}]" for name in ("ghi", "dni", "dhi")}
    agrees(read(csv_text(table, **names), "log.csv"), june)
    bare = csv_text(table, **{name: name for name in ("ghi", "dni", "dhi")})
    path = tmp_path / "bare.csv"
    path.write_text(bare)
    agrees(read_weather_file(path, CsvStatement(light_unit=unit)), june)


def test_energy_of_a_quarter_of_an_hour(read, june):
    table = finer(june, 4)
    for name in ("ghi", "dni", "dhi"):
        table[name] *= 0.25e-3
    names = {name: f"{name}_kwh_m2" for name in ("ghi", "dni", "dhi")}
    agrees(read(csv_text(table, **names), "log.csv"), june)


def test_light_that_looks_like_another_unit_is_refused(read, june):
    table = june.assign(ghi=june["ghi"] / 1000.0)
    with pytest.raises(WeatherFileError, match=r"kWh/m2 or kW/m2; state the light's unit"):
        read(csv_text(table), "log.csv")


def test_other_units_of_air(read, june):
    table = june.assign(
        temp=june["temp"] * 1.8 + 32.0, wind=june["wind"] * 3.6, rh=june["rh"] / 100.0
    )
    series = read(csv_text(table, temp="Temp (F)", wind="Wind speed (km/h)", rh="RH"), "log.csv")
    agrees(series, june)
    assert series.relative_humidity == pytest.approx(june["rh"].to_numpy() / 100.0)


def test_short_gaps_are_closed_and_counted(read, june):
    holes = june.drop(index=[12, 13, 100]).assign()
    holes.loc[[60, 61], "ghi"] = np.nan
    holes.loc[35, "temp"] = -999.0
    series = read(csv_text(holes), "log.csv")
    assert len(series.times) == len(june)
    # By day 12, 13, 60, 61 and 100 (its temperature), and 35 for its temperature.
    assert round(series.quality.missing_share * len(series.times)) == 6
    assert any("6 of 480 hours lack" in note for note in series.notes)
    # Across noon a gap follows the sun's height: between its neighbours and a clear sky.
    assert series.ghi_w_m2[12] == pytest.approx(june["ghi"][12], rel=0.25)
    kept = np.setdiff1d(np.arange(480), [12, 13, 60, 61, 100, 35])
    assert series.ghi_w_m2[kept] == pytest.approx(june["ghi"].to_numpy()[kept])


def test_long_gaps_are_errors_but_dark_ones_are_none(read, june):
    with pytest.raises(WeatherFileError, match=r"GHI: is missing for 4 hours from 2001-06-02 10"):
        read(csv_text(june.drop(index=range(34, 38))), "log.csv")
    asleep = june.copy()
    asleep.loc[asleep["time"].dt.hour.isin([22, 23, 0, 1, 2, 3]), ["ghi", "dni", "dhi"]] = np.nan
    series = read(csv_text(asleep), "log.csv")
    agrees(series, june)
    assert series.quality.missing_share == 0.0


def test_clock_changes_of_a_local_clock(read, greensboro):
    """In 2001 New York's clocks went forward on 1 April and back on 28 October."""
    head = "# place = 36.10, -79.95\n# timezone = America/New_York\n"
    for first, last in (("03-25", "04-10"), ("10-20", "11-05")):
        table = frame(greensboro, first, last)
        local = table["time"].dt.tz_localize("UTC") + pd.Timedelta(hours=5)
        wall = local.dt.tz_convert("America/New_York").dt.tz_localize(None)
        agrees(read(csv_text(table.assign(time=wall), head), "log.csv"), table)
        # The repeated hour left out is a gap of one hour, closed.
        if first == "10-20":
            once = table.assign(time=wall)[~wall.duplicated()]
            series = read(csv_text(once, head), "log.csv")
            assert len(series.times) == len(table)
            assert any("repeat in autumn" in note for note in series.notes)
    with pytest.raises(WeatherFileError, match="leave out that day"):
        read(csv_text(frame(greensboro, "03-25", "04-10"), head), "log.csv")


def test_half_hour_zones_share_out_hours(read, greensboro):
    """Stamps in UTC at a place half an hour off: each hour is half of each of two."""
    table = frame(greensboro, "06-01", "06-20")
    table["time"] -= pd.Timedelta(hours=6)  # so that noon is near noon in UTC+5:30
    head = "# latitude = 28.6\n# longitude = 77.2\n# timezone = UTC\n"
    series = read(csv_text(table, head), "log.csv")
    assert series.times[0].utcoffset() == dt.timedelta(hours=5.5)
    ghi = table["ghi"].to_numpy()
    assert series.ghi_w_m2[10:200] == pytest.approx(0.5 * (ghi[9:199] + ghi[10:200]))


def test_leap_days(read, greensboro):
    leap_less = frame(greensboro, "02-10", "03-10", year=2020)
    series = read(csv_text(leap_less), "log.csv")
    assert len(series.times) == len(leap_less) + 24
    at = int(np.flatnonzero(series.times.strftime("%m%d%H") == "022912")[0])
    assert series.ghi_w_m2[at] == series.ghi_w_m2[at - 24]
    assert any("28 February stands in" in note for note in series.notes)


def test_statements_go_before_what_the_file_says(tmp_path, june):
    path = tmp_path / "log.csv"
    columns = read_columns_option("time=t, ghi=a, temp=b", ("time", "ghi", "temp"))
    table = june[["time", "ghi", "temp"]].set_axis(["t", "a", "b"], axis=1)
    path.write_text(table.to_csv(index=False))
    with pytest.raises(WeatherFileError, match="headings are t, a, b"):
        read_weather_file(path)
    statement = CsvStatement(place=find_place("36.10, -79.95"), timezone="-5", columns=columns)
    series = read_weather_file(path, statement)
    assert series.ghi_w_m2 == pytest.approx(june["ghi"].to_numpy())
    assert any("split from GHI" in note for note in series.notes)


def test_a_place_and_a_clock_are_asked_for(read, june):
    with pytest.raises(WeatherFileError, match="timezone: is not stated"):
        read(csv_text(june, "# place = 36.1, -79.95\n"), "log.csv")
    with pytest.raises(WeatherFileError, match="place: is not stated"):
        read(csv_text(june, "# timezone = UTC-5\n"), "log.csv")
    with pytest.raises(InputError, match="one of time, ghi"):
        read_columns_option("light=G", ("time", "ghi"))


def test_every_unit_of_light_is_a_factor():
    assert LIGHT_UNITS["kWh/m2"](0.25) == 4000.0
    assert LIGHT_UNITS["J/cm2"](1.0) == pytest.approx(1e4 / 3600.0)


# ---- NSRDB --------------------------------------------------------------------------------------


def test_nsrdb_equals_an_independent_reader(read, june, tmp_path):
    series = read(nsrdb_text(june), "site.csv")
    table, _ = iotools.read_nsrdb_psm4(tmp_path / "site.csv")
    assert series.ghi_w_m2 == pytest.approx(table["ghi"].to_numpy())
    assert series.temp_air_c == pytest.approx(table["temp_air"].to_numpy())
    assert (table.index - pd.Timedelta(minutes=30)).equals(series.times.tz_convert(table.index.tz))
    assert series.source.startswith("NSRDB file site.csv")
    assert series.place.elevation_m == 273.0


@pytest.mark.slow
def test_nsrdb_of_half_hours_and_of_a_typical_year(read, june, greensboro):
    # Stamps stand in the middle of the step.
    half = finer(june, 2)
    series = read(nsrdb_text(half, minute=15), "site.csv")
    agrees(series, june)
    year = frame(greensboro, "01-01", "12-31")
    odd = year["time"].dt.month % 2 == 1
    year["time"] = [
        t.replace(year=2007 if o else 2012) for t, o in zip(year["time"], odd, strict=True)
    ]
    series = read(nsrdb_text(year), "site.csv")
    assert any("months of several years" in note for note in series.notes)
    assert whole_years(series.times)
    agrees(series, frame(greensboro, "01-01", "12-31"))


def test_nsrdb_header_faults(read, june):
    body = nsrdb_text(june)
    for old, new, part in (
        (",w/m2,", ",kWh/m2,", "must be 'w/m2'"),
        ("36.10", "136.1", "latitude"),
        (",-79.95,-5,", ",-79.95,nan,", "timezone"),
        ("GHI,Temp", "Light,Temp", "has no column GHI"),
        ("2001,6,9,12,", "2889,6,9,12,", "got '2889'; must be a date and a time"),
    ):
        with pytest.raises(WeatherFileError, match=part):
            read(body.replace(old, new), "site.csv")
    assert NSRDB_HEAD in body
