"""Outlines of countries and first-level areas, and the lines of a map."""

from __future__ import annotations

import dataclasses
import difflib
import enum
import functools
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError

__all__ = [
    "STEPS_PER_DEG",
    "Box",
    "LineKind",
    "Outline",
    "find_outline",
    "land_in",
    "map_lines",
    "outline_names",
]

OUTLINES_FILE = Path(__file__).resolve().parents[1] / "data" / "outlines.npz"
# The outlines are made for maps of 1 : 50 million; a step is 280 m.
STEPS_PER_DEG = 400.0
# Parts further from the largest one than this are left out: overseas areas are other regions.
_FAR_KM = 1500.0
_FINE_DEG = 1e-6
_KM_PER_DEG = 111.2
_MAX_NEAR = 4
_LONGEST_CODE = 6


class LineKind(enum.IntEnum):
    """What a line of the map is; hidden ones are the outer edges of areas."""

    COAST = 0
    BORDER = 1
    AREA = 2
    HIDDEN = 3


@dataclasses.dataclass(frozen=True)
class Box:
    """A stretch of latitudes and longitudes, degrees.

    ``west_deg`` lies in -180 to below 180 and ``east_deg`` above it, past 180 where the box crosses
    the antimeridian.
    """

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float


@dataclasses.dataclass(frozen=True)
class Outline:
    """The land of a country or a first-level area.

    Attributes
    ----------
    code, name : str
        Such as ``"ES"``, ``"Spain"`` or ``"US-CO"``, ``"Colorado"``.
    geometry : shapely geometry
        Longitude and latitude, degrees; longitudes run on past 180 where the land crosses it.
    box : Box
        What it lies in.
    far_parts : int
        Parts that lie more than 1,500 km from the largest and are left out.
    """

    code: str
    name: str
    geometry: Any
    box: Box
    far_parts: int = 0


def outline_names() -> dict[str, str]:
    """Return the name of every outline by its code."""
    return dict(_shapes())


def find_outline(code: str) -> Outline:
    """Return the outline of a country (ISO 3166-1) or a first-level area (ISO 3166-2).

    Areas are those of Australia, Austria, Brazil, Canada, France, Germany, Italy, Japan, Mexico,
    Norway, Portugal, Spain, Sweden, Switzerland and the United States.

    Parameters
    ----------
    code : str
        Such as ``"ES"`` or ``"US-CO"``, in any case; a name does as well.

    Raises
    ------
    InputError
        No such outline; near ones are named.

    References
    ----------
    .. [1] Natural Earth, 1:50m and 1:10m, public domain; United States Census Bureau, cartographic
       boundary files, public domain.

    Examples
    --------
    >>> find_outline("es").name, find_outline("US-CO").name, find_outline("portugal").code
    ('Spain', 'Colorado', 'PT')
    """
    known = outline_names()
    wanted = code.strip()
    upper = wanted.upper()
    if upper in known:
        return _outline(upper)
    by_name = {name.casefold(): key for key, name in known.items()}
    if wanted.casefold() in by_name:
        return _outline(by_name[wanted.casefold()])
    raise InputError(f"got {code!r}; no such country or area; {_near(wanted, known)}")


def land_in(box: Box) -> Any:
    """Return the land of a box as a shapely geometry, with the longitudes of the box.

    Longitude and latitude in degrees; empty where there is none.
    """
    import shapely

    data, found = _read(), []
    sides = shapely.box(box.west_deg, box.south_deg, box.east_deg, box.north_deg)
    countries = [index for index, code in enumerate(_shapes()) if "-" not in code]
    for polygon in np.flatnonzero(np.isin(data["polygon_shape"], countries)):
        west, south, east, north = _bounds(int(polygon))
        if north < box.south_deg or south > box.north_deg:
            continue
        for turn in (-360.0, 0.0, 360.0):
            if east + turn < box.west_deg or west + turn > box.east_deg:
                continue
            part = shapely.make_valid(_polygon(int(polygon)))
            moved = shapely.transform(part, lambda xy, by=turn: xy + np.array([by, 0.0]))
            found.append(shapely.intersection(moved, sides))
    # On a grid finer than the outlines, borders that touch cannot leave slivers, but may shrink to
    # lines; with those in it, asking which points lie on the land takes a hundred times as long.
    parts = shapely.get_parts(shapely.union_all(found, grid_size=_FINE_DEG))
    return shapely.MultiPolygon([part for part in parts if part.geom_type == "Polygon"])


def map_lines(kind: LineKind, box: Box) -> list[FloatArray]:
    """Return the lines of a kind that meet a box, each ``(points, 2)`` longitude and latitude.

    Longitudes are those of the box, so past 180 where it crosses the antimeridian; lines are
    whole, not cut at the box.
    """
    found = []
    for line in _lines(kind):
        south, north = line[:, 1].min(), line[:, 1].max()
        if north < box.south_deg or south > box.north_deg:
            continue
        west, east = line[:, 0].min(), line[:, 0].max()
        found += [
            line + np.array([turn, 0.0])
            for turn in (-360.0, 0.0, 360.0)
            if east + turn >= box.west_deg and west + turn <= box.east_deg
        ]
    return found


def _near(wanted: str, known: dict[str, str]) -> str:
    areas = [key for key in known if key.startswith(f"{wanted.upper().split('-')[0]}-")]
    if "-" in wanted and wanted.upper().split("-")[0] in known and not areas:
        with_areas = sorted({key.split("-")[0] for key in known if "-" in key})
        return (
            f"areas are known of {', '.join(with_areas)}; take the whole country, or 'south, "
            f"west, north, east' in degrees"
        )
    texts = {key: key for key in known} | {name: key for key, name in known.items()}
    close = difflib.get_close_matches(wanted.title(), list(texts), n=_MAX_NEAR, cutoff=0.6)
    if len(wanted) <= _LONGEST_CODE:
        close += difflib.get_close_matches(wanted.upper(), list(known), n=_MAX_NEAR, cutoff=0.5)
    codes = list(dict.fromkeys(texts[text] for text in close))[:_MAX_NEAR]
    listed = ", ".join(f"'{key}' ({known[key]})" for key in codes)
    advice = "such as 'ES' or 'US-CO', or 'south, west, north, east' in degrees"
    return f"near: {listed}; codes are {advice}" if listed else f"give a code {advice}"


@functools.lru_cache(maxsize=16)
def _outline(code: str) -> Outline:
    import shapely

    data, names = _read(), list(_shapes())
    shape = names.index(code)
    polygons = []
    for polygon in np.flatnonzero(data["polygon_shape"] == shape):
        part = _polygon(int(polygon))
        if not part.is_empty:
            polygons.append(part)
    kept, far = _near_parts(_unwrapped(polygons))
    # A ring that touches itself becomes parts; what has no area is none of them.
    valid = shapely.get_parts(shapely.make_valid(shapely.MultiPolygon(kept)))
    geometry = shapely.union_all([part for part in valid if part.area > 0.0])
    west, south, east, north = geometry.bounds
    turn = -360.0 * np.floor((west + 180.0) / 360.0)
    if turn:
        geometry = shapely.transform(geometry, lambda xy: xy + np.array([turn, 0.0]))
    box = Box(south, float(west + turn), north, float(east + turn))
    return Outline(code, _shapes()[code], geometry, box, far)


def _unwrapped(polygons: list[Any]) -> list[Any]:
    """Move the parts beyond the antimeridian so that the land lies in one piece of longitudes."""
    import shapely

    edges = sorted((part.bounds[0], part.bounds[2]) for part in polygons)
    # The widest stretch of longitudes without land is where the map begins.
    reach, widest, start = edges[0][1], edges[0][0] + 360.0, edges[0][0]
    widest -= max(east for _, east in edges)
    for west, east in edges[1:]:
        if west - reach > widest:
            widest, start = west - reach, west
        reach = max(reach, east)
    return [
        part
        if part.bounds[0] >= start
        else shapely.transform(part, lambda xy: xy + np.array([360.0, 0.0]))
        for part in polygons
    ]


def _near_parts(polygons: list[Any]) -> tuple[list[Any], int]:
    """Parts that are reached from the largest by steps of at most 1,500 km, and the others' number.

    Distances are those of a map that is true along the middle latitude of the largest part.
    """
    import shapely

    sizes = [part.area * np.cos(np.radians(part.centroid.y)) for part in polygons]
    shrink = np.array([np.cos(np.radians(polygons[int(np.argmax(sizes))].centroid.y)), 1.0])
    maps = [shapely.transform(part, lambda xy: xy * shrink) for part in polygons]
    kept = {int(np.argmax(sizes))}
    fresh = set(kept)
    while fresh:
        tree = shapely.STRtree([maps[index] for index in range(len(maps)) if index not in kept])
        others = [index for index in range(len(maps)) if index not in kept]
        near = tree.query([maps[index] for index in fresh], "dwithin", _FAR_KM / _KM_PER_DEG)
        fresh = {others[int(index)] for index in near[1]}
        kept |= fresh
    return [polygons[index] for index in sorted(kept)], len(polygons) - len(kept)


@functools.cache
def _lines(kind: LineKind) -> tuple[FloatArray, ...]:
    arcs = _arcs()
    return tuple(arcs[index] for index in np.flatnonzero(_read()["arc_kind"] == int(kind)))


@functools.lru_cache(maxsize=4096)
def _polygon(polygon: int) -> Any:
    """A polygon with its holes; empty where its outline has shrunk to a line."""
    import shapely

    rings = [_ring(int(ring)) for ring in np.flatnonzero(_read()["ring_polygon"] == polygon)]
    rings = [ring for ring in rings if len(ring) > 3]
    return shapely.Polygon(rings[0], rings[1:]) if rings else shapely.Polygon()


def _bounds(polygon: int) -> tuple[float, float, float, float]:
    """West, south, east and north of a polygon; without an extent where it is empty."""
    west, south, east, north = _polygon(polygon).bounds or (np.nan,) * 4
    return float(west), float(south), float(east), float(north)


def _ring(ring: int) -> FloatArray:
    data, arcs = _read(), _arcs()
    end = int(data["ring_count"][: ring + 1].sum())
    parts: list[FloatArray] = []
    for arc in data["ring_arcs"][end - int(data["ring_count"][ring]) : end]:
        points = arcs[arc] if arc >= 0 else arcs[~arc][::-1]
        if parts:
            # Arcs share their ends, but for a turn where they cross the antimeridian.
            turn_deg = 360.0 * np.rint((parts[-1][-1, 0] - points[0, 0]) / 360.0)
            points = points + np.array([turn_deg, 0.0])
            if len(points) == 1:
                continue
        parts.append(points[1:] if parts else points)
    return np.concatenate(parts)


@functools.cache
def _arcs() -> tuple[FloatArray, ...]:
    data = _read()
    ends = np.cumsum(data["arc_count"] - 1)
    arcs = []
    for first, count, end in zip(data["arc_first"], data["arc_count"], ends, strict=True):
        steps = np.zeros((count, 2), dtype=np.int64)
        steps[0] = first
        steps[1:] = data["steps"][:, end - count + 1 : end].T
        points: FloatArray = np.cumsum(steps, axis=0) / STEPS_PER_DEG
        points.setflags(write=False)
        arcs.append(points)
    return tuple(arcs)


@functools.cache
def _shapes() -> dict[str, str]:
    return dict(str(shape).split("\t") for shape in _read()["shape"])


@functools.cache
def _read() -> dict[str, Any]:
    with np.load(OUTLINES_FILE, allow_pickle=False) as file:
        return {name: file[name] for name in file.files}
