"""Shadows on a roof: bodies above a panel's plane, projected onto it along the sun's rays.

The van's frame: x runs forward from the roof's rear, y from its left to its right, z up from the
roof. Directions are told by their azimuth clockwise from the van's front and their elevation.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import NamedTuple, Protocol

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.roof import FACING_DEG, Facing

__all__ = [
    "Box",
    "Footprint",
    "PanelPlace",
    "Plane",
    "Tile",
    "box_edges",
    "cell_tiles",
    "panel_edges",
    "panel_plane",
    "points_in_front",
    "shadows_on",
    "sun_vectors",
    "tile_shares",
]

# Less than this is no tilt.
_FLAT_DEG = 1e-6
# Less than this is no height, m.
_NO_HEIGHT_M = 1e-9
# Light that grazes a plane more than this neither lights it nor casts a shadow worth the numbers.
_GRAZING = 0.005

Tile = tuple[float, float, float, float]


class Footprint(Protocol):
    """A rectangle on the roof: its rear left corner, its size along x and along y."""

    @property
    def x_m(self) -> float: ...  # noqa: D102
    @property
    def y_m(self) -> float: ...  # noqa: D102
    @property
    def length_m(self) -> float: ...  # noqa: D102
    @property
    def width_m(self) -> float: ...  # noqa: D102


class Box(Footprint, Protocol):
    """Something that stands on the roof."""

    @property
    def height_m(self) -> float: ...  # noqa: D102


@dataclasses.dataclass(frozen=True)
class PanelPlace:
    """One panel on the roof, by the rectangle that it covers when it lies flat.

    Attributes
    ----------
    x_m, y_m : float
        Rear left corner.
    length_m, width_m : float
        Size along x and along y.
    z_m : float
        Height of the glass (of its low edge, if tilted) above the roof, not negative.
    tilt_deg : float
        0 to 90; the panel turns about the edge on its facing side.
    facing : str
        Side of the van that a tilted panel faces: ``"front"``, ``"right"``, ``"rear"``, ``"left"``.

    Raises
    ------
    InputError
        A size that is not positive, a height below the roof, a tilt or a side that is none.
    """

    x_m: float
    y_m: float
    length_m: float
    width_m: float
    z_m: float = 0.0
    tilt_deg: float = 0.0
    facing: Facing = "front"

    def __post_init__(self) -> None:
        """Refuse what is no panel."""
        for name in ("length_m", "width_m"):
            if not getattr(self, name) > 0.0:
                message = f"got {getattr(self, name)}; must be above 0 m"
                raise InputError(message, field=f"panel.{name}")
        if not self.z_m >= 0.0:
            raise InputError(f"got {self.z_m}; must not be below 0 m", field="panel.z_m")
        if not 0.0 <= self.tilt_deg <= 90.0:
            message = f"got {self.tilt_deg}; must lie from 0 to 90 degrees"
            raise InputError(message, field="panel.tilt_deg")
        if self.facing not in FACING_DEG:
            message = f"got {self.facing!r}; allowed are {', '.join(map(repr, FACING_DEG))}"
            raise InputError(message, field="panel.facing")


class Plane(NamedTuple):
    """A panel's own coordinates: along its low edge, and up its slope.

    Attributes
    ----------
    origin_m : ndarray
        ``(3,)`` corner at the low edge.
    along, up, normal : ndarray
        ``(3,)`` unit vectors.
    span_m : tuple of float
        Size along the low edge and up the slope.
    """

    origin_m: FloatArray
    along: FloatArray
    up: FloatArray
    normal: FloatArray
    span_m: tuple[float, float]


def panel_plane(panel: PanelPlace) -> Plane:
    """Plane in which a panel lies."""
    tilt = np.radians(panel.tilt_deg) if panel.tilt_deg > _FLAT_DEG else 0.0
    cos_tilt, sin_tilt = float(np.cos(tilt)), float(np.sin(tilt))
    towards = {
        "front": (1.0, 0.0),
        "right": (0.0, 1.0),
        "rear": (-1.0, 0.0),
        "left": (0.0, -1.0),
    }[panel.facing]
    lengthwise = towards[0] != 0.0
    origin = np.array(
        [
            panel.x_m + (panel.length_m if towards[0] > 0.0 else 0.0),
            panel.y_m + (panel.width_m if towards[1] > 0.0 else 0.0),
            panel.z_m,
        ]
    )
    return Plane(
        origin_m=origin,
        along=np.array([0.0, 1.0, 0.0] if lengthwise else [1.0, 0.0, 0.0]),
        up=np.array([-towards[0] * cos_tilt, -towards[1] * cos_tilt, sin_tilt]),
        normal=np.array([towards[0] * sin_tilt, towards[1] * sin_tilt, cos_tilt]),
        span_m=(panel.width_m, panel.length_m) if lengthwise else (panel.length_m, panel.width_m),
    )


def box_edges(box: Box) -> FloatArray:
    """Edges of an upright box that stands on the roof, ``(12, 2, 3)`` m."""
    corners = np.array(
        [
            [box.x_m + i * box.length_m, box.y_m + j * box.width_m, k * box.height_m]
            for i in (0, 1)
            for j in (0, 1)
            for k in (0, 1)
        ]
    )
    # Corners are numbered by three bits; an edge changes one of them.
    ends = [(a, a | bit) for bit in (1, 2, 4) for a in range(8) if not a & bit]
    edges: FloatArray = corners[np.array(ends)]
    return edges


def panel_edges(panel: PanelPlace) -> FloatArray:
    """Edges of a panel as a plate without thickness, ``(4, 2, 3)`` m."""
    plane = panel_plane(panel)
    side, slope = plane.span_m
    low, high = np.zeros(3), slope * plane.up
    corners = plane.origin_m + np.stack([low, side * plane.along, side * plane.along + high, high])
    return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)


def points_in_front(edges_m: FloatArray, plane: Plane) -> FloatArray:
    """Points whose convex hull is the part of a convex body on the sunny side of a plane.

    Parameters
    ----------
    edges_m : ndarray
        ``(edges, 2, 3)`` ends of the body's edges.
    plane : Plane
        The panel's.

    Returns
    -------
    ndarray
        ``(points, 3)``; none where no part of the body rises above the plane.
    """
    height: FloatArray = (edges_m - plane.origin_m) @ plane.normal
    if not (height > _NO_HEIGHT_M).any():
        return np.zeros((0, 3))
    low, high = height[:, 0], height[:, 1]
    crosses = (low < 0.0) != (high < 0.0)
    share = low[crosses] / (low - high)[crosses]
    start, stop = edges_m[crosses, 0], edges_m[crosses, 1]
    cuts = start + share[:, np.newaxis] * (stop - start)
    points: FloatArray = np.concatenate([edges_m[height >= 0.0], cuts])
    return np.unique(points, axis=0)


def sun_vectors(azimuth_deg: FloatArray, elevation_deg: FloatArray) -> FloatArray:
    """Unit vectors towards the sun in the van's frame, ``(..., 3)``; the angles broadcast."""
    azimuth, elevation = np.broadcast_arrays(np.radians(azimuth_deg), np.radians(elevation_deg))
    flat = np.cos(elevation)
    return np.stack([flat * np.cos(azimuth), flat * np.sin(azimuth), np.sin(elevation)], axis=-1)


def cell_tiles(panel: PanelPlace, *, groups: int, cells: int) -> list[list[Tile]]:
    """Rectangles of a panel's cells in its plane's coordinates, by bypass group.

    A group is a strip that runs the panel's long side; its cells are laid out in the rows that
    make them most nearly square.

    Returns
    -------
    list of list of tuple
        ``[group][cell] = (low, left, high, right)`` as (along, up, along, up), m.
    """
    along_m, up_m = panel_plane(panel).span_m
    lengthwise = along_m >= up_m
    long_m, strip_m = max(along_m, up_m), min(along_m, up_m) / groups
    rows = min(
        (n for n in range(1, cells + 1) if cells % n == 0),
        key=lambda n: abs(np.log((long_m / (cells / n)) / (strip_m / n))),
    )
    columns = cells // rows
    step_m, row_m = long_m / columns, strip_m / rows
    tiles = []
    for group in range(groups):
        strip = []
        for row in range(rows):
            for column in range(columns):
                across = group * strip_m + row * row_m
                box = (column * step_m, across, (column + 1) * step_m, across + row_m)
                strip.append(box if lengthwise else (box[1], box[0], box[3], box[2]))
        tiles.append(strip)
    return tiles


def shadows_on(plane: Plane, points_m: FloatArray, suns: FloatArray) -> npt.NDArray[np.object_]:
    """Shadow of a body on a panel under every sun, cut to the panel; None where it has none.

    Parameters
    ----------
    plane : Plane
        The panel's.
    points_m : ndarray
        Points in front of the plane, ``(points, 3)``: see `points_in_front`.
    suns : ndarray
        ``(suns, 3)`` unit vectors towards the sun.

    Returns
    -------
    ndarray of object
        ``(suns,)`` polygons in the plane's coordinates. None where the sun is behind the plane.

    Notes
    -----
    A parallel projection maps the hull of a convex body's points to the hull of their images, so
    that a shadow is one convex polygon.
    """
    import shapely

    shadows = np.full(len(suns), None, dtype=object)
    if not len(points_m):
        return shadows
    facing = suns @ plane.normal
    local = points_m - plane.origin_m
    height = local @ plane.normal
    axes = np.stack([plane.along, plane.up])
    # Where the ray through a point meets the plane: q - s (q.n) / (s.n).
    slant = (suns @ axes.T) / np.maximum(facing, _GRAZING)[:, np.newaxis]
    image = (local @ axes.T)[np.newaxis] - height[:, np.newaxis] * slant[:, np.newaxis]
    meets = np.flatnonzero(
        (facing > _GRAZING)
        & (image.max(axis=1) > 0.0).all(axis=1)
        & (image.min(axis=1) < np.array(plane.span_m)).all(axis=1)
    )
    hull = shapely.convex_hull(shapely.linestrings(image[meets]))
    cut = _clipped(hull, (0.0, 0.0, *plane.span_m))
    there = ~shapely.is_empty(cut)
    shadows[meets[there]] = cut[there]
    return shadows


def tile_shares(shadows: npt.NDArray[np.object_], tiles: Sequence[Tile]) -> FloatArray:
    """Share of each tile that lies in any of the shadows.

    Parameters
    ----------
    shadows : ndarray of object
        ``(suns, bodies)``, see `shadows_on`.
    tiles : sequence of tuple
        Rectangles in the plane, see `cell_tiles`.

    Returns
    -------
    ndarray
        ``(tiles, suns)``, 0 to 1; where shadows meet, their union counts.
    """
    import shapely

    shares = np.zeros((len(tiles), len(shadows)))
    count = (shadows != None).sum(axis=1)  # noqa: E711
    shaded = np.flatnonzero(count)
    if not shaded.size:
        return shares
    merged = _merged(shadows[shaded], count[shaded])
    bounds = shapely.bounds(merged)
    for index, (left, low, right, high) in enumerate(tiles):
        near = (
            (bounds[:, 0] < right)
            & (bounds[:, 2] > left)
            & (bounds[:, 1] < high)
            & (bounds[:, 3] > low)
        )
        part = shapely.area(_clipped(merged[near], (left, low, right, high)))
        shares[index, shaded[near]] = np.minimum(part / ((right - left) * (high - low)), 1.0)
    return shares


def _clipped(shapes: npt.NDArray[np.object_], tile: Tile) -> npt.NDArray[np.object_]:
    """Parts of shapes inside a rectangle."""
    import shapely

    cut: npt.NDArray[np.object_]
    try:
        cut = shapely.clip_by_rect(shapes, *tile)
    except shapely.errors.GEOSException:
        # The quick cut fails on a sliver that only touches the edge; the general one does not.
        cut = shapely.intersection(shapes, shapely.box(*tile))
    return cut


def _merged(
    shadows: npt.NDArray[np.object_], count: npt.NDArray[np.intp]
) -> npt.NDArray[np.object_]:
    """One geometry a row: the only shadow, or the union of several."""
    import shapely

    first = np.argmax(shadows != None, axis=1)  # noqa: E711
    merged: npt.NDArray[np.object_] = shadows[np.arange(len(shadows)), first]
    several = count > 1
    if several.any():
        merged[several] = shapely.union_all(shadows[several], axis=1)
    return merged
