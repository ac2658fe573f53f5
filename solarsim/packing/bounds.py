"""What a partly filled roof can still hold at most: by area, and cross-section by cross-section.

Panels are placed from the rear forwards; a state says per cell across the van from which x on it
is free. Both bounds let panels be cut up, so no layout that is left out can beat them.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np

from solarsim.arrays import FloatArray, IntArray, IntArray32
from solarsim.packing.positions import BEYOND, Positions

__all__ = ["Bounds", "bounds_of", "free_area", "line_power_w", "next_starts", "whole_panels_w"]

# Areas in square micrometres outgrow 32 bits.


@dataclasses.dataclass(frozen=True)
class Bounds:
    """What can still be placed from some x on, per cell and over the whole width.

    Attributes
    ----------
    starts, stops : tuple of ndarray
        Per cell: merged spans of x at which a panel over that cell may begin.
    free_x, free_area : tuple of ndarray
        Per cell: corners of the broken line of area (square micrometres) that panels could cover
        up to x.
    line_x, line_w : ndarray
        Corners of the broken line of power that cross-sections up to x can hold.
    density_w : float
        Highest power of a panel for its area with the gap.
    """

    starts: tuple[IntArray32, ...]
    stops: tuple[IntArray32, ...]
    free_x: tuple[IntArray, ...]
    free_area: tuple[IntArray, ...]
    line_x: IntArray
    line_w: FloatArray
    density_w: float


def bounds_of(positions: Positions) -> Bounds:
    """Work the bounds out once for a roof's positions."""
    reach_end = positions.last + positions.reach
    starts, stops, free_x, areas = [], [], [], []
    for cell, extent in enumerate(positions.cells):
        over = (positions.begin <= cell) & (positions.end > cell)
        begin, end = _merged(positions.first[over], positions.last[over])
        starts.append(begin)
        stops.append(end)
        begin, end = _merged(positions.first[over], reach_end[over])
        corners = np.stack([begin, end], axis=1).ravel().astype(np.int64)
        covered = np.cumsum(
            np.stack([np.zeros_like(begin), end - begin], axis=1).ravel(), dtype=np.int64
        )
        free_x.append(np.append(corners, BEYOND))
        areas.append(extent * np.append(covered, covered[-1] if len(covered) else 0))
    line_x, line_w = _cross_sections(positions)
    edges = np.concatenate([[0.0], np.cumsum(positions.cells, dtype=np.float64)])
    breadth = edges[positions.end] - edges[positions.begin]
    density = positions.power_w / (breadth * positions.reach)
    return Bounds(
        starts=tuple(starts),
        stops=tuple(stops),
        free_x=tuple(free_x),
        free_area=tuple(areas),
        line_x=line_x,
        line_w=line_w,
        density_w=float(density.max(initial=0.0)),
    )


def next_starts(bounds: Bounds, front: IntArray32) -> IntArray32:
    """Move each cell's free x on to where the next panel over it may begin.

    Parameters
    ----------
    bounds : Bounds
        The roof's.
    front : ndarray
        ``(states, cells)``.
    """
    moved = np.empty_like(front)
    for cell, (start, stop) in enumerate(zip(bounds.starts, bounds.stops, strict=True)):
        x = front[:, cell]
        following = np.append(start, BEYOND).astype(np.int32)
        moved[:, cell] = np.maximum(x, following[np.searchsorted(stop, x, side="left")])
    return moved


def free_area(bounds: Bounds, front: IntArray32) -> FloatArray:
    """Return the area that panels could still cover, square micrometres, ``(states,)``."""
    total = np.zeros(len(front))
    for cell, (corners, area) in enumerate(zip(bounds.free_x, bounds.free_area, strict=True)):
        total += area[-1] - np.interp(front[:, cell], corners, area)
    return total


def line_power_w(bounds: Bounds, x: IntArray32) -> FloatArray:
    """Return the power that cross-sections from x on can hold, W, ``(states,)``."""
    if not len(bounds.line_x):
        return np.zeros(len(x))
    left = np.interp(x, bounds.line_x, bounds.line_w)
    return np.asarray(bounds.line_w[-1] - left, dtype=np.float64)


def whole_panels_w(positions: Positions, bound_w: FloatArray) -> FloatArray:
    """Lower a bound to what whole panels give; powers are whole milliwatts."""
    # Any number of panels gives a multiple of the powers' greatest common divisor.
    step_mw = math.gcd(*(round(power_w * 1000.0) for power_w in positions.powers_w))
    if step_mw == 0:
        return bound_w
    # The bound is a sum of fractions: a hair below a whole panel is that panel.
    return np.asarray(np.floor(bound_w * 1000.0 / step_mw + 1e-6) * step_mw / 1000.0)


def _merged(begin: IntArray32, end: IntArray32) -> tuple[IntArray32, IntArray32]:
    order = np.argsort(begin, kind="stable")
    begin, end = begin[order], end[order]
    reached = np.maximum.accumulate(end) if len(end) else end
    fresh = np.ones(len(begin), dtype=bool)
    fresh[1:] = begin[1:] > reached[:-1]
    last = np.append(fresh[1:], True)[: len(begin)]
    return begin[fresh], reached[last]


def _cross_sections(positions: Positions) -> tuple[IntArray, FloatArray]:
    """Power that fits up to each x where every cross-section is filled as well as can be.

    A panel's power is spread evenly over its reach. What crosses one x then is a set of spans of
    cells without overlap; the best set is found cell by cell.
    """
    until = positions.last + positions.reach
    corners = np.unique(np.concatenate([positions.first, until]))
    if len(corners) < 2:
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    per_x = positions.power_w / positions.reach
    crosses = (positions.first[:, None] <= corners[:-1]) & (until[:, None] >= corners[1:])
    best = np.zeros((len(positions.cells) + 1, len(corners) - 1))
    by_end: dict[int, list[int]] = {}
    for span, end in enumerate(positions.end):
        by_end.setdefault(int(end), []).append(span)
    for end in range(1, len(best)):
        best[end] = best[end - 1]
        for span in by_end.get(end, ()):
            candidate = best[positions.begin[span]] + per_x[span] * crosses[span]
            np.maximum(best[end], candidate, out=best[end])
    power = np.concatenate([[0.0], np.cumsum(best[-1] * np.diff(corners))])
    return corners.astype(np.int64), power
