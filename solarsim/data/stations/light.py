"""``python -m solarsim.data.stations.light``: the stations' months that ship with the package.

Chosen from the tables that the tests hold the climate against, for `climate` to draw beside ours.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np

from solarsim.data.accuracy.stations import stations
from solarsim.weather.climate.stations import STATION_FILE

__all__ = ["main", "station_light_csv"]

_JAPAN_FILE = Path(__file__).resolve().parents[3] / "tests" / "checks" / "data" / "japan_light.csv"
_ABOUT = (
    "# Mean daily GHI by month, kWh/m2, of stations; sources and licences in NOTICE. Derived by "
    "solarsim/data/stations/light.py."
)


def station_light_csv() -> str:
    """Return the table as text."""
    out = io.StringIO()
    print(_ABOUT, file=out)
    writer = csv.writer(out, lineterminator="\n")
    months = [f"ghi_{month:02d}" for month in range(1, 13)]
    where = ["latitude_deg", "longitude_deg", "elevation_m"]
    writer.writerow(["name", "source", "light", *where, *months])
    for station in stations():
        place = station.place
        at = (place.latitude_deg, place.longitude_deg, place.elevation_m)
        ghi = (f"{value:.3f}" for value in station.figures.ghi_kwh_m2_day)
        writer.writerow(
            [station.site, station.source, station.light, *(f"{one:.7g}" for one in at), *ghi]
        )
    with _JAPAN_FILE.open(encoding="utf-8") as file:
        next(file)
        for number, latitude, longitude, elevation_m, *measured in list(csv.reader(file))[1:]:
            values = np.array([float(value or "nan") for value in measured])
            ghi = ("" if np.isnan(value) else f"{value:.3f}" for value in values)
            name, source = f"station {number}", "JMA normals 1991-2020"
            writer.writerow([name, source, "measured", latitude, longitude, elevation_m, *ghi])
    return out.getvalue()


def main() -> None:
    """Write the table."""
    text = station_light_csv()
    STATION_FILE.write_text(text, encoding="utf-8")
    print(f"{STATION_FILE.name}: {len(text)} bytes")


if __name__ == "__main__":
    main()
