"""Weather files with every fault: each is refused in one line that names where it is."""

import os
import pathlib

import pytest
from hypothesis import HealthCheck, given, settings

from solarsim.errors import WeatherFileError, in_one_line
from solarsim.weather.readers.file import MAX_FILE_BYTES, read_weather_file
from tests.weather.readers.epw_by_hand import (
    DAY,
    DHI,
    DNI,
    EPW_HEADER,
    FIRST_ROW,
    GHI,
    GREENSBORO,
    HOUR,
    HUMIDITY,
    MIAMI,
    MONTH,
    TEMP,
    WIND,
    YEAR,
    copied,
    epw_text,
)
from tests.weather.readers.mutations import MUTATIONS, mutated


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


@pytest.mark.one_plain
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
        ("LOCATION,".encode("utf-16"), "site.epw", ("has no DATA PERIODS line",)),
        ("LOCATION,".encode("utf-16")[:-1], "site.epw", ("cut off within a letter of UTF-16",)),
        (b"PK\x03\x04abc", "site.epw", ("is compressed (zip)", "unpack")),
        (b"\x1f\x8babc", "site.epw", ("is compressed (gzip)",)),
        (b"hello", "site.epw", ("EPW, TMY3, TMY2, NSRDB", "starts with 'LOCATION,'")),
        (b"hello", "site.tm2", ("EPW, TMY3, TMY2, NSRDB", "station number")),
        (b"hello,world\n1,2\n", "site.csv", ("holds 1 rows under its heading",)),
        (b"hello", "site.xyz", ("EPW, TMY3, TMY2, NSRDB",)),
        (bytes(range(128, 256)) * 3, "site.epw", ("EPW, TMY3, TMY2, NSRDB",)),
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
        assert caught.value.source == in_one_line(str(path))


# ---- mutated files --------------------------------------------------------------------------


@pytest.fixture(scope="module")
def files_to_mutate(epw_rows, tmp_path_factory) -> pathlib.Path:
    """A folder with the first day of a file in each format."""
    folder = tmp_path_factory.mktemp("files")
    (folder / "day.epw").write_text(epw_text(epw_rows[:30]))
    for name, path, lines in (("day.csv", GREENSBORO, 20), ("day.tm2", MIAMI, 30)):
        (folder / name).write_bytes(b"\n".join(path.read_bytes().split(b"\n")[:lines]))
    assert all(path.stat().st_size > 2000 for path in folder.iterdir())
    return folder


@pytest.mark.slow
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
