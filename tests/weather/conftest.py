"""Weather files that several tests read."""

from __future__ import annotations

import pandas as pd
import pytest
from pvlib import iotools

from solarsim.weather.files import YearSeries, read_weather_file
from tests.weather.epw_by_hand import (
    ALBEDO,
    DHI,
    DNI,
    GHI,
    GREENSBORO,
    HUMIDITY,
    RAIN,
    RAIN_H,
    SNOW_DEPTH,
    TEMP,
    WIND,
)


@pytest.fixture(scope="session")
def greensboro() -> YearSeries:
    return read_weather_file(GREENSBORO)


@pytest.fixture(scope="session")
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


@pytest.fixture
def read(tmp_path):
    def reader(content: str | bytes, name: str = "site.epw") -> YearSeries:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_weather_file(path)

    return reader
