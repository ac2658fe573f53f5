"""Hourly history of a place from NASA POWER, year by year, with patience and without trust."""

from __future__ import annotations

import time
import urllib.parse
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.errors import HistoryError, InputError, in_one_line
from solarsim.weather.record import Place
from solarsim.weather.years.fetch import (
    UnreachableError,
    WrongAnswerError,
    fetch_json,
    public_address,
)
from solarsim.weather.years.history import (
    HistoryYear,
    cached_years,
    check_year,
    store_year,
    years_text,
)

__all__ = ["DEFAULT_URL", "FIRST_YEAR", "download_years", "read_years"]

DEFAULT_URL = "https://power.larc.nasa.gov/api/temporal/hourly/point"
# Light by the hour begins in 2001 in the service's own description (from memory).
FIRST_YEAR = 2001
_LAST_YEAR = 2100
_MOST_YEARS = 60

# The service's names and units for the community of renewable energy, from its documentation as
# pvlib's reader quotes it, and from memory for precipitation. Energy over an hour is mean power.
_PARAMETERS = {
    "ALLSKY_SFC_SW_DWN": ("ghi_w_m2", ("wh/m^2", "w/m^2", "wh/m2", "w/m2")),
    "ALLSKY_SFC_SW_DNI": ("dni_w_m2", ("wh/m^2", "w/m^2", "wh/m2", "w/m2")),
    "ALLSKY_SFC_SW_DIFF": ("dhi_w_m2", ("wh/m^2", "w/m^2", "wh/m2", "w/m2")),
    "T2M": ("temp_air_c", ("c", "degrees c")),
    "RH2M": ("relative_humidity_pct", ("%",)),
    "WS10M": ("wind_speed_m_s", ("m/s",)),
    "PRECTOTCORR": ("precipitation_mm_h", ("mm/hour", "mm/h", "mm hr-1")),
}
# Seconds before the second, third, ... attempt.
_WAITS_S = (2.0, 8.0, 30.0)
# A year is some 2 MB; a slower answer than this is taken for none.
DEADLINE_S = 120.0
# The light's own grid has cells of a degree, and an answer may name the middle of one.
_PLACE_TOLERANCE_DEG = 0.5

Sleep = Callable[[float], None]
Tell = Callable[[int, int], None]


def read_years(text: str) -> tuple[int, ...]:
    """Read ``"2005-2024"`` or ``"2019"`` into consecutive years.

    Raises
    ------
    InputError
        Not of that form, out of order, before 2001, or more than sixty.

    Examples
    --------
    >>> read_years("2019-2021")
    (2019, 2020, 2021)
    """
    parts = [part.strip() for part in text.split("-")]
    if len(parts) not in {1, 2} or not all(part.isascii() and part.isdigit() for part in parts):
        message = f"got {text[:30]!r}; must be a year or a span such as 2005-2024"
        raise InputError(message, field="years")
    if any(len(part) != 4 for part in parts):
        raise InputError(f"got {text[:30]!r}; a year has four digits", field="years")
    first, last = int(parts[0]), int(parts[-1])
    if not FIRST_YEAR <= first <= last <= _LAST_YEAR:
        message = f"got {text[:30]!r}; must run forward and start in {FIRST_YEAR} or later"
        raise InputError(message, field="years")
    if last - first >= _MOST_YEARS:
        raise InputError(
            f"got {last - first + 1} years; must be {_MOST_YEARS} at most", field="years"
        )
    return tuple(range(first, last + 1))


def download_years(
    place: Place,
    years: Sequence[int],
    *,
    again: bool = False,
    url: str = DEFAULT_URL,
    sleep: Sleep = time.sleep,
    deadline_s: float = DEADLINE_S,
    progress: Tell | None = None,
) -> tuple[int, ...]:
    """Fetch the years that the cache does not hold, each checked and stored as soon as it is there.

    Parameters
    ----------
    place : Place
        Where.
    years : sequence of int
        Which; those that are there already are not asked for again.
    again : bool
        Whether to fetch also those that are there; what is there stays until the new year is sound.
    url : str
        The service, or another that answers like it.
    sleep : callable
        Waits between attempts.
    deadline_s : float
        How long one answer may take, s.
    progress : callable, optional
        Called with years done and years in all.

    Returns
    -------
    tuple of int
        The years that were fetched now.

    Raises
    ------
    HistoryError
        A year that four attempts did not give, or years whose data cannot be used, with the reason
        in one line; all others stay in the cache.
    InputError
        An address that is none, or a cache folder that cannot be written.
    """
    public_address(url)
    asked = sorted(set(years))
    wanted = asked if again else sorted(set(asked) - set(cached_years(place)))
    done = len(asked) - len(wanted)
    unusable = []
    for count, year in enumerate(wanted):
        if progress is not None:
            progress(done + count, len(asked))
        found = _with_patience(place, year, url, sleep, deadline_s)
        try:
            check_year(place, found)
        except InputError as error:
            unusable.append((year, error))
        else:
            store_year(place, found)
    if progress is not None:
        progress(len(asked), len(asked))
    if unusable:
        year, why = unusable[0]
        more = f", nor can {years_text([y for y, _ in unusable[1:]])}" if unusable[1:] else ""
        said = f"{why.field} {why.message}"
        raise HistoryError(f"{year} cannot be used and was not kept{more}: {said}")
    return tuple(wanted)


def _with_patience(
    place: Place, year: int, url: str, sleep: Sleep, deadline_s: float
) -> HistoryYear:
    reason = ""
    attempts = len(_WAITS_S) + 1
    for attempt, wait_s in enumerate((*_WAITS_S, 0.0), 1):
        try:
            answer = fetch_json(url, _query(place, year), deadline_s=deadline_s)
            return _checked(place, year, answer, source=public_address(url))
        except UnreachableError:
            # Waiting brings no network.
            host = urllib.parse.urlsplit(url).hostname
            raise HistoryError(f"{host} cannot be reached") from None
        except WrongAnswerError as error:
            reason = str(error)
            if error.lasting:
                raise HistoryError(f"{year} could not be fetched: {reason}") from None
        if attempt < attempts:
            sleep(wait_s)
    raise HistoryError(f"{year} could not be fetched in {attempts} attempts: {reason}")


def _query(place: Place, year: int) -> dict[str, str | float]:
    # As pvlib's own reader of the service asks, which sets no bound to what it reads.
    return {
        "latitude": round(place.latitude_deg, 4),
        "longitude": round(place.longitude_deg, 4),
        "start": f"{year}0101",
        "end": f"{year}1231",
        "community": "re",
        "parameters": ",".join(_PARAMETERS),
        "format": "json",
        "header": "True",
        "time-standard": "utc",
    }


def _checked(place: Place, year: int, answer: Any, *, source: str) -> HistoryYear:
    """Believe an answer only if its place, hours, units and clock are those that were asked for."""
    properties, header = _table(answer, "properties"), _table(answer, "header")
    elevation_m = _elevation(place, answer)
    clock = str(header.get("time_standard", "UTC")).upper()
    if clock != "UTC":
        raise WrongAnswerError(f"the answer is in {in_one_line(clock[:20])}, not in UTC")
    columns = {}
    hours = pd.date_range(
        f"{year}-01-01", f"{year + 1}-01-01", freq="h", tz="UTC", inclusive="left"
    )
    stamps = hours.strftime("%Y%m%d%H").tolist()
    values, units = _table(properties, "parameter"), _table(answer, "parameters")
    for name, (quantity, allowed) in _PARAMETERS.items():
        if not isinstance(values.get(name), dict):
            raise WrongAnswerError(f"the answer lacks {name}")
        if len(values[name]) != len(stamps) or list(values[name]) != stamps:
            count = len(values[name])
            raise WrongAnswerError(f"the answer holds {count} hours of {len(stamps)}")
        about = units.get(name)
        unit = str(about.get("units", "")) if isinstance(about, dict) else ""
        if unit.lower() not in allowed:
            raise WrongAnswerError(
                f"{name} comes in {in_one_line(unit[:20])!r}, not in {allowed[0]!r}"
            )
        columns[quantity] = _numbers(values[name].values())
    return HistoryYear(year=year, columns=columns, elevation_m=elevation_m, url=source)


def _numbers(values: Iterable[Any]) -> FloatArray:
    """``(hours,)`` what is a number; NaN for all else and for the service's sign of nothing."""
    try:
        found = np.array([x if type(x) in {int, float} else np.nan for x in values], dtype=float)
    except OverflowError:
        raise WrongAnswerError("the answer holds numbers of hundreds of digits") from None
    # That sign is -999, also where the header names another.
    return np.where(np.isfinite(found) & (found > -900.0), found, np.nan)


def _table(answer: Any, name: str) -> dict[str, Any]:
    found = answer.get(name) if isinstance(answer, dict) else None
    if not isinstance(found, dict):
        raise WrongAnswerError(f"the answer is broken: it has no {name!r}")
    return found


def _elevation(place: Place, answer: Any) -> float:
    """The data's own height, m, from the answer's coordinates, which must be the place's."""
    try:
        longitude_deg, latitude_deg, *rest = map(float, answer["geometry"]["coordinates"][:3])
    except (KeyError, TypeError, ValueError, OverflowError):
        raise WrongAnswerError("the answer does not say of which place it is") from None
    east_deg = (longitude_deg - place.longitude_deg + 180.0) % 360.0 - 180.0
    # Written so that NaN fails too.
    if not (
        abs(latitude_deg - place.latitude_deg) <= _PLACE_TOLERANCE_DEG
        and abs(east_deg) <= _PLACE_TOLERANCE_DEG
    ):
        raise WrongAnswerError(
            f"the answer is for {latitude_deg:.2f}, {longitude_deg:.2f}, not for "
            f"{place.latitude_deg:.2f}, {place.longitude_deg:.2f}",
            lasting=True,
        )
    elevation_m = rest[0] if rest else float("nan")
    return elevation_m if -500.0 <= elevation_m <= 9000.0 else place.elevation_m
