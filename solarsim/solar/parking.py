"""What stands around the van: how much sun and sky each kind of parking place leaves.

A surrounding is a set of horizon sectors, each with its share of the compass and its height. Which
way it faces is unknown, so the sun meets each sector with the probability of its share. How much
sky is left follows from the same sectors.
"""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError

__all__ = ["PARKINGS", "Parking", "beam_share", "parking_named", "sky_view_share"]


@dataclasses.dataclass(frozen=True)
class Parking:
    """Surroundings of a parking place.

    Attributes
    ----------
    sectors : tuple of (float, float)
        Share of the compass and the horizon's elevation there in degrees; shares add up to 1.
    wind_share : float
        Wind at the van against the open country's wind, 0 to 1.
    source : str
        Where the numbers come from.
    """

    sectors: tuple[tuple[float, float], ...]
    wind_share: float
    source: str


_NO_SOURCE = "common practice, no source"

PARKINGS: dict[str, Parking] = {
    "open field": Parking(sectors=((1.0, 0.0),), wind_share=1.0, source=_NO_SOURCE),
    # Single trees: half of the compass free, crowns of 10 to 15 m some 25 to 40 m away elsewhere.
    "scattered trees": Parking(
        sectors=((0.5, 3.0), (0.3, 15.0), (0.2, 30.0)), wind_share=0.8, source=_NO_SOURCE
    ),
    # One side open, the other a stand of 20 m at 10 to 15 m from the van.
    "forest edge": Parking(
        sectors=((0.5, 5.0), (0.1, 30.0), (0.4, 60.0)), wind_share=0.6, source=_NO_SOURCE
    ),
    # Two rows of houses of 12 m, 8 to 10 m away, and the street's two open ends.
    "street canyon": Parking(
        sectors=((0.2, 5.0), (0.3, 30.0), (0.5, 50.0)), wind_share=0.6, source=_NO_SOURCE
    ),
}


def parking_named(name: str) -> Parking:
    """Return the surroundings of a preset.

    Raises
    ------
    InputError
        No such preset; all are listed.
    """
    found = PARKINGS.get(name)
    if found is None:
        allowed = ", ".join(f"'{known}'" for known in PARKINGS)
        raise InputError(f"got {name!r}; allowed are {allowed}", field="stay.parking")
    return found


def beam_share(parking: Parking, zenith_deg: FloatArray) -> FloatArray:
    """Chance that the sun stands above the surroundings, 0 to 1, of the zenith's shape.

    Examples
    --------
    >>> beam_share(PARKINGS["scattered trees"], np.array([50.0, 70.0, 80.0, 88.0]))
    array([1. , 0.8, 0.5, 0. ])
    """
    elevation = 90.0 - zenith_deg
    share = np.zeros_like(elevation)
    for compass_share, horizon_deg in parking.sectors:
        share += compass_share * (elevation > horizon_deg)
    return share


def sky_view_share(parking: Parking) -> float:
    """Share of an even sky's light that reaches a flat roof, 0 to 1.

    A horizon of elevation ``h`` all around leaves ``cos(h)**2`` of it: the integral of
    ``2 sin(e) cos(e)`` over the elevations ``e`` above ``h``. Sectors add up by their share.

    Examples
    --------
    >>> sky_view_share(PARKINGS["open field"])
    1.0
    """
    return float(sum(share * np.cos(np.radians(high)) ** 2 for share, high in parking.sectors))
