"""The cells of a region: which land, in which grid, and where people live in them."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import numpy as np

from solarsim.answers.region.islets import islets_left_out, islets_note
from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.records import ArrayRecord
from solarsim.weather.climate.bundle import NORTH_LIMIT_DEG, SOUTH_LIMIT_DEG
from solarsim.weather.elevation import lookup_elevation_m
from solarsim.weather.outlines import Box, find_outline, land_in
from solarsim.weather.places import find_place
from solarsim.weather.record import Place
from solarsim.weather.towns import Town, towns_in

__all__ = ["MAX_CELLS", "MAX_STEP_DEG", "MIN_STEP_DEG", "Cell", "Cells", "Region", "region_cells"]

MIN_STEP_DEG, MAX_STEP_DEG = 0.05, 5.0
MAX_CELLS = 40_000
# A cell is the region's where so much of it is, or, on coasts and islands, so much less if all its
# land is mostly the region's, or where one of its towns stands in it.
_LAND_SHARE, _SHORE_SHARE = 0.25, 0.1
# A box is refused unseen where even so little land would be too many cells.
_MOST_SEA = 10.0
# Points along each side of a cell that tell its share of land.
_POINTS = 7
_BOX = re.compile(r"\s*[-+.\d]+(?:\s*[,;]\s*[-+.\d]+){3}\s*")
_KM_PER_DEG = 111.2
_HOW = "'south, west, north, east' in degrees, such as '36, -10, 44, 4'"


@dataclasses.dataclass(frozen=True)
class Region:
    """What a region's text stands for.

    ``geometry`` is a shapely geometry of its land with longitudes as in ``box``; ``notes`` say
    what of it is left out.
    """

    name: str
    box: Box
    geometry: Any
    code: str | None = None
    notes: tuple[str, ...] = ()


@dataclasses.dataclass(frozen=True)
class Cell:
    """A cell by its centre, its largest town where it has one, and its share of land."""

    latitude_deg: float
    longitude_deg: float
    town: Town | None = None
    land_share: float = 1.0

    @property
    def town_label(self) -> str:
        """The town with its country; empty where there is none."""
        return f"{self.town.name}, {self.town.country_code}" if self.town else ""

    def place(self) -> Place:
        """Return the place that a stay in this cell is at: its centre, where people live in it.

        The height is that of the ground at the largest town, else at the centre; the clock is the
        town's, for a cell's centre may lie in the sea.

        Raises
        ------
        PlaceError
            The clock of the place is not known.
        """
        at = self.town or self
        return find_place(
            f"{self.latitude_deg:.6f}, {self.longitude_deg:.6f}",
            elevation_m=lookup_elevation_m(at.latitude_deg, at.longitude_deg),
            timezone=self.town.timezone if self.town else None,
        )


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Cells(ArrayRecord):
    """The land cells of a region, row by row from the south, each from the west.

    Attributes
    ----------
    region : Region
        Whose they are.
    step_deg : float
        Side of a cell.
    cells : tuple of Cell
        All of them; longitudes are -180 to below 180.
    islets, islets_km2 : int and float
        Islands of the region that lie in none of them, and their land.
    """

    region: Region
    step_deg: float
    cells: tuple[Cell, ...]
    islets: int = 0
    islets_km2: float = 0.0

    @property
    def latitude_deg(self) -> FloatArray:
        """``(cells,)`` latitude of the centres."""
        return np.array([cell.latitude_deg for cell in self.cells])

    @property
    def longitude_deg(self) -> FloatArray:
        """``(cells,)`` longitude of the centres, -180 to below 180."""
        return np.array([cell.longitude_deg for cell in self.cells])

    @property
    def land_km2(self) -> FloatArray:
        """``(cells,)`` the region's land in each cell."""
        side_km = self.step_deg * _KM_PER_DEG
        share = np.array([cell.land_share for cell in self.cells])
        return np.asarray(share * side_km**2 * np.cos(np.radians(self.latitude_deg)))

    @property
    def map_longitude_deg(self) -> FloatArray:
        """``(cells,)`` longitude of the centres as the map has it: past 180 where it runs on."""
        west = self.region.box.west_deg - self.step_deg
        return np.asarray((self.longitude_deg - west) % 360.0 + west)


def region_cells(text: str, step_deg: float) -> Cells:
    """Cut a region into land cells.

    Centres lie at odd halves of the step, so that equal steps share a grid whatever the region. A
    cell is taken where at least a quarter of it is the region's land, where a tenth of it is and
    that is most of its land, or where one of the region's towns of 5,000 people stands in it.

    Parameters
    ----------
    text : str
        A country (``"ES"``), an area (``"US-CO"``), or ``"south, west, north, east"`` in degrees;
        west above east crosses the antimeridian.
    step_deg : float
        Side of a cell, 0.05 to 5 degrees.

    Raises
    ------
    InputError
        No such region, one without land or climate, or too many cells, with their number.

    Examples
    --------
    >>> cells = region_cells("US-CO", 1.0)
    >>> len(cells.cells), cells.cells[0].latitude_deg, cells.cells[0].longitude_deg
    (28, 37.5, -108.5)
    """
    if not MIN_STEP_DEG <= step_deg <= MAX_STEP_DEG:
        message = (
            f"got {step_deg:g}; must lie between {MIN_STEP_DEG:g} and {MAX_STEP_DEG:g} degrees"
        )
        raise InputError(message, field="step")
    region = _region(text, step_deg)
    box = region.box
    rows = _centres(
        max(box.south_deg, SOUTH_LIMIT_DEG), min(box.north_deg, NORTH_LIMIT_DEG), step_deg
    )
    columns = _centres(box.west_deg, box.east_deg, step_deg)
    about = float(region.geometry.area) / step_deg**2
    if about > 1.1 * MAX_CELLS:
        raise _too_many(f"about {about:,.0f}", step_deg, about)
    share = _land_share(region.geometry, rows, columns, step_deg)
    land = share
    if region.code is not None:
        land = _land_share(land_in(box), rows, columns, step_deg)
    mine = (share >= _LAND_SHARE) | ((share >= _SHORE_SHARE) & (share >= 0.5 * land))
    towns = _largest_towns(region, step_deg)
    cells = []
    for down, latitude in enumerate(rows):
        for right, longitude in enumerate(columns):
            key = _key(latitude, longitude, step_deg)
            if mine[down, right] or key in towns:
                around = (longitude + 180.0) % 360.0 - 180.0
                centre = round(float(latitude), 6), round(float(around), 6)
                cells.append(Cell(*centre, towns.get(key), float(share[down, right])))
    if len(cells) > MAX_CELLS:
        raise _too_many(f"{len(cells):,}", step_deg, len(cells))
    if not cells:
        raise InputError(
            f"got {text!r}; no cell of {step_deg:g} degrees in it has land between 57 S and 72 N; "
            "take a smaller step or another region",
            field="region",
        )
    found = Cells(region, step_deg, tuple(cells))
    centres = list(zip(found.map_longitude_deg, found.latitude_deg, strict=True))
    islets, km2 = islets_left_out(region.geometry, centres, step_deg, NORTH_LIMIT_DEG)
    if islets:
        region = dataclasses.replace(region, notes=(*region.notes, islets_note(islets, km2)))
    return dataclasses.replace(found, region=region, islets=islets, islets_km2=km2)


def _region(text: str, step_deg: float) -> Region:
    if _BOX.fullmatch(text):
        box = _box(text)
        wide = (box.north_deg - box.south_deg) * (box.east_deg - box.west_deg)
        if wide > _MOST_SEA * MAX_CELLS * step_deg**2:
            raise _too_many(f"up to {wide / step_deg**2:,.0f}", step_deg, wide / step_deg**2)
        geometry = land_in(box)
        south, north = (_degrees(value, "NS") for value in (box.south_deg, box.north_deg))
        west, east = (
            _degrees((v + 180.0) % 360.0 - 180.0, "EW") for v in (box.west_deg, box.east_deg)
        )
        return Region(f"{south} to {north}, {west} to {east}", box, geometry)
    if re.fullmatch(r"[-+\d\s.,;°]*", text):
        raise InputError(
            f"got {text!r}; give a country or area such as 'ES' or {_HOW}", field="region"
        )
    try:
        outline = find_outline(text)
    except InputError as error:
        raise InputError(error.message, field="region") from None
    notes = []
    if outline.far_parts:
        notes.append(
            f"{outline.name} is taken without its parts that lie more than 1,500 km away; ask for "
            f"them by {_HOW}"
        )
    if outline.box.north_deg > NORTH_LIMIT_DEG:
        notes.append(f"{outline.name} north of 72 N has no climate here and is left out")
    return Region(outline.name, outline.box, outline.geometry, outline.code, tuple(notes))


def _box(text: str) -> Box:
    try:
        south, west, north, east = (float(part) for part in re.split(r"[,;]", text))
    except ValueError:
        raise InputError(f"got {text!r}; a box is {_HOW}", field="region") from None
    for name, value, limit in (
        ("south", south, 90.0),
        ("north", north, 90.0),
        ("west", west, 180.0),
        ("east", east, 180.0),
    ):
        if abs(value) > limit:
            message = (
                f"got {name} {value:g}; must lie between -{limit:g} and {limit:g}; a box is {_HOW}"
            )
            raise InputError(message, field="region")
    if south >= north:
        message = (
            f"got south {south:g} and north {north:g}; south must be below north; a box is {_HOW}"
        )
        raise InputError(message, field="region")
    if west == east:
        message = f"got west and east {west:g}; they must differ; a box is {_HOW}"
        raise InputError(message, field="region")
    if west == 180.0:
        west = -180.0
    return Box(south, west, north, east if east > west else east + 360.0)


def _degrees(value: float, letters: str) -> str:
    return f"{abs(value):g} {letters[value < 0.0]}"


def _centres(first_deg: float, last_deg: float, step_deg: float) -> FloatArray:
    """Centres of the cells that reach into a stretch."""
    first = math.floor(first_deg / step_deg + 1e-9)
    last = math.ceil(last_deg / step_deg - 1e-9)
    return np.asarray((np.arange(first, last, dtype=np.float64) + 0.5) * step_deg)


def _land_share(
    geometry: Any, rows: FloatArray, columns: FloatArray, step_deg: float
) -> FloatArray:
    """Share of the points of each cell that lie on the land, ``(rows, columns)``."""
    import shapely

    shapely.prepare(geometry)
    inside = ((np.arange(_POINTS) + 0.5) / _POINTS - 0.5) * step_deg
    share = np.zeros((len(rows), len(columns)))
    east = (columns[:, None] + inside).ravel()
    for down, latitude in enumerate(rows):
        x, y = np.meshgrid(east, latitude + inside)
        on_land = shapely.contains_xy(geometry, x.ravel(), y.ravel()).reshape(x.shape)
        share[down] = on_land.mean(axis=0).reshape(len(columns), _POINTS).mean(axis=1)
    return share


def _largest_towns(region: Region, step_deg: float) -> dict[tuple[int, int], Town]:
    """The largest of the region's towns in each cell that has one."""
    found: dict[tuple[int, int], Town] = {}
    country, _, area = (region.code or "").partition("-")
    for town in towns_in(region.box):
        if country and town.country_code != country:
            continue
        if area and town.region != area and not _holds(region, town):
            continue
        west = region.box.west_deg
        longitude = (town.longitude_deg - west) % 360.0 + west
        found.setdefault(_key(town.latitude_deg, longitude, step_deg), town)
    return found


def _holds(region: Region, town: Town) -> bool:
    import shapely

    return bool(shapely.contains_xy(region.geometry, town.longitude_deg, town.latitude_deg))


def _key(latitude_deg: float, longitude_deg: float, step_deg: float) -> tuple[int, int]:
    return math.floor(latitude_deg / step_deg), math.floor(longitude_deg / step_deg)


def _too_many(count: str, step_deg: float, cells: float) -> InputError:
    enough = step_deg * math.sqrt(cells / MAX_CELLS)
    return InputError(
        f"gives {count} cells at a step of {step_deg:g} degrees; at most {MAX_CELLS:,}: take a "
        f"step of {math.ceil(enough * 20.0) / 20.0:g} or more, or a smaller region",
        field="region",
    )
