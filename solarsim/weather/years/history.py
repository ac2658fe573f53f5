"""Years of hourly history in the user's cache folder, and the weather that they make."""

from __future__ import annotations

import dataclasses
import datetime as dt
import gzip
import hashlib
import io
import json
import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.errors import InputError, WeatherFileError
from solarsim.inputs.files.cache import CACHE_VARIABLE, cache_folder
from solarsim.inputs.files.write import write_file
from solarsim.weather.climate.temperature import LAPSE_RATE_K_M
from solarsim.weather.readers.hourly_columns import hourly_columns
from solarsim.weather.readers.tables.to_hours import MAX_GAP_H
from solarsim.weather.record import Place
from solarsim.weather.sky.sun import Sun
from solarsim.weather.years.series import YearSeries, series_of

__all__ = [
    "HISTORY_QUANTITIES",
    "LEAST_YEARS",
    "HistoryYear",
    "cached_years",
    "check_year",
    "climate_of_years",
    "damaged_years",
    "history_folder",
    "history_series",
    "hours_of_years",
    "store_year",
    "years_at_hand",
    "years_text",
]

HISTORY_QUANTITIES = (
    "ghi_w_m2",
    "dni_w_m2",
    "dhi_w_m2",
    "temp_air_c",
    "relative_humidity_pct",
    "wind_speed_m_s",
    "precipitation_mm_h",
)
# Arrays of a series, joined where years between others are missing.
_SERIES = (
    *("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_air_c", "wind_speed_m_s"),
    *("relative_humidity", "snowfall_mm", "albedo"),
)
_MOST_BYTES = 20_000_000
# With fewer, a chance of nine in ten hangs on a year that has not been seen.
LEAST_YEARS = 10


@dataclasses.dataclass(frozen=True)
class HistoryYear:
    """One calendar year in UTC.

    Attributes
    ----------
    year : int
        Which.
    columns : dict
        ``(hours,)`` arrays by name of `HISTORY_QUANTITIES`, NaN where nothing is known.
    elevation_m : float
        Of the data's own grid cell.
    url : str
        Where it came from.
    """

    year: int
    columns: dict[str, FloatArray]
    elevation_m: float
    url: str


def history_folder(place: Place) -> Path:
    """Folder of a place's years in the cache.

    Raises
    ------
    InputError
        There is no folder for it.
    """
    folder = cache_folder()
    if folder is None:
        message = f"there is no home folder; {CACHE_VARIABLE} can name another"
        raise InputError(message, field="cache folder")
    cell = f"{place.latitude_deg:.3f}_{place.longitude_deg:.3f}"
    return folder / "history" / cell


def store_year(place: Place, year: HistoryYear) -> None:
    """Write a year and its provenance, the data first: without provenance it does not count.

    Raises
    ------
    InputError
        The cache folder cannot be written.
    """
    table = pd.DataFrame({name: year.columns[name] for name in HISTORY_QUANTITIES})
    text = table.to_csv(index=False, float_format="%.4g", lineterminator="\n")
    # No time in the archive: equal data give equal bytes.
    data = gzip.compress(text.encode(), mtime=0)
    about = {
        "year": year.year,
        "latitude": place.latitude_deg,
        "longitude": place.longitude_deg,
        "elevation_m": year.elevation_m,
        "source": year.url,
        "fetched": dt.datetime.now(dt.UTC).isoformat(timespec="seconds"),
        "clock": "UTC, stamps at the start of the hour",
        "sha256": hashlib.sha256(data).hexdigest(),
    }
    folder = history_folder(place)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        message = f"cannot be made: {error.strerror}"
        raise InputError(message, source=str(folder), field="cache folder") from None
    write_file(folder / f"{year.year}.csv.gz", data)
    write_file(folder / f"{year.year}.json", (json.dumps(about, indent=2) + "\n").encode())


def check_year(place: Place, year: HistoryYear) -> None:
    """Refuse a year that no answer could stand on, before it is kept.

    Raises
    ------
    InputError
        Light or air that cannot be, or hours without them, also at either end.
    """
    series = _as_series(place, [year], f"{year.year}")
    hours = len(hours_of_years(year.year, year.year))
    if hours - len(series.times) > MAX_GAP_H:
        message = (
            f"are there for {len(series.times)} hours of {hours}, {series.times[0]:%Y-%m-%d} to "
            f"{series.times[-1]:%Y-%m-%d}: the year is not complete"
        )
        raise InputError(message, field="light and air")


def cached_years(place: Place) -> tuple[int, ...]:
    """Years of a place that are in the cache and are what they were when they were fetched."""
    return tuple(year for year in _years_there(place) if _checked(place, year) is not None)


def damaged_years(place: Place) -> tuple[int, ...]:
    """Years of a place that lie in the cache but are not what was fetched."""
    return tuple(year for year in _years_there(place) if _checked(place, year) is None)


def _years_there(place: Place) -> list[int]:
    if cache_folder() is None:
        return []
    names = [path.stem for path in history_folder(place).glob("*.json")]
    return sorted(
        int(name) for name in names if len(name) == 4 and name.isascii() and name.isdigit()
    )


def hours_of_years(first: int, last: int) -> pd.DatetimeIndex:
    """Starts of all hours in UTC from the first year's 1 January to the last one's 31 December."""
    start, end = f"{first}-01-01", f"{last + 1}-01-01"
    return pd.date_range(start, end, freq="h", tz="UTC", inclusive="left", unit="s")


def years_at_hand(place: Place, years: Sequence[int]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return which of some years are in the cache, and which are missing."""
    cached = set(cached_years(place))
    at_hand = tuple(year for year in years if year in cached)
    return at_hand, tuple(year for year in years if year not in cached)


def years_text(years: Sequence[int]) -> str:
    """Name years in order, those in a row by the first and the last.

    Examples
    --------
    >>> years_text([2005, 2006, 2007, 2009])
    '2005-2007, 2009'
    """
    spans = [f"{row[0]}" if len(row) == 1 else f"{row[0]}-{row[-1]}" for row in _in_a_row(years)]
    return ", ".join(spans)


def climate_of_years(place: Place) -> YearSeries:
    """Return all real years of a place that are at hand, to stand for its climate.

    Raises
    ------
    InputError
        None at hand, or fewer than ten.
    """
    years = cached_years(place)
    if len(years) < LEAST_YEARS:
        found = "no real years are" if not years else f"only {years_text(years)} are"
        if len(years) == 1:
            found = f"only {years[0]} is"
        message = (
            f"'history' needs {LEAST_YEARS} real years of {place.name} at least, so that the worst "
            f"year in ten can be among them; {found} at hand. `solarsim weather get` fetches more, "
            "'embedded' needs none"
        )
        raise InputError(message, field="stay.climate")
    return history_series(place, years)


def _in_a_row(years: Sequence[int]) -> list[list[int]]:
    rows: list[list[int]] = []
    for year in sorted(years):
        if rows and year == rows[-1][-1] + 1:
            rows[-1].append(year)
        else:
            rows.append([year])
    return rows


def history_series(place: Place, years: Sequence[int]) -> YearSeries:
    """Return cached years as hourly weather of the place's own clock.

    Parameters
    ----------
    place : Place
        Where.
    years : sequence of int
        One year or more; those that are missing between them are left out of the hours.

    Raises
    ------
    InputError
        A year that is not in the cache, or has a gap of more than three hours.
    """
    parts = [_series_of_years(place, row) for row in _in_a_row(years)]
    if len(parts) == 1:
        return parts[0]

    times = pd.DatetimeIndex(parts[0].times.append([part.times for part in parts[1:]]))
    arrays: dict[str, Any] = {
        name: np.concatenate([getattr(part, name) for part in parts]) for name in _SERIES
    }
    names = [field.name for field in dataclasses.fields(Sun)]
    return dataclasses.replace(
        parts[0],
        times=times,
        sun=Sun(**{name: np.concatenate([getattr(p.sun, name) for p in parts]) for name in names}),
        source=f"{_title(place)}, {years_text(years)}",
        notes=(
            *dict.fromkeys(note for part in parts for note in part.notes),
            f"Not all years are at hand: {years_text(years)} were used. A stay that runs past the "
            "end of a year before a missing one goes on with the next one at hand.",
        ),
        quality=None,
        **arrays,
    )


def _title(place: Place) -> str:
    return f"NASA POWER history ({place.name})"


def _series_of_years(place: Place, years: Sequence[int]) -> YearSeries:
    source = f"history {years_text(years)}"
    found = []
    for year in years:
        one = _load(place, year)
        if one is None:
            message = f"{year} is not in the cache; `solarsim weather get` fetches it"
            raise InputError(message, source=source, field="years")
        found.append(one)
    try:
        return _as_series(place, found, source)
    except WeatherFileError as error:
        message = f"{error.message}; `solarsim weather get --again` fetches it anew"
        raise WeatherFileError(message, source=source, field=error.field) from None


def _as_series(place: Place, found: Sequence[HistoryYear], source: str) -> YearSeries:
    """Put years in a row on the hours of the place's own clock, and check them."""
    columns = {
        name: np.concatenate([one.columns[name] for one in found]) for name in HISTORY_QUANTITIES
    }
    notes: tuple[str, ...] = ()
    above_m = found[0].elevation_m - place.elevation_m
    if abs(above_m) >= 1.0:
        shift_c = LAPSE_RATE_K_M * above_m
        columns["temp_air_c"] = columns["temp_air_c"] + shift_c
        notes = (
            f"The history's cell lies at {found[0].elevation_m:.0f} m, the place at "
            f"{place.elevation_m:.0f} m; its temperatures were shifted by {shift_c:+.1f} C.",
        )
    hourly = hourly_columns(
        hours_of_years(found[0].year, found[-1].year),
        columns,
        place=place,
        format_name="history",
        stamp="start",
        first_row=1,
        source=source,
        notes=notes,
    )
    return series_of(hourly, source=source, title=_title(place))


def _checked(place: Place, year: int) -> tuple[bytes, dict[str, Any]] | None:
    """Return a year's data and provenance where checksum, year and place agree."""
    folder = history_folder(place)
    paths = folder / f"{year}.json", folder / f"{year}.csv.gz"
    try:
        if any(path.stat().st_size > _MOST_BYTES for path in paths):
            return None
        about = json.loads(paths[0].read_text(encoding="utf-8"))
        data = paths[1].read_bytes()
        if hashlib.sha256(data).hexdigest() != about["sha256"] or about["year"] != year:
            return None
        here = (place.latitude_deg, place.longitude_deg)
        if not np.allclose((about["latitude"], about["longitude"]), here, rtol=0.0, atol=0.002):
            return None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return data, about


def _load(place: Place, year: int) -> HistoryYear | None:
    found = _checked(place, year)
    if found is None:
        return None
    data, about = found
    try:
        text = zlib.decompressobj(wbits=31).decompress(data, _MOST_BYTES)
        table = pd.read_csv(io.BytesIO(text))
        columns = {name: table[name].to_numpy(dtype=np.float64) for name in HISTORY_QUANTITIES}
        if len(table) != len(hours_of_years(year, year)):
            return None
        return HistoryYear(year, columns, float(about["elevation_m"]), str(about["source"]))
    except (OSError, ValueError, KeyError, TypeError, zlib.error):
        return None
