"""Weather files: the published typical years, the formats' conventions, and every fault."""

import datetime as dt
import math
import os
import pathlib
import time

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pvlib import iotools, irradiance

from solarsim.errors import WeatherFileError
from solarsim.weather.file_checks import TYPICAL_YEAR, light_lag_min
from solarsim.weather.files import (
    DEFAULT_ALBEDO,
    DEFAULT_RELATIVE_HUMIDITY,
    DEFAULT_WIND_SPEED_M_S,
    MAX_FILE_BYTES,
    YearSeries,
    read_weather_file,
)
from solarsim.weather.sun import sun_at_mid_hour

# pvlib 0.16 asks pandas 3.1 for the day of year by its old name.

DATA = pathlib.Path(pvlib.__file__).parent / "data"
GREENSBORO = DATA / "723170TYA.CSV"
SAND_POINT = DATA / "703165TY.csv"
MIAMI = DATA / "12839.tm2"

EPW_HEADER = [
    "LOCATION,Greensboro,NC,USA,TMY3,723170,36.10,-79.95,-5.0,273.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,made for a test",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
]
FIRST_ROW = len(EPW_HEADER) + 1
# Positions of EPW fields, from 0 (from memory of the format's description).
YEAR, MONTH, DAY, HOUR, TEMP, HUMIDITY, GHI, DNI, DHI = 0, 1, 2, 3, 6, 8, 13, 14, 15
WIND, SNOW_DEPTH, ALBEDO, RAIN, RAIN_H = 21, 30, 32, 33, 34


@pytest.fixture(scope="module")
def greensboro() -> YearSeries:
    return read_weather_file(GREENSBORO)


@pytest.fixture(scope="module")
def epw_rows() -> list[list[str]]:
    """Greensboro's published typical year in EPW's fields, taken apart by pvlib's own reader."""
    table, _ = iotools.read_tmy3(GREENSBORO)
    raw_date = pd.to_datetime(table["Date (MM/DD/YYYY)"], format="%m/%d/%Y")
    rows = []
    for date, (_, row) in zip(raw_date, table.iterrows(), strict=True):
        cells = ["0"] * 35
        hour = int(row["Time (HH:MM)"][:2])
        cells[:6] = [str(date.year), str(date.month), str(date.day), str(hour), "60", "A7A7"]
        cells[TEMP] = f"{row['temp_air']:.1f}"
        cells[HUMIDITY] = f"{row['relative_humidity']:.0f}"
        cells[GHI], cells[DNI], cells[DHI] = (f"{row[key]:.0f}" for key in ("ghi", "dni", "dhi"))
        cells[WIND] = f"{row['wind_speed']:.1f}"
        cells[SNOW_DEPTH], cells[ALBEDO], cells[RAIN], cells[RAIN_H] = "999", "999", "999", "99"
        rows.append(cells)
    return rows


def epw_text(rows: list[list[str]], header: list[str] | None = None) -> str:
    lines = [*(EPW_HEADER if header is None else header), *(",".join(cells) for cells in rows)]
    return "\n".join(lines) + "\n"


def copied(rows: list[list[str]], field: int, value: str, *, at: slice = slice(None)) -> list:
    changed = [list(cells) for cells in rows]
    for cells in changed[at]:
        cells[field] = value
    return changed


@pytest.fixture
def read(tmp_path):
    def reader(content: str | bytes, name: str = "site.epw") -> YearSeries:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_weather_file(path)

    return reader


# ---- published typical years ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "ghi", "dni", "dhi", "temp_air_c", "zone", "latitude_deg"),
    [
        (GREENSBORO, 1566.2, 1476.5, 682.2, 14.42, "America/New_York", 36.1),
        (SAND_POINT, 829.2, 819.2, 460.9, 4.42, "America/Anchorage", 55.317),
        (MIAMI, 1792.6, 1504.9, 809.5, 24.31, "America/New_York", 25.8),
    ],
)
def test_annual_sums_of_published_years(path, ghi, dni, dhi, temp_air_c, zone, latitude_deg):
    series = read_weather_file(path)
    assert series.ghi_w_m2.sum() / 1e3 == pytest.approx(ghi, abs=0.06)
    assert series.dni_w_m2.sum() / 1e3 == pytest.approx(dni, abs=0.06)
    assert series.dhi_w_m2.sum() / 1e3 == pytest.approx(dhi, abs=0.06)
    assert series.temp_air_c.mean() == pytest.approx(temp_air_c, abs=0.006)
    assert series.place.timezone == zone
    assert series.place.latitude_deg == pytest.approx(latitude_deg)
    assert len(series.times) == 8760
    assert series.times[0] == pd.Timestamp(
        TYPICAL_YEAR, 1, 1, tz=dt.timezone(dt.timedelta(hours=series.place.utc_offset_h))
    )
    assert (np.diff(series.times.asi8) == 3_600_000_000).all()


def test_monthly_light_of_greensboro(greensboro):
    daily = pd.Series(greensboro.ghi_w_m2, greensboro.times.month).groupby(level=0).mean() * 0.024
    published = [2.41, 3.06, 4.25, 5.41, 5.64, 6.25, 6.08, 5.61, 4.43, 3.59, 2.43, 2.24]
    assert daily.to_list() == pytest.approx(published, abs=0.006)


@pytest.mark.parametrize(
    ("path", "reader", "names", "tenths"),
    [
        (GREENSBORO, iotools.read_tmy3, ("ghi", "dni", "dhi", "temp_air", "wind_speed"), 1.0),
        (MIAMI, iotools.read_tmy2, ("GHI", "DNI", "DHI", "DryBulb", "Wspd"), 10.0),
    ],
)
def test_columns_equal_those_of_an_independent_reader(path, reader, names, tenths):
    table, _ = reader(path)
    series = read_weather_file(path)
    for name, ours in zip(
        names[:3], (series.ghi_w_m2, series.dni_w_m2, series.dhi_w_m2), strict=True
    ):
        assert ours.tolist() == table[name].to_list()
    for name, ours in zip(names[3:], (series.temp_air_c, series.wind_speed_m_s), strict=True):
        readings = table[name].to_numpy(dtype=float) / tenths
        # Readings stand at the hour's end: the hour's mean lies between two of them.
        assert ours[1:] == pytest.approx((readings[1:] + readings[:-1]) / 2, abs=1e-9)


@pytest.mark.parametrize("path", [GREENSBORO, SAND_POINT, MIAMI])
def test_light_fits_the_sun_at_mid_hour_within_ten_minutes(path):
    series = read_weather_file(path)
    zenith_deg = series.sun.zenith_deg
    assert abs(light_lag_min(series.ghi_w_m2, zenith_deg)) < 10.0
    # A sun that is read at another minute shows by just as much.
    for late_min in (-60, -30, 30, 60):
        times = series.times + pd.Timedelta(minutes=late_min)
        other = sun_at_mid_hour(series.place, times).zenith_deg
        assert light_lag_min(series.ghi_w_m2, other) == pytest.approx(late_min, abs=10.0)


def test_lag_of_a_pure_sun_is_what_was_put_in():
    hours = np.arange(240.0)

    def zenith_deg(hour):
        return np.degrees(np.arccos(np.cos(2 * math.pi * (hour - 12.0) / 24.0)))

    for lag_min in (-100.0, -20.0, 0.0, 12.0, 60.0):
        light = np.maximum(np.cos(np.radians(zenith_deg(hours - lag_min / 60.0))), 0.0)
        assert light_lag_min(light, zenith_deg(hours)) == pytest.approx(lag_min, abs=1.5)


def test_extraterrestrial_column_is_the_sun_at_mid_hour(greensboro):
    """The file holds the light above the air as a mean over the hour: no weather blurs it."""
    table, _ = iotools.read_tmy3(GREENSBORO)
    file_w_m2 = table["ghi_extra"].to_numpy(dtype=float)
    sun = greensboro.sun
    ours = sun.dni_extra_w_m2 * np.cos(np.radians(sun.zenith_deg))
    high = sun.zenith_deg < 75.0
    # One calendar year stands for several, and the file's solar constant is its own: within 2 %.
    assert ours[high] == pytest.approx(file_w_m2[high], rel=0.02, abs=3.0)


# ---- EPW ------------------------------------------------------------------------------------


def test_epw_gives_the_series_of_the_file_it_was_made_from(read, epw_rows, greensboro):
    series = read(epw_text(epw_rows))
    for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_air_c", "wind_speed_m_s"):
        assert getattr(series, name) == pytest.approx(getattr(greensboro, name), abs=1e-9), name
    assert series.times.equals(greensboro.times)
    assert series.place.name == "Greensboro, NC"
    assert series.place.elevation_m == 273.0
    assert "EPW file site.epw" in series.source


def test_epw_columns_equal_those_of_an_independent_reader(read, epw_rows, tmp_path):
    series = read(epw_text(epw_rows))
    table, meta = iotools.read_epw(tmp_path / "site.epw")
    assert meta["TZ"] == series.place.utc_offset_h
    for name in ("ghi", "dni", "dhi"):
        assert getattr(series, f"{name}_w_m2").tolist() == table[name].to_list()
    assert table.index[8].hour == series.times[8].hour


def test_format_is_told_by_content_not_by_extension(read, epw_rows):
    assert read(epw_text(epw_rows), "site.csv").source.startswith("EPW")
    assert read(GREENSBORO.read_bytes(), "site.epw").source.startswith("TMY3")
    assert read(MIAMI.read_bytes(), "site").source.startswith("TMY2")


def test_line_ends_marks_and_old_encodings_change_nothing(read, epw_rows):
    plain = epw_text(epw_rows)
    variants = [
        plain.replace("\n", "\r\n").encode(),
        plain.replace("\n", "\r").encode(),
        b"\xef\xbb\xbf" + plain.encode(),
        plain.encode() + b"\n\n\x1a",
        plain.replace("Greensboro", "Höhe").encode("latin-1"),
        plain.replace("Greensboro", "Höhe, Ost").encode(),
    ]
    names = {read(content).place.name for content in variants}
    assert names == {"Greensboro, NC", "Höhe, NC", "Höhe, Ost"}


def test_single_actual_year_keeps_its_dates(read, epw_rows):
    series = read(epw_text(copied(epw_rows, YEAR, "2019")))
    assert series.times[0].year == 2019
    assert "2019" in series.source
    assert not any("different years" in note for note in series.notes)


def with_leap_days(rows: list[list[str]], first_year: int, years: int) -> list[list[str]]:
    """The same weather over consecutive calendar years, 28 February repeated as the 29th."""
    out = []
    for year in range(first_year, first_year + years):
        one = copied(rows, YEAR, str(year))
        if year % 4 == 0:
            end = (31 + 28) * 24
            one[end:end] = copied(one[end - 24 : end], DAY, "29")
        out += one
    return out


def test_several_years_with_a_leap_day(read, epw_rows):
    series = read(epw_text(with_leap_days(epw_rows, 2019, 2)))
    assert len(series.times) == 8760 + 8784
    assert (series.times[0].year, series.times[-1].year) == (2019, 2020)
    assert ((series.times.month == 2) & (series.times.day == 29)).sum() == 24
    assert series.ghi_w_m2[8760 : 8760 + 1416].tolist() == series.ghi_w_m2[:1416].tolist()


def test_half_hour_time_zone(read, epw_rows):
    header = [EPW_HEADER[0].replace("36.10,-79.95,-5.0", "28.60,77.20,5.5"), *EPW_HEADER[1:]]
    series = read(epw_text(epw_rows, header))
    assert series.place.timezone == "Asia/Kolkata"
    assert series.times[0].utcoffset() == dt.timedelta(hours=5.5)


# ---- defaults and what is derived -----------------------------------------------------------


def test_missing_beam_and_diffuse_are_split_from_ghi(read, epw_rows):
    rows = copied(copied(epw_rows, DNI, "9999"), DHI, "9999")
    series = read(epw_text(rows))
    assert any("Erbs" in note and "the whole file" in note for note in series.notes)
    assert (series.dhi_w_m2 <= series.ghi_w_m2 + 1e-9).all()
    cos_zenith = np.cos(np.radians(series.sun.zenith_deg))
    high = series.sun.zenith_deg < 80.0
    closure = series.dhi_w_m2 + series.dni_w_m2 * cos_zenith
    assert closure[high] == pytest.approx(series.ghi_w_m2[high], abs=1e-6)
    # Published comparison of this decomposition with this file: annual diffuse 1.05 of its own.
    assert series.dhi_w_m2.sum() / 682.2e3 == pytest.approx(1.05, abs=0.01)
    extra = series.sun.dni_extra_w_m2 * np.maximum(cos_zenith, math.cos(math.radians(86.26)))
    clearness = np.clip(series.ghi_w_m2 / extra, 0.0, 1.0)
    overcast = high & (clearness > 0.0) & (clearness <= 0.22)
    share = series.dhi_w_m2[overcast] / series.ghi_w_m2[overcast]
    assert share == pytest.approx(1.0 - 0.09 * clearness[overcast], abs=1e-6)


def test_partly_missing_beam_is_split_in_those_hours_alone(read, epw_rows, greensboro):
    series = read(epw_text(copied(epw_rows, DNI, "9999", at=slice(4000, 4010))))
    other = np.r_[0:4000, 4010:8760]
    assert (series.dni_w_m2[other] == greensboro.dni_w_m2[other]).all()
    assert any("10 of 8760 hours" in note for note in series.notes)


def test_missing_humidity_wind_and_albedo_take_named_defaults(read, epw_rows):
    rows = copied(copied(epw_rows, HUMIDITY, "999"), WIND, "999")
    series = read(epw_text(rows))
    assert (series.relative_humidity == DEFAULT_RELATIVE_HUMIDITY).all()
    assert (series.wind_speed_m_s == DEFAULT_WIND_SPEED_M_S).all()
    assert (series.albedo == DEFAULT_ALBEDO).all()
    for word in ("relative humidity", "wind speed", "ground albedo"):
        assert any(f"No {word} in the whole file" in note for note in series.notes)


def test_default_wind_is_the_two_metre_mean_at_ten_metres():
    # FAO-56 equation 47 turned round.
    assert 2.0 * math.log(67.8 * 10 - 5.42) / 4.87 == pytest.approx(
        DEFAULT_WIND_SPEED_M_S, abs=0.05
    )


def test_file_without_the_last_columns(read, epw_rows):
    """Older EPW files end before albedo and precipitation."""
    series = read(epw_text([cells[:32] for cells in epw_rows]))
    assert (series.albedo == DEFAULT_ALBEDO).all()
    assert (series.snowfall_mm == 0.0).all()


def test_albedo_of_the_file_is_kept():
    series = read_weather_file(SAND_POINT)
    assert series.albedo.min() == 0.11
    assert series.albedo.max() == 0.25


def test_snowfall_is_the_rise_of_snow_depth(read, epw_rows):
    rows = copied(epw_rows, SNOW_DEPTH, "0")
    for cells in rows[100:200]:
        cells[SNOW_DEPTH] = "5"
    for cells in rows[150:200]:
        cells[SNOW_DEPTH] = "12"
    for cells in rows[120:130]:  # missing hours neither melt nor fall again
        cells[SNOW_DEPTH] = "999"
    series = read(epw_text(rows))
    assert np.flatnonzero(series.snowfall_mm).tolist() == [100, 150]
    assert series.snowfall_mm[[100, 150]].tolist() == [5.0, 7.0]


def test_snowfall_from_precipitation_in_the_cold(read, epw_rows):
    rows = copied(copied(epw_rows, RAIN, "0.2"), RAIN_H, "1")
    series = read(epw_text(rows))
    cold = series.temp_air_c <= 0.5
    assert 0 < cold.sum() < 2000
    assert (series.snowfall_mm == np.where(cold, 0.2, 0.0)).all()
    assert any(f"{0.2 * cold.sum():.0f} mm of water a year" in note for note in series.notes)


@pytest.mark.parametrize(("rain", "hours"), [("0.6", "1"), ("310", "1"), ("0.1", "6"), ("-1", "1")])
def test_precipitation_that_cannot_be_hourly_mm_is_not_used(read, epw_rows, rain, hours):
    series = read(epw_text(copied(copied(epw_rows, RAIN, rain), RAIN_H, hours)))
    assert (series.snowfall_mm == 0.0).all()
    assert any("precipitation column was not used" in note for note in series.notes)


def test_no_snow_recorded_says_so(greensboro):
    assert any("No snowfall: the file records none" in note for note in greensboro.notes)
    assert any("snow depth is zero" in note for note in read_weather_file(MIAMI).notes)


def test_night_offset_is_set_to_zero_and_noted(read, epw_rows):
    series = read(epw_text(copied(epw_rows, GHI, "-2", at=slice(0, 3))))
    assert series.ghi_w_m2.min() == 0.0
    assert any("3 values of light slightly below zero" in note for note in series.notes)


def test_clock_that_differs_from_the_place_is_noted(read, epw_rows):
    header = [EPW_HEADER[0].replace(",-5.0,", ",-5.5,"), *EPW_HEADER[1:]]
    series = read(epw_text(epw_rows, header))
    assert series.place.utc_offset_h == -5.5
    assert any("UTC-5.5" in note and "America/New_York" in note for note in series.notes)
    assert any("30 min after the sun" in note for note in series.notes)


# ---- faults ---------------------------------------------------------------------------------


def refused(read, content, *parts, name="site.epw"):
    with pytest.raises(WeatherFileError) as caught:
        read(content, name)
    message = str(caught.value)
    assert message.startswith(caught.value.source)
    assert caught.value.source.endswith(name)
    for part in parts:
        assert part in message, message
    assert "\n" not in message


CELL_FAULTS = [
    (100, GHI, "9999", ("GHI", "missing")),
    (100, TEMP, "99.9", ("dry bulb temperature", "missing")),
    (100, GHI, "", ("GHI", "is empty")),
    (100, GHI, "nan", ("GHI", "must hold a number")),
    (100, DNI, "abc", ("DNI", "got 'abc'")),
    (100, GHI, "1e999", ("GHI", "must hold a number")),
    (109, GHI, "1501", ("GHI", "got 1501", "1500")),
    (109, GHI, "-5", ("GHI", "got -5", "-4")),
    (109, DHI, "2000", ("DHI", "2000")),
    (109, TEMP, "61", ("dry bulb temperature", "61", "60")),
    (109, TEMP, "-91", ("dry bulb temperature", "-91", "-90")),
    (109, HUMIDITY, "130", ("relative humidity", "130", "110")),
    (109, WIND, "-1", ("wind speed", "-1")),
    (97, GHI, "50", ("GHI", "below the horizon", "at most 10")),
    (97, DHI, "50", ("DHI", "below the horizon")),
    (100, MONTH, "13", ("month", "got 13", "1 to 12")),
    (100, DAY, "32", ("day", "got 32", "1 to 31")),
    (100, HOUR, "0", ("hour", "got 0", "1 to 24")),
    (100, HOUR, "25", ("hour", "got 25", "1 to 24")),
    (100, HOUR, "4.5", ("hour", "whole number")),
    (100, DAY, "6", ("after", "every hour must stand once")),
]


@pytest.mark.parametrize(("at", "field", "value", "parts"), CELL_FAULTS)
def test_a_bad_cell_is_named_with_its_row(read, epw_rows, at, field, value, parts):
    rows = copied(epw_rows, field, value, at=slice(at, at + 1))
    refused(read, epw_text(rows), f"row {FIRST_ROW + at}", *parts)


def test_gaps_and_repeats_are_named_with_their_row(read, epw_rows):
    gap = epw_rows[:500] + epw_rows[503:]
    refused(read, epw_text(gap), f"row {FIRST_ROW + 500}", "holds 21 January hour 24 after")
    again = epw_rows[:500] + epw_rows[499:]
    refused(read, epw_text(again), f"row {FIRST_ROW + 500}", "again")
    blank = epw_text(epw_rows[:500]) + "\n" + epw_text(epw_rows[500:], [])
    refused(read, blank, f"row {FIRST_ROW + 500}", "is empty")


def test_files_that_are_no_whole_years(read, epw_rows):
    whole = "whole years from 1 January to 31 December"
    refused(read, epw_text(epw_rows[: 100 * 24]), "holds 2400 hours", whole)
    refused(read, epw_text(epw_rows[:-1]), "holds 8759 hours", whole)
    refused(read, epw_text(epw_rows[24:]), "from 2 January", whole)
    refused(read, epw_text([]), "holds a header and no hours")
    refused(read, "\n".join(EPW_HEADER), "holds a header and no hours")
    cut = epw_text(epw_rows)[:-60]
    refused(read, cut, f"row {FIRST_ROW + 8759}")


def test_years_that_do_not_follow_each_other(read, epw_rows):
    two = copied(epw_rows, YEAR, "2018") + copied(epw_rows, YEAR, "2021")
    refused(read, epw_text(two), f"row {FIRST_ROW + 8760}", "got year 2021", "consecutive")
    no_leap_day = copied(epw_rows, YEAR, "2019") + copied(epw_rows, YEAR, "2020")
    refused(read, epw_text(no_leap_day), "2020", "29 February")


@pytest.mark.parametrize(
    ("old", "new", "parts"),
    [
        (",36.10,", ",136.1,", ("latitude", "got 136.1", "-90 to 90")),
        (",36.10,", ",north,", ("LOCATION", "'north'", "must be numbers")),
        (",36.10,", ",nan,", ("latitude", "got nan")),
        (",-79.95,", ",-279.95,", ("longitude", "-180 to 180")),
        (",-5.0,", ",-50,", ("time zone", "-12 to 14")),
        (",-5.0,", ",5.0,", ("time zone", "from the sun's time")),
        (",-5.0,", ",-5.1,", ("time zone", "quarter of an hour")),
        (",273.0", ",27300", ("elevation", "-500 to 9000")),
        (",723170,36.10,-79.95,-5.0,273.0", "", ("LOCATION", "must hold 10")),
    ],
)
def test_a_bad_header_is_named(read, epw_rows, old, new, parts):
    header = [EPW_HEADER[0].replace(old, new), *EPW_HEADER[1:]]
    refused(read, epw_text(epw_rows, header), *parts)


def test_light_that_is_off_the_sun_is_refused(read, epw_rows):
    parts = ("below the horizon", "time zone or stamps may be wrong")
    # With both signs wrong the sun is off by 40 minutes alone, and that shows.
    header = [EPW_HEADER[0].replace("-79.95,-5.0", "79.95,5.0"), *EPW_HEADER[1:]]
    refused(read, epw_text(epw_rows, header), *parts)
    header = [EPW_HEADER[0].replace("-79.95,-5.0", "-79.95,-9.0"), *EPW_HEADER[1:]]
    refused(read, epw_text(epw_rows, header), *parts)
    # Hours stamped at their start.
    rows = [list(cells) for cells in epw_rows]
    for cells, later in zip(rows, [*epw_rows[1:], epw_rows[0]], strict=True):
        cells[GHI], cells[DNI], cells[DHI] = later[GHI], later[DNI], later[DHI]
    refused(read, epw_text(rows), *parts)


def test_records_per_hour_and_missing_data_periods(read, epw_rows):
    quarter = [*EPW_HEADER[:-1], EPW_HEADER[-1].replace(",1,1,", ",1,4,")]
    refused(read, epw_text(epw_rows, quarter), "row 8", "records per hour", "must be 1")
    refused(read, epw_text(epw_rows, EPW_HEADER[:-1]), "DATA PERIODS")


def test_light_in_another_unit(read, epw_rows):
    rows = [list(cells) for cells in epw_rows]
    for cells in rows:
        cells[GHI] = f"{float(cells[GHI]) / 1000:.3f}"
    refused(read, epw_text(rows), "GHI", "on the mean", "another unit")


def test_rows_of_the_wrong_width(read, epw_rows):
    rows = [*epw_rows[:40], epw_rows[40] + ["1"] * 20, *epw_rows[41:]]
    refused(read, epw_text(rows), f"row {FIRST_ROW + 40}", "55 fields")
    text = GREENSBORO.read_text().split("\n")
    text[50] += ",1,2,3"
    refused(read, "\n".join(text), "row 51", "fields", name="site.csv")
    lines = MIAMI.read_text().split("\n")
    lines[60] = lines[60][:-3]
    refused(read, "\n".join(lines), "row 61", "142", name="site.tm2")


def test_tmy3_faults_are_named(read):
    text = GREENSBORO.read_text()
    name = "site.csv"
    refused(read, text.replace("GHI (W/m^2)", "G (W/m^2)"), "has no column for GHI", name=name)
    refused(read, text.replace("01/02/1988,03:00", "01.02.1988,03:00"), "row 29", "DATE", name=name)
    refused(read, text.replace("01/02/1988,03:00", "01/02/1988,03:30"), "row 29", "TIME", name=name)
    refused(read, text.replace("01/02/1988,03:00", "02/30/1988,03:00"), "row 29", "30", name=name)
    refused(read, text.replace("NC,-5.0", "NC,east"), "row 1", "'east'", name=name)
    refused(
        read, text.replace("NC,-5.0,36.100,-79.950,273", "NC"), "row 1", "must hold 7", name=name
    )
    refused(read, "\n".join(text.split("\n")[:2]), "no hours", name=name)
    lines = text.split("\n")
    refused(read, "\n".join(lines[:3000]), "whole years", name=name)


def test_tmy2_faults_are_named(read):
    text = MIAMI.read_text()
    name = "site.tm2"
    refused(read, text.split("\n")[0], "no hours", name=name)
    lines = text.split("\n")
    refused(read, "\n".join(lines[:3000]), "whole years", name=name)
    lines[20] = lines[20][:17] + "xxxx" + lines[20][21:]
    refused(read, "\n".join(lines), "row 21", "GHI", "'xxxx'", name=name)
    refused(read, text.replace("N 25 48", "N 95 48"), "latitude", name=name)


def test_city_of_several_words_in_tmy2(read):
    text = MIAMI.read_text().replace("MIAMI     ", "NEW LONDON")
    assert read(text, "site.tm2").place.name == "NEW LONDON, FL"


@pytest.mark.parametrize(
    ("content", "name", "parts"),
    [
        (b"", "site.epw", ("is empty",)),
        (b"  \n\n", "site.epw", ("is empty",)),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "site.epw", ("is not text",)),
        ("LOCATION,".encode("utf-16"), "site.epw", ("is not text",)),
        (b"PK\x03\x04abc", "site.epw", ("is compressed (zip)", "unpack")),
        (b"\x1f\x8babc", "site.epw", ("is compressed (gzip)",)),
        (b"hello", "site.epw", ("EPW, TMY3 or TMY2", "starts with 'LOCATION,'")),
        (b"hello", "site.tm2", ("EPW, TMY3 or TMY2", "station number")),
        (b"hello,world\n1,2\n", "site.csv", ("EPW, TMY3 or TMY2", "Date (MM/DD/YYYY)")),
        (b"hello", "site.xyz", ("EPW, TMY3 or TMY2",)),
        (bytes(range(128, 256)) * 3, "site.epw", ("EPW, TMY3 or TMY2",)),
    ],
)
def test_what_is_no_weather_file(read, content, name, parts):
    refused(read, content, *parts, name=name)


def test_paths_that_cannot_be_read(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    huge = tmp_path / "huge.epw"
    with huge.open("wb") as file:
        file.truncate(MAX_FILE_BYTES + 1)
    for path, part in (
        (tmp_path / "none.epw", "cannot be read: No such file"),
        (tmp_path, "is a folder"),
        (tmp_path / "pipe", "is no plain file"),
        (huge, "must be at most 100 MB"),
        (tmp_path / ("x" * 400), "cannot be read"),
        (pathlib.Path("a\0b"), "is no file name"),
    ):
        with pytest.raises(WeatherFileError, match=part) as caught:
            read_weather_file(path)
        assert caught.value.source == str(path)


# ---- mutated files --------------------------------------------------------------------------

MUTATIONS = st.lists(
    st.tuples(
        st.sampled_from(["replace", "delete", "insert", "repeat", "cut"]),
        st.floats(0.0, 1.0),
        st.binary(min_size=1, max_size=12)
        | st.sampled_from([b",", b"\n", b"\r", b'"', b"-", b"9999", b"nan", b",,,,,", b"\xff"]),
    ),
    min_size=1,
    max_size=4,
)


def mutated(content: bytes, mutations: list[tuple[str, float, bytes]]) -> bytes:
    for kind, where, new in mutations:
        at = int(where * len(content))
        match kind:
            case "replace":
                content = content[:at] + new + content[at + len(new) :]
            case "delete":
                content = content[:at] + content[at + 8 * len(new) :]
            case "insert":
                content = content[:at] + new + content[at:]
            case "repeat":
                content = content[:at] + content[max(at - 200, 0) :]
            case "cut":
                content = content[: max(at, 1)]
    return content


@pytest.fixture(scope="module")
def files_to_mutate(epw_rows, tmp_path_factory) -> pathlib.Path:
    """A folder with the first day of a file in each format, and one whole file."""
    folder = tmp_path_factory.mktemp("files")
    (folder / "day.epw").write_text(epw_text(epw_rows[:30]))
    for name, path, lines in (("day.csv", GREENSBORO, 20), ("day.tm2", MIAMI, 30)):
        (folder / name).write_bytes(b"\n".join(path.read_bytes().split(b"\n")[:lines]))
    (folder / "whole.epw").write_text(epw_text(epw_rows))
    assert all(path.stat().st_size > 2000 for path in folder.iterdir())
    return folder


@pytest.mark.parametrize("name", ["day.epw", "day.csv", "day.tm2"])
@given(mutations=MUTATIONS)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_mutated_bytes_raise_nothing_but_a_weather_file_error(files_to_mutate, name, mutations):
    path = files_to_mutate / f"mutated {name}"
    path.write_bytes(mutated((files_to_mutate / name).read_bytes(), mutations))
    # A day is no year, so that every variant must be refused.
    with pytest.raises(WeatherFileError) as caught:
        read_weather_file(path)
    assert str(path) in str(caught.value)


@given(mutations=MUTATIONS)
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_mutated_whole_file_is_refused_or_sound(files_to_mutate, mutations):
    path = files_to_mutate / "mutated whole.epw"
    path.write_bytes(mutated((files_to_mutate / "whole.epw").read_bytes(), mutations))
    try:
        series = read_weather_file(path)
    except WeatherFileError:
        return
    for values in (series.ghi_w_m2, series.dni_w_m2, series.dhi_w_m2, series.temp_air_c):
        assert np.isfinite(values).all()
        assert len(values) == len(series.times)


def test_reading_is_quick(greensboro):
    start = time.process_time()
    read_weather_file(GREENSBORO)
    # 0.13 s on the machine it was measured on; the bound leaves room for a slow one.
    assert time.process_time() - start < 1.0


def test_erbs_reference_is_the_published_curve():
    """The independent function that the split uses, at published points (Erbs 1982)."""
    cos_zenith, extra = 0.9, 1367.0
    clearness = np.array([0.1, 0.22, 0.35, 0.5, 0.65, 0.9])
    zenith_deg = np.full(6, math.degrees(math.acos(cos_zenith)))
    day = np.full(6, 93)  # the day on which the sun is near its mean distance
    ghi = clearness * extra * cos_zenith
    split = irradiance.erbs(ghi, zenith_deg, day)
    published = [0.9910, 0.9802, 0.9043, 0.6591, 0.3336, 0.1650]
    assert split["dhi"] / ghi == pytest.approx(published, abs=0.01)
