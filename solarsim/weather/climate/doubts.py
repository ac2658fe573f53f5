"""Where the embedded climate is not to be trusted, as comparisons with stations have shown."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from solarsim.inputs.percent import percent
from solarsim.weather.climate.codec import CODES
from solarsim.weather.climate.data import read_bundle
from solarsim.weather.climate.grid import around
from solarsim.weather.climate.light import has_clearness
from solarsim.weather.climate.satellite import satellite_share
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place

__all__ = ["DOUBTS", "Doubt", "doubts_at"]

# Where the land within this distance lies that much above it on average, a town lies in a valley.
_VALLEY_KM, _VALLEY_M = 25.0, 350.0


@dataclasses.dataclass(frozen=True)
class Doubt:
    """One way in which the climate fails.

    Attributes
    ----------
    name : str
        What it is called.
    short : str
        What is said at a place that it concerns.
    full : str
        What is known of it, for the report.
    concerns : callable
        Whether a place, by its climate, is of that kind. The limits are those of the stations at
        which it was seen, not those within which it must be so.
    """

    name: str
    short: str
    full: str
    concerns: Callable[[Place, SiteClimate], bool]


def doubts_at(place: Place, climate: SiteClimate) -> tuple[str, ...]:
    """Return what a builder should know before trusting the climate of this place."""
    errors = climate.ghi_error_share
    least, most = percent(float(errors.min())), percent(float(errors.max()))
    off = least if least == most else f"{least} to {most}"
    return tuple(doubt.short.format(off=off) for doubt in DOUBTS if doubt.concerns(place, climate))


def _is_elsewhere(place: Place, climate: SiteClimate) -> bool:
    return satellite_share(place.latitude_deg, place.longitude_deg) < 1.0


def _has_snowy_winter(place: Place, climate: SiteClimate) -> bool:
    coldest = int(climate.temp_mean_c.argmin())
    cold = -10.0 <= climate.temp_mean_c[coldest] <= 0.0
    return _is_elsewhere(place, climate) and cold and climate.precip_mm_day[coldest] >= 1.9


def _is_warm_wet_coast(place: Place, climate: SiteClimate) -> bool:
    warm = climate.temp_mean_c.min() >= 15.0 and climate.temp_mean_c.max() >= 26.0
    # A small island's light is that of its latitude, which knows no clouds to put wrongly.
    known = has_clearness(read_bundle(), place.latitude_deg, place.longitude_deg)
    return bool(
        known and warm and climate.precip_mm_day.max() >= 5.0 and climate.coast_share >= 0.3
    )


def _is_cool_coast(place: Place, climate: SiteClimate) -> bool:
    cool = climate.temp_mean_c.max() <= 21.5 and abs(place.latitude_deg) <= 46.0
    at_sea = climate.coast_share >= 0.3 and place.elevation_m <= 300.0
    return bool(cool and at_sea and _is_elsewhere(place, climate))


def _has_cold_basins(place: Place, climate: SiteClimate) -> bool:
    return bool(climate.temp_mean_c.min() < -10.0)


def _lies_in_valleys(place: Place, climate: SiteClimate) -> bool:
    bundle = read_bundle()
    grid = bundle.node_grid
    rows, columns, distance_km = around(grid, place.latitude_deg, place.longitude_deg, _VALLEY_KM)
    near = distance_km <= _VALLEY_KM
    nodes = grid.index[rows[near], columns[near]]
    known = bundle.lists["node_elevation"][nodes[nodes >= 0]]
    ground_m = known * CODES["node_elevation"].step
    return bool(len(known) and ground_m.mean() - place.elevation_m >= _VALLEY_M)


DOUBTS: tuple[Doubt, ...] = (
    Doubt(
        "Outside central Europe",
        "No satellite grid lies here: a month's light may be off by {off} (standard "
        "deviation), which every answer draws; hold it against real years.",
        "Only 45 to 56 N, 5 to 16 E has its months' light from satellites (3 to 4 %). Elsewhere a "
        "month may be off by 7 to 11 %, the cloudier the more; every answer draws that error, so "
        "its P10 holds, but its middle may not.",
        _is_elsewhere,
    ),
    Doubt(
        "Snowy winters beside a warmer sea or lake",
        "Snowy winters like this one's came out a fifth too dark on average where they were "
        "measured (northern Japan).",
        "In northern Japan December to February come out a fifth too dark on average, and a third "
        "at one station: the cell of three degrees does not know the clear side of the mountains.",
        _has_snowy_winter,
    ),
    Doubt(
        "Warm wet coasts",
        "Warm wet coasts like this one come out up to a quarter too dark in summer and a tenth too "
        "bright in winter (Florida).",
        "Florida's summer comes out 8 to 24 % too dark and its winter 3 to 17 % too bright: "
        "afternoon clouds that stand inland are spread over the shore.",
        _is_warm_wet_coast,
    ),
    Doubt(
        "Coasts with cool, foggy summers",
        "Coasts as cool in summer as this one may have fog that the climate does not know: their "
        "summer came out up to a third too bright (eastern Hokkaido).",
        "Fog and low cloud at the shore are smaller than a cell: in northern and eastern Hokkaido "
        "June to August come out a tenth to a third too bright. No station of the coasts of "
        "California, Peru or Namibia is among those compared.",
        _is_cool_coast,
    ),
    Doubt(
        "Hollows in very cold winters",
        "In hollows the coldest months may be up to 6 C colder than this: lithium banks freeze "
        "sooner.",
        "Where January is below -10 C, cold air lies in hollows that a quarter degree does not "
        "know: single stations are 5 to 6 C colder than ours (mean 0.5 C below -15 C).",
        _has_cold_basins,
    ),
    Doubt(
        "Narrow valleys",
        "The land around lies hundreds of metres higher: check the elevation given here, and give "
        "a horizon (stay.horizon), for no mountain's shadow is in the climate.",
        "A town in a narrow valley without an airfield may be given an elevation some hundred "
        "metres too high (2 C too cold), and mountains cast no shadow unless a horizon is given.",
        _lies_in_valleys,
    ),
)
