"""An EPW file written by hand from a published typical year, and how to spoil it."""

from __future__ import annotations

import pathlib

import pandas as pd
import pvlib
from pvlib import iotools

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


def greensboro_rows() -> list[list[str]]:
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
