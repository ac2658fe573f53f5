"""Read the station files that packages carry, each as one whole year of hours."""

from __future__ import annotations

import dataclasses
import io
import json
import re
import tarfile
import zipfile
from pathlib import Path

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.station_figures import whole_years
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.record import Place
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.years.series import YearSeries

__all__ = ["StationYear", "station_years"]

# Name in the table, light ("measured", "modelled" from clouds, or seen from a "satellite").
_TYPICAL_YEARS = (
    ("Greensboro", "723170TYA.CSV", "TMY3"),
    ("Sand Point", "703165TY.csv", "TMY3"),
    ("Miami", "12839.tm2", "TMY2"),
)
_AMSTERDAM = "tests/data/NLD_Amsterdam062400_IWEC.epw"
_REFERENCE_YEARS = "pycity_base/inputs/weather/TRY2010_{:02d}_Jahr.dat"
# The pages of pvlib's own tests give the place; the elevation follows from the files' pressure.
_CRAIG = (40.5137, -108.5449, 1900.0, -7.0)
_SEEN_YEARS = (
    ("Craig", "test_psm3_2017.csv", "NSRDB 2017", _CRAIG),
    ("Craig", "test_psm4_2023.csv", "NSRDB 2023", _CRAIG),
    ("Craig", "test_psm3_tmy-2017.csv", "NSRDB typical year of 2017", _CRAIG),
    ("Craig", "test_psm4_tmy-2023.csv", "NSRDB typical year of 2023", _CRAIG),
)
_POLAR_YEARS = (
    ("test_psm4_polar_2023.csv", "NSRDB 2023"),
    ("test_psm4_polar_tmy_2023.csv", "NSRDB typical year of 2023"),
)
_FAIRBANKS = (64.84091, -147.70454, 132.0, -9.0)
_WITH_HEADER = (
    ("Golden", "golden"),
    ("Miami", "miami"),
    ("New York", "nyc"),
)
_MEASURED = 1
# Neither moves a flat panel's light.
_HUMIDITY, _ALBEDO = 0.7, 0.2
_LOWEST_SUN = 0.05
_MOST_BEAM_W_M2 = 1200.0


@dataclasses.dataclass(frozen=True)
class StationYear:
    """A station's year; `light` is measured, modelled or satellite, and `warmth` if known."""

    site: str
    source: str
    light: str
    series: YearSeries
    warmth: bool = True


def station_years(folder: Path) -> list[StationYear]:
    """Read all stations from the downloaded packages in `folder`.

    Light that a file gives as readings is taken as hourly means around mid-hour; temperatures of
    the German files stand at the end of the hour and become the hour's mean.
    """
    import pvlib

    data = Path(pvlib.__file__).parent / "data"
    years = [
        StationYear(site, source, "modelled", read_weather_file(data / name))
        for site, name, source in _TYPICAL_YEARS
    ]
    with tarfile.open(next(folder.glob("pvlib-*.tar.gz"))) as archive:
        members = {member.name.partition("/")[2]: member for member in archive if member.isfile()}

        def text(name: str) -> str:
            stream = archive.extractfile(members[name])
            if stream is None:
                raise FileNotFoundError(name)
            return stream.read().decode("utf-8-sig")

        epw = folder / "amsterdam.epw"
        epw.write_text(text(_AMSTERDAM), encoding="utf-8")
        years.append(StationYear("Amsterdam", "IWEC", "modelled", read_weather_file(epw)))
        for site, name, source, where in _SEEN_YEARS:
            frame = pd.read_csv(io.StringIO(text(f"tests/data/{name}")))
            years.append(_seen(site, source, where, frame))
        for name, source in _POLAR_YEARS:
            frame = pd.read_csv(io.StringIO(text(f"tests/data/{name}")), skiprows=2)
            # These two are stamped in UTC; the year closes on itself.
            turned = np.roll(frame[["Minute", "GHI"]].to_numpy(), int(_FAIRBANKS[3]), axis=0)
            frame = pd.DataFrame(turned, columns=["minute", "ghi"])
            years.append(_seen("Fairbanks", source, _FAIRBANKS, frame, warmth=False))
    with zipfile.ZipFile(next(folder.glob("pvdeg-*.whl"))) as wheel:
        for site, name in _WITH_HEADER:
            about = json.loads(wheel.read(f"pvdeg/data/meta_{name}.json"))
            where = tuple(about[key] for key in ("latitude", "longitude", "altitude", "tz"))
            frame = pd.read_csv(io.BytesIO(wheel.read(f"pvdeg/data/psm4_{name}.csv")))
            years.append(_seen(site, "NSRDB typical year", where, frame))
        frame = pd.read_csv(io.BytesIO(wheel.read("pvdeg/data/psm3.csv")), skiprows=2)
        where = (39.73, -105.18, 1820.0, -7.0)
        years.append(_seen("Golden", "NSRDB typical year, older", where, frame))
    with zipfile.ZipFile(next(folder.glob("pycity_base-*.whl"))) as wheel:
        years += [
            _reference_year(wheel.read(_REFERENCE_YEARS.format(region)).decode("utf-8", "replace"))
            for region in range(1, 16)
        ]
    return years


def _place(name: str, where: tuple[float, float, float, float]) -> Place:
    import tzfpy

    latitude, longitude, elevation_m, offset_h = where
    timezone = tzfpy.get_tz(longitude, latitude) or "UTC"
    return Place(name, latitude, longitude, elevation_m, timezone, offset_h)


def _year(
    place: Place,
    source: str,
    ghi_w_m2: FloatArray,
    dni_w_m2: FloatArray,
    dhi_w_m2: FloatArray,
    temp_air_c: FloatArray,
    wind_speed_m_s: FloatArray,
) -> YearSeries:
    times = whole_years(1, place.utc_offset_h)
    if len(ghi_w_m2) != len(times):
        raise ValueError(f"{place.name}, {source}: {len(ghi_w_m2)} hours; expected {len(times)}")
    return YearSeries(
        place=place,
        times=times,
        ghi_w_m2=ghi_w_m2,
        dni_w_m2=dni_w_m2,
        dhi_w_m2=dhi_w_m2,
        temp_air_c=temp_air_c,
        wind_speed_m_s=wind_speed_m_s,
        relative_humidity=np.full(len(times), _HUMIDITY),
        snowfall_mm=np.zeros(len(times)),
        albedo=np.full(len(times), _ALBEDO),
        sun=sun_at_mid_hour(place, times),
        source=f"{place.name}, {source}",
    )


def _seen(
    site: str,
    source: str,
    where: tuple[float, ...],
    frame: pd.DataFrame,
    *,
    warmth: bool = True,
) -> StationYear:
    """Make a year of a table of half hours, of whole hours, or of mid-hours."""
    latitude, longitude, elevation_m, offset_h = where
    place = _place(site, (latitude, longitude, elevation_m, offset_h))
    frame = frame.rename(columns=lambda name: name.lower().replace(" ", "_"))
    frame = frame.rename(columns={"temperature": "temp_air"})
    minutes = set(frame["minute"].astype(int))
    on_the_hour = frame["minute"].astype(int).to_numpy() == 0

    def hourly(name: str) -> FloatArray:
        if name not in frame:
            return np.zeros(8760)
        readings = frame[name].to_numpy(dtype=np.float64)
        if minutes == {30}:
            return np.asarray(readings)
        ends = readings[on_the_hour]
        around = 0.5 * (ends + np.concatenate([ends[1:], ends[-1:]]))
        if minutes == {0}:
            return np.asarray(around)
        if minutes == {0, 30}:
            return np.asarray(0.5 * (readings[~on_the_hour] + around))
        raise ValueError(f"{site}, {source}: readings at minutes {sorted(minutes)}")

    series = _year(
        place,
        source,
        hourly("ghi"),
        hourly("dni"),
        hourly("dhi"),
        hourly("temp_air"),
        hourly("wind_speed"),
    )
    return StationYear(site, source, "satellite", series, warmth)


def _reference_year(text: str) -> StationYear:
    """Make a year of a German test reference year of 2010."""
    lines = text.splitlines()
    name = re.search(r"Station: (.+?)\s{2,}", lines[1])
    where = re.search(r"(\d+)\D+(\d+)'N.*?(\d+)\D+(\d+)'O.*?(\d+) Meter", lines[2])
    if name is None or where is None:
        raise ValueError("not a test reference year")
    north, north_min, east, east_min, elevation_m = (float(part) for part in where.groups())
    place = _place(name[1], (north + north_min / 60.0, east + east_min / 60.0, elevation_m, 1.0))
    first = next(row for row, line in enumerate(lines) if line.startswith("***"))
    # The package repeats the year's last hour before its first.
    table = np.array([line.split() for line in lines[first + 2 :] if line.strip()], dtype=float)
    wind, temperature, beam, diffuse, kind = (table[:, column] for column in (7, 8, 13, 14, 15))
    cosine = np.cos(np.radians(sun_at_mid_hour(place, whole_years(1, 1.0)).zenith_deg))
    dni = np.where(cosine > _LOWEST_SUN, beam / np.maximum(cosine, _LOWEST_SUN), 0.0)
    series = _year(
        place,
        "TRY 2010",
        beam + diffuse,
        np.minimum(dni, _MOST_BEAM_W_M2),
        diffuse,
        0.5 * (temperature + np.concatenate([temperature[:1], temperature[:-1]])),
        wind,
    )
    light = "measured" if (kind == _MEASURED).mean() > 0.5 else "modelled"
    return StationYear(name[1], "TRY 2010", light, series)
