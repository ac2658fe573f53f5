"""NSRDB CSV files: two header lines of metadata, then columns by name."""

from __future__ import annotations

import csv

from solarsim.errors import WeatherFileError
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.readers.hourly_columns import hourly_columns, place_at
from solarsim.weather.readers.tables.cells import read_number
from solarsim.weather.readers.tables.text import numbers, read_table_text
from solarsim.weather.readers.tables.times import table_moments

__all__ = ["is_nsrdb", "parse_nsrdb"]

_COLUMNS = {
    "GHI": "ghi_w_m2",
    "DNI": "dni_w_m2",
    "DHI": "dhi_w_m2",
    "Temperature": "temp_air_c",
    "Relative Humidity": "relative_humidity_pct",
    "Wind Speed": "wind_speed_m_s",
    "Surface Albedo": "albedo",
}
_NEEDED = ("GHI", "Temperature")
_UNITS = {
    "GHI Units": "w/m2",
    "DNI Units": "w/m2",
    "DHI Units": "w/m2",
    "Temperature Units": "c",
    "Wind Speed Units": "m/s",
    "Wind Speed": "m/s",
    "Relative Humidity Units": "%",
}
_TIME = {part.lower(): part for part in ("Year", "Month", "Day", "Hour", "Minute")}
_MISSING = (-999.0, -9999.0)


def is_nsrdb(text: str) -> bool:
    """Whether a text begins as the format does."""
    first, _, rest = text.partition("\n")
    return first.startswith("Source,") and "Time Zone" in first and rest.count("\n") > 1


def parse_nsrdb(text: str, *, source: str) -> FileColumns:
    """Take an NSRDB CSV file apart: 5 to 60 minutes a row, typical years too.

    Each value stands for the moment of its stamp; it is taken as the mean of the step around it.
    Files of calendar years that leave out 29 February get 28 February in its place.

    Raises
    ------
    InputError
        A broken header, a missing column, units that are not the format's, or rows that cannot be
        read; the row is named.

    References
    ----------
    .. [1] M. Sengupta et al., "The National Solar Radiation Data Base (NSRDB)", Renewable and
       Sustainable Energy Reviews 89, 2018; the layout of the file as pvlib's reader documents it.
    """
    names_line, _, rest = text.partition("\n")
    values_line, _, body = rest.partition("\n")
    try:
        names = [name.strip() for name in next(csv.reader([names_line]))]
        values = [value.strip() for value in next(csv.reader([values_line]))]
    except (csv.Error, StopIteration):
        raise WeatherFileError("cannot be read", source=source, field="rows 1 and 2") from None
    header = dict(zip(names, values, strict=False))
    for name, unit in _UNITS.items():
        given = header.get(name, unit)
        if given and given.lower() != unit:
            message = f"got {given[:20]!r}; must be {unit!r}"
            raise WeatherFileError(message, source=source, field=f"row 2, {name}")
    found = {}
    for name in ("Latitude", "Longitude", "Elevation", "Time Zone"):
        if name not in header:
            raise WeatherFileError(f"has no {name}", source=source, field="row 1")
        found[name] = read_number(header[name], source, f"row 2, {name}")
    place = place_at(
        _site(header), found["Latitude"], found["Longitude"], found["Elevation"], source=source
    )
    table = read_table_text("\n\n" + body, source=source)
    for name in (*_NEEDED, *list(_TIME.values())[:4]):
        if name not in table.names:
            raise WeatherFileError(f"has no column {name}", source=source, field="row 3")
    time = {part: name for part, name in _TIME.items() if name in table.names}
    moments, notes = table_moments(table, time, f"{found['Time Zone']:g}")
    columns = {
        quantity: numbers(table, name, missing=_MISSING)
        for name, quantity in _COLUMNS.items()
        if name in table.names
    }
    return hourly_columns(
        moments,
        columns,
        place=place,
        format_name="NSRDB",
        stamp="middle",
        first_row=table.first_row,
        source=source,
        notes=notes,
    )


def _site(header: dict[str, str]) -> str:
    parts = [header.get(key, "") for key in ("City", "State", "Country")]
    named = ", ".join(part for part in parts if part.strip("-b'\" "))
    return named or f"{header.get('Latitude')}, {header.get('Longitude')}"
