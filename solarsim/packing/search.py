"""Fill a roof with panels from the rear forwards, keeping the most promising partial layouts.

A layout is built panel by panel in order of x. All that the rest of it depends on is the front: for
each cell across the van, the x from which it is free. One partial layout is as good as another when
its front lies nowhere further forwards and it has as many watts, and it can be dropped when the
bounds say that it cannot pass the best layout known. Where no partial layout had to be dropped for
want of room, the result is proved.

The dropping follows branch and bound (Land & Doig 1960) and dynamic programming's dominance.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import numpy.typing as npt

from solarsim.arrays import BoolArray, FloatArray, IntArray32
from solarsim.packing.bounds import (
    Bounds,
    bounds_of,
    free_area,
    line_power_w,
    next_starts,
    whole_panels_w,
)
from solarsim.packing.positions import BEYOND, Positions

__all__ = ["Found", "Placed", "search"]

# Layouts of equal power that are handed back for each number of panels.
_KEPT_LAYOUTS = 60
_BLOCK = 64
# Sums of the same panels in another order differ by rounding.
_SAME_POWER_W = 1e-6
# What it takes to make a partial layout, in comparisons with another one.
_ROW_WORK = 50

Placed = tuple[tuple[int, int], ...]


@dataclasses.dataclass(frozen=True)
class Found:
    """The best layouts of one search.

    Attributes
    ----------
    power_w : float
        Of the best layout.
    layouts : dict of int to tuple
        By number of panels, layouts of the most power seen; each is a tuple of (span, x).
    bound_w : float
        No layout has more power; without end where a best one may lie elsewhere than at the
        positions.
    """

    power_w: float
    layouts: dict[int, tuple[Placed, ...]]
    bound_w: float


@dataclasses.dataclass(frozen=True)
class _States:
    front: IntArray32
    power_w: FloatArray
    span: IntArray32
    x: IntArray32

    def take(self, rows: npt.NDArray[np.intp]) -> _States:
        return _States(self.front[rows], self.power_w[rows], self.span[rows], self.x[rows])


def search(
    positions: Positions, *, width: int, known_w: float = 0.0, most_work: float = math.inf
) -> Found:
    """Search with at most `width` partial layouts for each number of panels.

    Parameters
    ----------
    positions : Positions
        Where panels may lie.
    width : int
        Partial layouts kept.
    known_w : float
        Power of a layout that is known; only better ones are looked for.
    most_work : float
        Comparisons of cells after which the search gives up, so that its time is bounded.
    """
    bounds = bounds_of(positions)
    cells = len(positions.cells)
    states = _States(
        next_starts(bounds, np.zeros((1, cells), dtype=np.int32)),
        np.zeros(1),
        np.zeros((1, 0), dtype=np.int32),
        np.zeros((1, 0), dtype=np.int32),
    )
    limit_w = float(_bound_w(positions, bounds, states)[0])
    best_w = known_w
    layouts: dict[int, tuple[Placed, ...]] = {}
    cut_off_w = work = 0.0
    while len(states.power_w):
        grown = _extend(positions, bounds, states)
        if not len(grown.power_w):
            break
        top_w = float(grown.power_w.max())
        best_w = max(best_w, top_w)
        rows = np.flatnonzero(grown.power_w >= top_w - _SAME_POWER_W)[:_KEPT_LAYOUTS]
        layouts[grown.span.shape[1]] = tuple(
            tuple(zip(grown.span[row].tolist(), grown.x[row].tolist(), strict=True)) for row in rows
        )
        bound_w = _bound_w(positions, bounds, grown)
        order = np.argsort(-bound_w, kind="stable")
        order = order[whole_panels_w(positions, bound_w[order]) > best_w + _SAME_POWER_W]
        grown, bound_w = grown.take(order), bound_w[order]
        kept, left_out = _undominated(grown, width)
        if len(left_out):
            cut_off_w = max(cut_off_w, float(bound_w[left_out].max()))
        states = grown.take(kept)
        work += cells * len(grown.power_w) * (_ROW_WORK + len(kept))
        if work > most_work and len(kept):
            cut_off_w = max(cut_off_w, float(bound_w[kept].max()))
            break
    whole_w = whole_panels_w(positions, np.array([limit_w, cut_off_w]))
    # What was cut off could have reached its own bound and no more.
    bound = max(best_w, min(float(whole_w[0]), float(whole_w[1])))
    return Found(best_w, layouts, bound if positions.complete else math.inf)


def _extend(positions: Positions, bounds: Bounds, states: _States) -> _States:
    """All states with one more panel, its x not before that of the panels there are."""
    spans = len(positions.first)
    x = np.empty((len(states.power_w), spans), dtype=np.int32)
    lying = zip(positions.begin.tolist(), positions.end.tolist(), strict=True)
    rest: dict[tuple[int, int], IntArray32] = {}
    for column, (begin, end) in enumerate(lying):
        if (begin, end) not in rest:
            rest[begin, end] = states.front[:, begin:end].max(axis=1)
        x[:, column] = rest[begin, end]
    fits = x <= positions.last
    np.maximum(x, positions.first, out=x)
    end_x = np.where(fits, x + positions.reach, BEYOND)
    # Where a panel would end before another begins it can be put in for nothing: so in a best
    # layout the next panel begins before that.
    soonest = end_x.min(axis=1, initial=BEYOND)
    state, span = np.nonzero(fits & (x < soonest[:, None]))
    new_x = x[state, span]
    cell = np.arange(len(positions.cells))
    covered = (cell >= positions.begin[span, None]) & (cell < positions.end[span, None])
    front = np.maximum(states.front[state], new_x[:, None])
    front = np.where(covered, (new_x + positions.reach[span])[:, None], front)
    front = next_starts(bounds, front.astype(np.int32))
    # Two ways to the same front and power are one; sums in another order must not tell them apart.
    power_w = np.round(states.power_w[state] + positions.power_w[span], 6)
    keys = np.concatenate([front, power_w[:, None]], axis=1)
    row = np.ascontiguousarray(keys).view(np.dtype((np.void, keys.dtype.itemsize * keys.shape[1])))
    _, first = np.unique(row.ravel(), return_index=True)
    first.sort()
    state, span, new_x = state[first], span[first], new_x[first]
    return _States(
        front[first],
        power_w[first],
        np.concatenate([states.span[state], span[:, None].astype(np.int32)], axis=1),
        np.concatenate([states.x[state], new_x[:, None]], axis=1),
    )


def _bound_w(positions: Positions, bounds: Bounds, states: _States) -> FloatArray:
    by_area = states.power_w + free_area(bounds, states.front) * bounds.density_w
    line = states.front.min(axis=1, initial=BEYOND)
    # Of panels that reach past the line, only the part before it is counted beside what fits after.
    reach = positions.reach[states.span]
    behind = np.clip((line[:, None] - states.x) / np.maximum(reach, 1), 0.0, 1.0)
    done_w = (positions.power_w[states.span] * behind).sum(axis=1)
    return np.asarray(np.minimum(by_area, done_w + line_power_w(bounds, line)))


def _undominated(states: _States, width: int) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """First `width` rows that no earlier kept row makes needless, and those that found no room."""
    kept: list[int] = []
    left_out: list[int] = []
    for start in range(0, len(states.power_w), _BLOCK):
        rows = np.arange(start, min(start + _BLOCK, len(states.power_w)))
        if len(kept) >= width:
            left_out += rows.tolist()
            continue
        rivals = np.array(kept, dtype=np.intp)
        alive = rows[~_beaten(states, rows, rivals)]
        among = alive[~_beaten(states, alive, alive)]
        kept += among.tolist()
        if len(kept) > width:
            left_out += kept[width:]
            kept = kept[:width]
    return np.array(kept, dtype=np.intp), np.array(left_out, dtype=np.intp)


def _beaten(states: _States, rows: npt.NDArray[np.intp], rivals: npt.NDArray[np.intp]) -> BoolArray:
    """Whether a rival's front is nowhere further on than a row's, with no less power."""
    if not len(rivals) or not len(rows):
        return np.zeros(len(rows), dtype=bool)
    behind = (states.front[rivals][None] <= states.front[rows][:, None]).all(axis=2)
    behind &= states.power_w[rivals][None] >= states.power_w[rows][:, None] - _SAME_POWER_W
    return np.asarray((behind & (rivals[None] != rows[:, None])).any(axis=1))
