"""Weather files: the published typical years, the formats' conventions, what is derived."""

import datetime as dt
import math

import numpy as np
import pandas as pd
import pytest
from pvlib import iotools, irradiance

from solarsim.weather.readers.checks import TYPICAL_YEAR, light_lag_min
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.years.series import (
    DEFAULT_ALBEDO,
    DEFAULT_RELATIVE_HUMIDITY,
    DEFAULT_WIND_SPEED_M_S,
)
from tests.weather.readers.epw_by_hand import (
    DAY,
    DHI,
    DNI,
    EPW_HEADER,
    GHI,
    GREENSBORO,
    HUMIDITY,
    MIAMI,
    RAIN,
    RAIN_H,
    SAND_POINT,
    SNOW_DEPTH,
    WIND,
    YEAR,
    copied,
    epw_text,
)

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


@pytest.mark.one_plain
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
    rows = copied(epw_rows, YEAR, "2019")
    measured = [line.replace("TMY3", "measured") for line in EPW_HEADER]
    series = read(epw_text(rows, measured))
    assert series.times[0].year == 2019
    assert "2019" in series.source
    assert not series.typical
    assert not any("typical year" in note for note in series.notes)
    # One year on its stamps is a typical one where its header says so.
    assert read(epw_text(rows)).typical


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


@pytest.mark.slow
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
