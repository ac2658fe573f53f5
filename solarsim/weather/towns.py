"""The towns of a stretch of land."""

from __future__ import annotations

import dataclasses
import functools
import gzip

from solarsim.weather.outlines import Box
from solarsim.weather.places import PLACES_FILE

__all__ = ["Town", "towns_in"]


@dataclasses.dataclass(frozen=True)
class Town:
    """A town of 5,000 people or more."""

    name: str
    region: str
    country_code: str
    latitude_deg: float
    longitude_deg: float
    population: int
    timezone: str


def towns_in(box: Box) -> list[Town]:
    """Return the towns of a box, the largest first; longitudes are -180 to 180.

    Examples
    --------
    >>> [town.name for town in towns_in(Box(47.7, 12.9, 47.9, 13.2))][:1]
    ['Salzburg']
    """
    return [
        town
        for town in _towns()
        if box.south_deg <= town.latitude_deg <= box.north_deg
        and (town.longitude_deg - box.west_deg) % 360.0 <= box.east_deg - box.west_deg
    ]


@functools.cache
def _towns() -> tuple[Town, ...]:
    lines = gzip.decompress(PLACES_FILE.read_bytes()).decode().splitlines()[1:]
    found = []
    for line in lines:
        name, region, country, latitude, longitude, population, zone, _ = line.split(",", 7)
        # Countries and states follow the towns and have no position.
        if latitude:
            place = float(latitude), float(longitude)
            found.append(Town(name, region, country, *place, int(population), zone))
    return tuple(found)
