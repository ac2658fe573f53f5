"""Where one panel may lie on a roof, whatever the others do.

All lengths are whole micrometres, so that panels which fit exactly do fit and a comparison never
depends on rounding. What must stay free is rounded outwards.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Sequence

from solarsim.inputs.roof import Roof

__all__ = ["PER_M", "FreeSpace", "Span", "free_space", "free_spans", "is_rectangle"]

PER_M = 1_000_000

Span = tuple[int, int]


@dataclasses.dataclass(frozen=True)
class FreeSpace:
    """A roof in micrometres, ready to be asked where a panel may lie.

    Attributes
    ----------
    margin, gap : int
        Free along the edge, and between panels.
    edges : tuple of ((x, y), (x, y))
        The outline.
    blocks : tuple of (x, y, x, y)
        Rectangles that stay free: obstacles with their clearance, the walkway.
    upright : bool
        Whether all edges run along or across the van.
    """

    margin: int
    gap: int
    edges: tuple[tuple[Span, Span], ...]
    blocks: tuple[tuple[int, int, int, int], ...]
    upright: bool

    @property
    def rests(self) -> tuple[tuple[int, Span], ...]:
        """Every y at which a panel pushed to the left comes to rest, and what carries it along."""
        out = []
        for (x0, y0), (x1, y1) in self.edges:
            along = min(x0, x1) - self.margin, max(x0, x1) + self.margin
            out += [(y0 + self.margin, along), (y1 + self.margin, along)]
        return tuple(out + [(block[3], (block[0], block[2])) for block in self.blocks])

    @property
    def breadth(self) -> Span:
        """From where to where across the van the outline reaches."""
        across = [start[1] for start, _ in self.edges]
        return min(across), max(across)


def free_space(roof: Roof) -> FreeSpace:
    """Return a roof's free space."""
    corners = [(round(x * PER_M), round(y * PER_M)) for x, y in roof.corners_m]
    edges = tuple(zip(corners, corners[1:] + corners[:1], strict=True))
    blocks = [
        (
            math.floor(_micro(obstacle.x_m - obstacle.clearance_m)),
            math.floor(_micro(obstacle.y_m - obstacle.clearance_m)),
            math.ceil(_micro(obstacle.x_m + obstacle.length_m + obstacle.clearance_m)),
            math.ceil(_micro(obstacle.y_m + obstacle.width_m + obstacle.clearance_m)),
        )
        for obstacle in roof.obstacles
    ]
    if roof.walkway_y_m is not None:
        start_m, end_m = roof.walkway_y_m
        length = max(x for x, _ in corners)
        blocks.append((0, math.floor(_micro(start_m)), length, math.ceil(_micro(end_m))))
    return FreeSpace(
        margin=round(roof.margin_m * PER_M),
        gap=round(roof.gap_m * PER_M),
        edges=edges,
        blocks=tuple(blocks),
        upright=all(x0 == x1 or y0 == y1 for (x0, y0), (x1, y1) in edges),
    )


def is_rectangle(space: FreeSpace) -> bool:
    """Whether the outline is one rectangle."""
    return space.upright and len(space.edges) == 4


def free_spans(space: FreeSpace, length: int, width: int, y: int) -> list[Span]:
    """Return every span of x at which a panel's rear left corner may lie at this y.

    Parameters
    ----------
    space : FreeSpace
        The roof.
    length, width : int
        The panel's extent along and across the van.
    y : int
        Of the panel's left side.

    Returns
    -------
    list of (int, int)
        First and last x of each span, in order; both ends are allowed.

    Notes
    -----
    The margin is kept along and across the van: an outline's slanting edge may not come closer to
    the panel than a square of that half-width around each of its points. That is on the safe side
    of the shortest distance.
    """
    top, bottom = y + width, y
    banned = [
        (block[0] - length, block[2])
        for block in space.blocks
        if block[1] < top and block[3] > bottom
    ]
    low, high = bottom - space.margin, top + space.margin
    for start, end in space.edges:
        reach = _reach(start, end, low, high)
        if reach is not None:
            banned.append((reach[0] - space.margin - length, reach[1] + space.margin))
    return [
        (first, last)
        for first, last in _between(banned)
        if _is_inside(space, (first + last + length) / 2.0, (top + bottom) / 2.0)
    ]


def _reach(start: Span, end: Span, low: int, high: int) -> Span | None:
    """From where to where along the van an edge runs within an open band across it."""
    (x0, y0), (x1, y1) = sorted((start, end), key=lambda point: point[1])
    if y0 >= high or y1 <= low:
        return None
    if y0 == y1:
        return min(x0, x1), max(x0, x1)
    slope = (x1 - x0) / (y1 - y0)
    ends = [x0 + slope * (max(y0, low) - y0), x0 + slope * (min(y1, high) - y0)]
    return math.floor(min(ends)), math.ceil(max(ends))


def _between(banned: Iterable[Span]) -> Sequence[Span]:
    """Spans between open ones, with both ends allowed."""
    gaps: list[Span] = []
    reached: int | None = None
    for start, end in sorted(banned):
        if reached is not None and start >= reached:
            gaps.append((reached, start))
        reached = end if reached is None else max(reached, end)
    return gaps


def _is_inside(space: FreeSpace, x: float, y: float) -> bool:
    crossings = 0
    for (x0, y0), (x1, y1) in space.edges:
        if (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0):
            crossings += 1
    return crossings % 2 == 1


def _micro(length_m: float) -> float:
    """Micrometres, with the noise of binary fractions taken off before they are rounded."""
    return round(length_m * PER_M, 3)
