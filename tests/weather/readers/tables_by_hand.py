"""A published typical year written out as plain CSV and as NSRDB files of one's own."""

from __future__ import annotations

import numpy as np
import pandas as pd

from solarsim.weather.years.series import YearSeries

CSV_HEAD = "# place = 36.10, -79.95\n# timezone = UTC-5\n"
NSRDB_HEAD = (
    "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,"
    "Local Time Zone,GHI Units,Temperature Units,Wind Speed Units\n"
    "NSRDB,1,-,-,-,36.10,-79.95,-5,273,-5,w/m2,c,m/s\n"
)


def frame(series: YearSeries, first: str, last: str, *, year: int | None = None) -> pd.DataFrame:
    """Hours of a series from one day to another, both included, with naive stamps."""
    stamps = series.times.tz_localize(None)
    table = pd.DataFrame(
        {
            "time": stamps,
            "ghi": series.ghi_w_m2,
            "dni": series.dni_w_m2,
            "dhi": series.dhi_w_m2,
            "temp": series.temp_air_c,
            "wind": series.wind_speed_m_s,
            "rh": 100.0 * series.relative_humidity,
        }
    )
    day = stamps.strftime("%m-%d")
    table = table[(day >= first) & (day <= last)].reset_index(drop=True)
    if year is not None:
        table["time"] = [stamp.replace(year=year) for stamp in table["time"]]
    return table


def csv_text(table: pd.DataFrame, head: str = CSV_HEAD, **names: str) -> str:
    titles = {
        "ghi": "GHI (W/m2)",
        "dni": "DNI (W/m2)",
        "dhi": "DHI (W/m2)",
        "temp": "Air temperature (C)",
        "wind": "Wind speed (m/s)",
        "rh": "Relative humidity (%)",
    }
    return head + table.rename(columns=titles | names).to_csv(index=False)


def nsrdb_text(table: pd.DataFrame, head: str = NSRDB_HEAD, *, minute: int = 30) -> str:
    when = table["time"]
    columns = {
        "Year": when.dt.year,
        "Month": when.dt.month,
        "Day": when.dt.day,
        "Hour": when.dt.hour,
        "Minute": when.dt.minute + minute,
        "DHI": table["dhi"],
        "DNI": table["dni"],
        "GHI": table["ghi"],
        "Temperature": table["temp"],
        "Wind Speed": table["wind"],
        "Relative Humidity": table["rh"],
    }
    return head + pd.DataFrame(columns).to_csv(index=False)


def finer(table: pd.DataFrame, per_hour: int) -> pd.DataFrame:
    """The same light in equal steps within the hour, with a swing that averages out."""
    rows = table.loc[table.index.repeat(per_hour)].reset_index(drop=True)
    step = np.tile(np.arange(per_hour), len(table))
    rows["time"] += pd.to_timedelta(step * (60 // per_hour), unit="min")
    swing = 1.0 + 0.2 * (2.0 * step / (per_hour - 1) - 1.0)
    for name in ("ghi", "dni", "dhi"):
        rows[name] *= swing
    return rows
