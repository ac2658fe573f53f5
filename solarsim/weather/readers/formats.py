"""Published weather-file formats (EPW, TMY3, TMY2) taken apart into plain columns.

Nothing is judged here beyond "is this a number": ranges, gaps and the calendar are the business of
`solarsim.weather.readers.checks`. All three formats give light summed over the hour that ends at
the stamp, and temperature, humidity and wind as read at the stamp.
"""

from __future__ import annotations

import csv
import re

import pandas as pd

from solarsim.arrays import BoolArray, FloatArray
from solarsim.errors import WeatherFileError
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.readers.tables.cells import (
    Cells,
    Missing,
    fail_at,
    integer_column,
    number_column,
    optional_column,
    read_number,
    read_table,
)

__all__ = ["FORMATS", "parse_weather_text", "published_format"]

FORMATS = "EPW, TMY3, TMY2, NSRDB CSV or plain CSV"

# Labels of the columns, as messages name them, in all three formats.
_TEMP = "dry bulb temperature"
_HUMIDITY = "relative humidity"
_WIND = "wind speed"
_SNOW = "snow depth"
_RAIN = "precipitation"
_RAIN_PERIOD = "precipitation period"


def parse_weather_text(text: str, *, source: str, suffix: str = "") -> FileColumns:
    """Take a weather file's text apart, its format told by content and then by extension.

    Parameters
    ----------
    text : str
        The whole file, lines ended by a bare newline.
    source : str
        The file's name, for messages.
    suffix : str
        The file's extension, which decides where the content does not.

    Raises
    ------
    WeatherFileError
        Not one of the formats, a broken header, a row of the wrong width, or a cell that is no
        number; the row is named.

    References
    ----------
    .. [1] D. B. Crawley, J. W. Hand and L. K. Lawrie, "Improving the weather information available
       to simulation programs", Building Simulation '99 (EPW; the order of fields from memory of
       the format's description).
    .. [2] S. Wilcox and W. Marion, "Users Manual for TMY3 Data Sets", NREL/TP-581-43156, 2008.
    .. [3] W. Marion and K. Urban, "User's Manual for TMY2s", NREL/SP-463-7668, 1995.
    """
    match published_format(text):
        case "EPW":
            return _parse_epw(text, source)
        case "TMY3":
            return _parse_tmy3(text, source)
        case "TMY2":
            return _parse_tmy2(text, source)
    expected = {
        ".epw": "an EPW file starts with 'LOCATION,'",
        ".tm2": "a TMY2 file starts with station number, city, state, time zone, latitude, "
        "longitude and elevation",
    }.get(suffix.lower(), "the first lines are of none of them")
    raise WeatherFileError(f"is not a weather file in {FORMATS}: {expected}", source=source)


def published_format(text: str) -> str | None:
    """Which of EPW, TMY3 and TMY2 a text begins as; None for none of them."""
    first, _, rest = text.partition("\n")
    if first.upper().startswith("LOCATION,"):
        return "EPW"
    if "DATE (MM/DD/YYYY)" in rest.partition("\n")[0].upper():
        return "TMY3"
    # A header is 59 characters; matching is kept off a first line of any length.
    return "TMY2" if len(first) < 200 and _TMY2_HEADER.match(first) else None


def _at_least(limit: float) -> Missing:
    return lambda values: values >= limit


def _columns(
    cells: Cells,
    format_name: str,
    site: str,
    numbers: dict[str, float],
    missing: dict[str, Missing],
    *,
    century: int = 0,
    tenths: float = 1.0,
    typical: bool = True,
) -> FileColumns:
    """Take the columns by their common labels; `tenths` scales temperature and wind."""
    return FileColumns(
        format_name=format_name,
        site=site,
        latitude_deg=numbers["latitude_deg"],
        longitude_deg=numbers["longitude_deg"],
        elevation_m=numbers["elevation_m"],
        utc_offset_h=numbers["utc_offset_h"],
        first_row=cells.first_row,
        year=integer_column(cells, "year") + century,
        month=integer_column(cells, "month"),
        day=integer_column(cells, "day"),
        hour_end=integer_column(cells, "hour"),
        ghi_w_m2=number_column(cells, "GHI", missing["GHI"]),
        dni_w_m2=number_column(cells, "DNI", missing["DNI"]),
        dhi_w_m2=number_column(cells, "DHI", missing["DHI"]),
        temp_air_c=tenths * number_column(cells, _TEMP, missing[_TEMP]),
        relative_humidity_pct=number_column(cells, _HUMIDITY, missing[_HUMIDITY]),
        wind_speed_m_s=tenths * number_column(cells, _WIND, missing[_WIND]),
        albedo=optional_column(cells, "albedo", missing.get("albedo")),
        snow_depth_cm=optional_column(cells, _SNOW, missing.get(_SNOW)),
        precipitation_mm=optional_column(cells, _RAIN, missing.get(_RAIN)),
        precipitation_h=optional_column(cells, _RAIN_PERIOD, missing.get(_RAIN_PERIOD)),
        typical=typical,
    )


# ---- EPW ------------------------------------------------------------------------------------

# Position of the fields that are used, from 0; older files end before albedo.
_EPW_FIELDS = {
    0: "year",
    1: "month",
    2: "day",
    3: "hour",
    6: _TEMP,
    8: _HUMIDITY,
    13: "GHI",
    14: "DNI",
    15: "DHI",
    21: _WIND,
    30: _SNOW,
    32: "albedo",
    33: _RAIN,
    34: _RAIN_PERIOD,
}
# 35 by the format; some writers end the line with commas.
_EPW_NAMES = [_EPW_FIELDS.get(position, f"field {position + 1}") for position in range(40)]
# How headers name typical years, in the source field or the comments (from memory).
_TYPICAL = re.compile(r"TMY|TRY\b|IWEC|CWEC|typical", re.IGNORECASE)
_EPW_MISSING = {
    "GHI": _at_least(9999.0),
    "DNI": _at_least(9999.0),
    "DHI": _at_least(9999.0),
    _TEMP: _at_least(99.9),
    _HUMIDITY: _at_least(999.0),
    _WIND: _at_least(999.0),
    _SNOW: _at_least(999.0),
    "albedo": _at_least(999.0),
    _RAIN: _at_least(999.0),
    _RAIN_PERIOD: _at_least(99.0),
}


def _parse_epw(text: str, source: str) -> FileColumns:
    header, found, body = text.partition("\nDATA PERIODS,")
    periods, _, body = body.partition("\n")
    row = header.count("\n") + 2
    if not found or row > 20:
        raise WeatherFileError("has no DATA PERIODS line among its first 20", source=source)
    per_hour = periods.split(",")[1:2]
    if per_hour and per_hour[0].strip() not in {"1", ""}:
        message = f"got {per_hour[0].strip()[:20]!r} records per hour; must be 1"
        raise WeatherFileError(message, source=source, field=f"row {row}, DATA PERIODS")
    # The city may itself hold a comma, so the numbers are counted from the line's end.
    location = header.partition("\n")[0].rstrip(", ").split(",")
    if len(location) < 10:
        message = f"holds {len(location)} fields; must hold 10, ending with elevation"
        raise WeatherFileError(message, source=source, field="row 1, LOCATION")
    names = ("latitude_deg", "longitude_deg", "utc_offset_h", "elevation_m")
    numbers = [read_number(field, source, "row 1, LOCATION") for field in location[-4:]]
    site = ", ".join(part.strip() for part in location[1:3] if part.strip(" -"))
    comments = " ".join(re.findall(r"^COMMENTS.*$", header, re.MULTILINE))
    cells = Cells(
        read_table(body, _EPW_NAMES, _EPW_FIELDS.values(), source, row + 1), source, row + 1
    )
    return _columns(
        cells,
        "EPW",
        site,
        dict(zip(names, numbers, strict=True)),
        _EPW_MISSING,
        typical=_TYPICAL.search(f"{location[-6]} {comments}") is not None,
    )


# ---- TMY3 -----------------------------------------------------------------------------------

_TMY3_DATE = "DATE (MM/DD/YYYY)"
_TMY3_TIME = "TIME (HH:MM)"
# The precipitation column is left out: its unit and periods differ from file to file. One published
# file steps by tenths of mm (a year of 8,345 "mm" where about 1,100 falls, from memory), another
# holds overlapping sums over 1, 3, 6 and 24 h in 9 % of the hours.
_TMY3_FIELDS = {
    "GHI (W/M^2)": "GHI",
    "DNI (W/M^2)": "DNI",
    "DHI (W/M^2)": "DHI",
    "DRY-BULB (C)": _TEMP,
    "RHUM (%)": _HUMIDITY,
    "WSPD (M/S)": _WIND,
    "ALB (UNITLESS)": "albedo",
}
# 68 or 71 by the two editions of the format.
_TMY3_MAX_FIELDS = 100


def _parse_tmy3(text: str, source: str) -> FileColumns:
    first, _, body = text.partition("\n")
    titles, _, body = body.partition("\n")
    try:
        header = next(csv.reader([first]))
    except (csv.Error, StopIteration):
        raise WeatherFileError("cannot be read", source=source, field="row 1") from None
    if len(header) < 7:
        message = f"holds {len(header)} fields; must hold 7, ending with elevation"
        raise WeatherFileError(message, source=source, field="row 1")
    keys = ("utc_offset_h", "latitude_deg", "longitude_deg", "elevation_m")
    numbers = [read_number(field, source, "row 1") for field in header[3:7]]
    site = ", ".join(part.strip() for part in header[1:3] if part.strip())

    if titles.count(",") >= _TMY3_MAX_FIELDS:
        message = f"holds {titles.count(',') + 1} columns; must hold {_TMY3_MAX_FIELDS} at most"
        raise WeatherFileError(message, source=source, field="row 2")
    titles_upper = [title.strip().upper() for title in titles.split(",")]
    names = [_TMY3_FIELDS.get(title, title) for title in titles_upper]
    used = [_TMY3_DATE, _TMY3_TIME, *_TMY3_FIELDS.values()]
    for name in used:
        if names.count(name) > 1:
            message = f"has the column '{name}' more than once"
            raise WeatherFileError(message, source=source, field="row 2")
    # Columns that are not used may share a name; pandas wants each once.
    names = [name if names.count(name) == 1 else f"{name} {k}" for k, name in enumerate(names)]
    cells = Cells(read_table(body, names, used, source, 3), source, 3)
    when: dict[str, pd.Series[int]] = {}
    for column, pattern, parts, allowed in (
        (
            _TMY3_DATE,
            r"^\s*(\d{1,2})/(\d{1,2})/(\d{4})\s*$",
            ("month", "day", "year"),
            "MM/DD/YYYY",
        ),
        (_TMY3_TIME, r"^\s*(\d{1,2}):00\s*$", ("hour",), "01:00 to 24:00, on whole hours"),
    ):
        if column not in names:
            raise WeatherFileError(f"has no column '{column}'", source=source, field="row 2")
        found = cells.table[column].astype(str).str.extract(pattern)
        bad = found.isna().any(axis=1).to_numpy()
        fail_at(cells, bad, column, f"is not readable; must be {allowed}")
        when |= {part: found[position].astype(int) for position, part in enumerate(parts)}
    cells = Cells(cells.table.assign(**when), source, 3)

    def missing(values: FloatArray) -> BoolArray:
        return values <= -9900.0

    return _columns(
        cells,
        "TMY3",
        site,
        dict(zip(keys, numbers, strict=True)),
        dict.fromkeys(_TMY3_FIELDS.values(), missing),
    )


# ---- TMY2 -----------------------------------------------------------------------------------

_TMY2_HEADER = re.compile(
    r"^\s*\d{4,6}\s+(?P<city>\S.*?)\s+(?P<state>[A-Z]{2})\s+(?P<offset>-?\d+)\s+"
    r"(?P<north>[NS])\s+(?P<lat>\d+)\s+(?P<lat_min>\d+)\s+"
    r"(?P<east>[EW])\s+(?P<lon>\d+)\s+(?P<lon_min>\d+)\s+(?P<elevation>-?\d+)\s*$",
    re.ASCII,
)
_TMY2_WIDTH = 142
# First and last+1 character of the fields that are used, from 0.
_TMY2_FIELDS = {
    "year": (1, 3),
    "month": (3, 5),
    "day": (5, 7),
    "hour": (7, 9),
    "GHI": (17, 21),
    "DNI": (23, 27),
    "DHI": (29, 33),
    _TEMP: (67, 71),
    _HUMIDITY: (79, 82),
    _WIND: (95, 98),
    _SNOW: (133, 136),
}
_TMY2_MISSING = {
    "GHI": _at_least(9999.0),
    "DNI": _at_least(9999.0),
    "DHI": _at_least(9999.0),
    _TEMP: _at_least(9999.0),
    _HUMIDITY: _at_least(999.0),
    _WIND: _at_least(999.0),
    _SNOW: _at_least(999.0),
}


def _parse_tmy2(text: str, source: str) -> FileColumns:
    first, *rows = text.split("\n")
    header = _TMY2_HEADER.match(first)
    if header is None or not rows:
        raise WeatherFileError("holds a header and no hours", source=source)
    for number, row in enumerate(rows, start=2):
        if len(row.rstrip()) != _TMY2_WIDTH:
            message = f"is {len(row.rstrip())} characters wide; must be {_TMY2_WIDTH}"
            raise WeatherFileError(message, source=source, field=f"row {number}")
    table = pd.DataFrame(
        {name: [row[start:end] for row in rows] for name, (start, end) in _TMY2_FIELDS.items()}
    )
    north = 1.0 if header["north"] == "N" else -1.0
    east = 1.0 if header["east"] == "E" else -1.0
    numbers = {
        "latitude_deg": north * (float(header["lat"]) + float(header["lat_min"]) / 60.0),
        "longitude_deg": east * (float(header["lon"]) + float(header["lon_min"]) / 60.0),
        "elevation_m": float(header["elevation"]),
        "utc_offset_h": float(header["offset"]),
    }
    return _columns(
        Cells(table, source, 2),
        "TMY2",
        f"{header['city']}, {header['state']}",
        numbers,
        _TMY2_MISSING,
        century=1900,
        tenths=0.1,
    )
