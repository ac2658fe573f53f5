"""Hourly history of a place from NASA POWER, year by year, with patience and without trust."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pandas as pd

from solarsim.errors import HistoryError, InputError
from solarsim.weather.record import Place
from solarsim.weather.years.history import HistoryYear, cached_years, store_year

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
    url: str = DEFAULT_URL,
    sleep: Sleep = time.sleep,
    deadline_s: float = DEADLINE_S,
    progress: Tell | None = None,
) -> tuple[int, ...]:
    """Fetch the years that the cache does not hold, each stored as soon as it is there.

    Parameters
    ----------
    place : Place
        Where.
    years : sequence of int
        Which; those that are there already are not asked for again.
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
        A year that four attempts did not give, with the reason in one line; what came before it
        stays in the cache.
    InputError
        An address that is none, or a cache folder that cannot be written.
    """
    if not url.startswith(("https://", "http://")):
        raise InputError(f"got {url[:60]!r}; must start with https://", field="url")
    wanted = sorted(set(years) - set(cached_years(place)))
    done = len(set(years)) - len(wanted)
    for count, year in enumerate(wanted):
        if progress is not None:
            progress(done + count, len(set(years)))
        store_year(place, _with_patience(place, year, url, sleep, deadline_s))
    if progress is not None:
        progress(len(set(years)), len(set(years)))
    return tuple(wanted)


def _with_patience(
    place: Place, year: int, url: str, sleep: Sleep, deadline_s: float
) -> HistoryYear:
    import requests

    reason = ""
    for wait_s in (*_WAITS_S, None):
        try:
            return _checked(place, year, *_ask(place, year, url, deadline_s), url=url)
        except requests.ConnectionError as error:
            if _nobody_there(error):
                # Waiting brings no network.
                raise HistoryError(f"{url.split('/')[2]} cannot be reached") from None
            reason = "the connection broke off"
        except _WrongAnswerError as error:
            reason = str(error)
        if wait_s is not None:
            sleep(wait_s)
    raise HistoryError(f"{year} could not be fetched in {len(_WAITS_S) + 1} attempts: {reason}")


class _WrongAnswerError(Exception):
    """An answer that is late, broken, or not what was asked for."""


def _nobody_there(error: Exception) -> bool:
    """Whether a name was not found or no connection came about."""
    text = repr(error)
    return any(
        part in text for part in ("NameResolution", "NewConnection", "ConnectTimeout", "ProxyError")
    )


def _ask(place: Place, year: int, url: str, deadline_s: float) -> tuple[Any, Any]:
    """Ask for a year in a thread of its own: the client sets no limit to how long it waits."""
    import requests
    from pvlib import iotools

    answer: queue.Queue[tuple[Any, Exception | None]] = queue.Queue(1)

    def work() -> None:
        try:
            found = iotools.get_nasa_power(
                round(place.latitude_deg, 4),
                round(place.longitude_deg, 4),
                f"{year}-01-01",
                f"{year}-12-31",
                parameters=list(_PARAMETERS),
                map_variables=False,
                url=url,
            )
            answer.put((found, None))
        # Whatever a broken answer makes the reader raise is told to the one who waits.
        except Exception as error:
            answer.put((None, error))

    threading.Thread(target=work, daemon=True).start()
    try:
        found, error = answer.get(timeout=deadline_s)
    except queue.Empty:
        raise _WrongAnswerError(f"no answer within {deadline_s:g} s") from None
    if isinstance(error, requests.ConnectionError):
        raise error
    if isinstance(error, requests.HTTPError):
        raise _WrongAnswerError(f"the service refused: {_one_line(error)}") from None
    if error is not None:
        raise _WrongAnswerError(f"the answer is broken ({type(error).__name__})") from None
    table, meta = found
    return table, meta


def _one_line(error: Exception) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in str(error)).split())[:160]


def _checked(place: Place, year: int, table: Any, meta: Any, *, url: str) -> HistoryYear:
    """Believe an answer only if its hours, units and clock are those that were asked for."""
    if not isinstance(table, pd.DataFrame) or not isinstance(meta, dict):
        raise _WrongAnswerError("the answer is broken")
    hours = pd.date_range(
        f"{year}-01-01", f"{year + 1}-01-01", freq="h", tz="UTC", inclusive="left"
    )
    if len(table) != len(hours) or not (table.index == hours).all():
        raise _WrongAnswerError(f"the answer holds {len(table)} hours of {len(hours)}")
    clock = str(meta.get("time_standard", "UTC")).upper()
    if clock != "UTC":
        raise _WrongAnswerError(f"the answer is in {clock[:20]}, not in UTC")
    units = meta.get("parameters", {})
    columns = {}
    for name, (quantity, allowed) in _PARAMETERS.items():
        if name not in table.columns:
            raise _WrongAnswerError(f"the answer lacks {name}")
        about = units.get(name) if isinstance(units, dict) else None
        unit = str(about.get("units", "")) if isinstance(about, dict) else ""
        if unit.lower() not in allowed:
            raise _WrongAnswerError(f"{name} comes in {unit[:20]!r}, not in {allowed[0]!r}")
        values = np.array(pd.to_numeric(table[name], errors="coerce"), dtype=np.float64)
        # The service's sign of nothing, also where its header names another.
        columns[quantity] = np.where(values <= -900.0, np.nan, values)
    try:
        elevation_m = float(meta["altitude"])
    except (KeyError, TypeError, ValueError):
        elevation_m = float("nan")
    if not -500.0 <= elevation_m <= 9000.0:
        elevation_m = place.elevation_m
    return HistoryYear(year=year, columns=columns, elevation_m=elevation_m, url=url)
