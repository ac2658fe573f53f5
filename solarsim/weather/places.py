"""From what a person types to a place: a town's name, or latitude and longitude."""

from __future__ import annotations

import dataclasses
import difflib
import functools
import gzip
import math
import re
import zoneinfo
from collections import Counter
from pathlib import Path

from solarsim.errors import InputError, PlaceError
from solarsim.inputs.calendar import standard_offset_h
from solarsim.inputs.stay import DEFAULT_YEAR
from solarsim.weather.elevation import lookup_elevation_m
from solarsim.weather.place_names import fold_name
from solarsim.weather.record import Place

__all__ = ["PLACES_FILE", "Suggestion", "find_place", "suggest_places"]

PLACES_FILE = Path(__file__).resolve().parents[1] / "data" / "places.csv.gz"
# Of several towns of one name, one this many times larger than the next is meant.
DOMINANCE = 10.0
# York is York, although a far larger town was once called so: a name of its own counts more.
OTHER_NAME_SHARE = 0.1
MAX_LISTED = 6
# Towns of one beginning that are weighed against each other; the table has the largest first.
_MOST_WEIGHED = 400
_LEAST_LETTERS = 2
MIN_ELEVATION_M, MAX_ELEVATION_M = -450.0, 6000.0

_NUMBER = r"([-+]?\d+(?:\.\d*)?|[-+]?\.\d+)"
_COORDINATES = re.compile(
    rf"\s*{_NUMBER}\s*°?\s*([NSns]?)(?:\s*[,;]\s*|\s+){_NUMBER}\s*°?\s*([EWew]?)\s*"
)
_COUNTRY_SHORT = {"usa": "US", "uk": "GB", "great britain": "GB", "england": "GB"}
_COUNTRY_SHORT |= {"scotland": "GB", "wales": "GB", "holland": "NL", "czech republic": "CZ"}


@dataclasses.dataclass(frozen=True)
class _Town:
    name: str
    region: str
    country_code: str
    latitude_deg: float
    longitude_deg: float
    population: int
    timezone: str
    keys: tuple[str, ...]

    @property
    def label(self) -> str:
        return ", ".join(part for part in (self.name, self.region, self.country_code) if part)


@dataclasses.dataclass(frozen=True)
class Suggestion:
    """A town that somebody may be typing.

    Attributes
    ----------
    choice : str
        What finds it.
    words : str
        Its name, its country in full, and how many live there.
    """

    choice: str
    words: str


def suggest_places(text: str, *, most: int = 8) -> tuple[Suggestion, ...]:
    """Return towns whose name, in any language known, begins as `text` does; the likeliest first.

    Parameters
    ----------
    text : str
        The beginning of a name; after a comma the beginning of a region or country.
    most : int
        How many are returned.

    Examples
    --------
    >>> [found.choice for found in suggest_places("salzb, au", most=1)]
    ['Salzburg, AT']
    """
    name, *qualifiers = (part.strip() for part in text.split(","))
    key = fold_name(name)
    if len(key) < _LEAST_LETTERS or _COORDINATES.fullmatch(text):
        return ()
    table, wanted, towns = _table(), b"|" + key.encode(), list[_Town]()
    at = table.find(wanted)
    while at >= 0 and len(towns) < _MOST_WEIGHED:
        start, end = table.rfind(b"\n", 0, at) + 1, table.find(b"\n", at)
        town = _town(table[start:end].decode())
        if not town.timezone:
            # Countries and states, which stand at the end.
            break
        if all(_begins(town, part) for part in qualifiers if part):
            towns.append(town)
        at = table.find(wanted, end)
    towns.sort(key=lambda town: -_likelihood(town, key))
    return tuple(
        Suggestion(
            choice,
            f"{', '.join(part for part in (town.name, town.region) if part)}, "
            f"{_country_name(town.country_code)}, {town.population:,} people",
        )
        for town, choice in list(zip(towns, _finding(towns), strict=True))[:most]
    )


def find_place(
    text: str, *, elevation_m: float | None = None, timezone: str | None = None
) -> Place:
    """Find a town by its name or take coordinates as they are.

    Parameters
    ----------
    text : str
        ``"Salzburg"``, ``"Salzburg, AT"``, ``"Portland, OR, US"`` or ``"47.80, 13.05"`` (latitude
        and longitude in degrees, north and east positive, or with the letters N, S, E, W). Case
        and accents do not matter; native and English names of towns of 5,000 people and more.
    elevation_m : float, optional
        Height above the sea; where it is left out, from a five-minute grid and the airfields
        nearby, which in mountains can be some hundred metres off.
    timezone : str, optional
        IANA name; from the town or the coordinates where it is left out.

    Raises
    ------
    PlaceError
        The name is unknown or stands for several towns, or the coordinates are out of range.
    InputError
        The elevation or the time zone cannot be.

    Examples
    --------
    >>> place = find_place("salzburg, austria")
    >>> place.name, place.timezone, place.utc_offset_h
    ('Salzburg, AT', 'Europe/Vienna', 1.0)
    """
    coordinates = _COORDINATES.fullmatch(text)
    if coordinates is not None:
        latitude, longitude = _checked(coordinates, text)
        name = (
            f"{abs(latitude):.3f} {'NS'[latitude < 0]}, {abs(longitude):.3f} {'EW'[longitude < 0]}"
        )
        zone = _zone_at(latitude, longitude) if timezone is None else timezone
    else:
        town = _find_town(text)
        latitude, longitude, name = town.latitude_deg, town.longitude_deg, town.label
        zone = town.timezone if timezone is None else timezone
    if elevation_m is None:
        elevation_m = lookup_elevation_m(latitude, longitude)
    elif not MIN_ELEVATION_M <= elevation_m <= MAX_ELEVATION_M:
        raise InputError(
            f"got {elevation_m:g}; must lie between {MIN_ELEVATION_M:g} and {MAX_ELEVATION_M:g} m",
            source=f"place {text!r}",
            field="elevation_m",
        )
    return Place(
        name=name,
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=float(elevation_m),
        timezone=zone,
        utc_offset_h=_offset_h(zone, text),
    )


def _checked(match: re.Match[str], text: str) -> tuple[float, float]:
    values = []
    for number, letter, limit, word in (
        (match[1], match[2], 90.0, "latitude"),
        (match[3], match[4], 180.0, "longitude"),
    ):
        value = float(number)
        if letter and number[0] in "+-":
            raise PlaceError(f"got {text!r}; give the {word} a sign or a letter, not both")
        if abs(value) > limit:
            raise PlaceError(
                f"got {word} {value:g}; must lie between -{limit:g} and {limit:g}, "
                f"written as 'latitude, longitude' in degrees"
            )
        values.append(-value if letter in {"S", "s", "W", "w"} else value)
    return values[0], values[1]


def _zone_at(latitude_deg: float, longitude_deg: float) -> str:
    import tzfpy

    return str(tzfpy.get_tz(longitude_deg, latitude_deg)) or "Etc/UTC"


def _offset_h(timezone: str, text: str) -> float:
    try:
        return standard_offset_h(timezone, DEFAULT_YEAR)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        known = zoneinfo.available_timezones()
        near = difflib.get_close_matches(timezone, known, n=3, cutoff=0.5)
        hint = f"near: {', '.join(near)}" if near else "an IANA name such as Europe/Vienna is"
        raise InputError(
            f"got {timezone!r}; no such time zone; {hint}",
            source=f"place {text!r}",
            field="timezone",
        ) from None


def _find_town(text: str) -> _Town:
    name, *qualifiers = (part.strip() for part in text.split(","))
    key = fold_name(name)
    if not key:
        raise PlaceError(
            f"got {text!r}; give a town's name such as 'Salzburg, AT', or 'latitude, longitude'"
        )
    if re.fullmatch(r"[-+\d\s.,;°NSEW]+", text):
        raise PlaceError(
            f"got {text!r}; coordinates are written as 'latitude, longitude' in degrees with "
            f"decimal points, such as '47.80, 13.05'"
        )
    named = _towns_with(key)
    if not named:
        near = _near(key)
        advice = "give a larger town nearby or 'latitude, longitude'"
        if near:
            listed = ", ".join(repr(label) for label in near)
            advice = f"near: {listed}; or give 'latitude, longitude'"
        message = f"got {text!r}; no town of that name with 5,000 people; {advice}"
        raise PlaceError(message, choices=near)
    towns = [town for town in named if all(_matches(town, part) for part in qualifiers if part)]
    if not towns:
        raise PlaceError(f"got {text!r}; none there; {_listing(named)}", choices=_choices(named))
    # Of the towns that have other names now, only those count that outweigh all that have this one.
    own_weight = max((_weight(town, key) for town in towns if town.keys[0] == key), default=0.0)
    towns = [town for town in towns if town.keys[0] == key or _weight(town, key) > own_weight]
    towns.sort(key=lambda town: -_weight(town, key))
    if len(towns) > 1 and _weight(towns[0], key) < DOMINANCE * _weight(towns[1], key):
        message = f"got {text!r}, which is {len(towns)} towns; {_listing(towns)}"
        raise PlaceError(message, choices=_choices(towns))
    return towns[0]


def _weight(town: _Town, key: str) -> float:
    return town.population * (1.0 if town.keys[0] == key else OTHER_NAME_SHARE)


def _matches(town: _Town, qualifier: str) -> bool:
    """Whether a country or region, by code or name, is the town's."""
    key = fold_name(qualifier)
    if key.upper() in {town.country_code, town.region}:
        return True
    if _COUNTRY_SHORT.get(key) == town.country_code:
        return True
    return any(
        row.country_code == town.country_code and row.region in {"", town.region}
        for row in _rows_with(key)
        if not row.timezone
    )


def _begins(town: _Town, qualifier: str) -> bool:
    """Whether a country or region of the town's begins so."""
    key = fold_name(qualifier)
    names = (town.region, town.country_code, _country_name(town.country_code))
    return any(fold_name(name).startswith(key) for name in names) or _matches(town, qualifier)


def _likelihood(town: _Town, key: str) -> float:
    """People, of whom a whole name counts for more than its beginning, and its own for most."""
    own = 1.0 if town.keys[0].startswith(key) else OTHER_NAME_SHARE**2
    return town.population * own * (DOMINANCE if key in town.keys else 1.0)


def _choices(towns: list[_Town]) -> tuple[str, ...]:
    """Towns, largest first, by what finds each."""
    largest = sorted(towns, key=lambda town: -town.population)
    return _finding(largest)


def _finding(towns: list[_Town]) -> tuple[str, ...]:
    """What finds each: its name, or coordinates where several share it."""
    count = Counter(fold_name(town.label) for town in towns)
    return tuple(
        f"{town.latitude_deg:.2f}, {town.longitude_deg:.2f}"
        if count[fold_name(town.label)] > 1
        else town.label
        for town in towns
    )


def _listing(towns: list[_Town]) -> str:
    largest = sorted(towns, key=lambda town: -town.population)
    lines = [
        f"'{town.label}'"
        + f" at '{choice}'" * (choice != town.label)
        + f" ({_country_name(town.country_code)}, {town.population:,} people)"
        for town, choice in list(zip(largest, _choices(towns), strict=True))[:MAX_LISTED]
    ]
    more = f" and {len(towns) - MAX_LISTED} more" if len(towns) > MAX_LISTED else ""
    return f"choose by name and country or by coordinates: {'; '.join(lines)}{more}"


def _near(key: str) -> tuple[str, ...]:
    """Names of large towns that look like an unknown one."""
    start = key[:1].encode()
    keys = dict.fromkeys(
        found.decode() for found in re.findall(rb",\|(%b[^|\n]*)\|" % re.escape(start), _table())
    )
    close = difflib.get_close_matches(
        key, [other for other in keys if abs(len(other) - len(key)) <= 3], n=3, cutoff=0.6
    )
    return tuple(towns[0].label for towns in map(_towns_with, close) if towns)


def _towns_with(key: str) -> list[_Town]:
    return [row for row in _rows_with(key) if row.timezone]


def _country_name(code: str) -> str:
    table = _table()
    # The countries stand at the table's end.
    at = table.rfind(b",,%b,,,0,," % code.encode())
    return table[table.rfind(b"\n", 0, at) + 1 : at].decode() if at >= 0 else code


@functools.lru_cache(maxsize=256)
def _rows_with(key: str) -> tuple[_Town, ...]:
    """Rows of which one key is `key`, the largest town first."""
    table, wanted = _table(), b"|" + key.encode() + b"|"
    rows = []
    at = table.find(wanted)
    while at >= 0:
        start, end = table.rfind(b"\n", 0, at) + 1, table.find(b"\n", at)
        rows.append(_town(table[start:end].decode()))
        at = table.find(wanted, end)
    return tuple(rows)


def _town(line: str) -> _Town:
    name, region, country_code, latitude, longitude, population, timezone, keys = line.split(",")
    return _Town(
        name=name,
        region=region,
        country_code=country_code,
        latitude_deg=float(latitude or math.nan),
        longitude_deg=float(longitude or math.nan),
        population=int(population),
        timezone=timezone,
        keys=tuple(keys.strip("|").split("|")),
    )


@functools.cache
def _table() -> bytes:
    """The whole table; searching its bytes is quicker than reading it into objects."""
    return gzip.decompress(PLACES_FILE.read_bytes())
