"""The few positions that a best layout needs, and how many watts they can hold at most.

Push every panel of a layout to the rear and to the left until nothing moves: each one then rests
against the roof's edge, a block, or another panel. So only sums of panel widths above such an edge
need to be looked at across the van ("normal patterns", Herz 1972; Christofides & Whitlock 1977),
and only as far along the van as that edge carries them; along the van a panel begins where a span
begins or another panel ends.

References
----------
.. [1] J. C. Herz, "Recursive computational procedure for two-dimensional stock cutting", IBM
   Journal of Research and Development 16, 1972.
.. [2] N. Christofides and C. Whitlock, "An algorithm for two-dimensional cutting problems",
   Operations Research 25, 1977.
"""

from __future__ import annotations

import dataclasses
import heapq
from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray, IntArray, IntArray32
from solarsim.packing.geometry import FreeSpace, Span, free_spans

__all__ = ["BEYOND", "Kind", "Positions", "find_positions"]


# An x that no roof reaches.
BEYOND = 2**30
# Against a slanting edge a panel may rest anywhere; these steps stand for it.
_SLANT_STEP = 20_000
# With more spans than this the rest is left out: the answer stays legal but is not proved.
_MOST_SPANS = 1500


@dataclasses.dataclass(frozen=True)
class Kind:
    """A panel size in one of its two directions, in micrometres."""

    size: int
    length: int
    width: int
    power_w: float


@dataclasses.dataclass(frozen=True)
class Positions:
    """Every span of positions, one row each, over the roof cut into cells across the van.

    Attributes
    ----------
    kinds : tuple of Kind
        What may be placed.
    kind, y, first, last : ndarray
        ``(spans,)``; kind's number, y of the left side, first and last x.
    begin, end : ndarray
        ``(spans,)``; first cell, and the one after the last.
    reach : ndarray
        ``(spans,)``; length along the van with the gap behind it.
    power_w : ndarray
        ``(spans,)``; of one panel.
    cells : ndarray
        ``(cells,)``; extent of each cell across the van.
    complete : bool
        Whether a best layout is sure to be among these positions.
    """

    kinds: tuple[Kind, ...]
    kind: npt.NDArray[np.intp]
    y: IntArray32
    first: IntArray32
    last: IntArray32
    begin: npt.NDArray[np.intp]
    end: npt.NDArray[np.intp]
    reach: IntArray32
    power_w: FloatArray
    cells: IntArray
    complete: bool

    @property
    def powers_w(self) -> tuple[float, ...]:
        """Powers of the kinds, each once, in order."""
        return tuple(sorted({kind.power_w for kind in self.kinds}))


def _joined(spans: Iterable[Span]) -> list[Span]:
    out: list[Span] = []
    for first, last in sorted(spans):
        if out and first <= out[-1][1]:
            out[-1] = out[-1][0], max(out[-1][1], last)
        else:
            out.append((first, last))
    return out


def _common(some: Sequence[Span], others: Sequence[Span]) -> list[Span]:
    pairs = [(max(a, c), min(b, d)) for a, b in some for c, d in others]
    return [(first, last) for first, last in pairs if first <= last]


def _without(spans: Sequence[Span], taken: Sequence[Span]) -> list[Span]:
    """What of some spans lies outside others; the ends that they share stay."""
    left = list(spans)
    for start, end in taken:
        left = [
            part
            for first, last in left
            for part in ((first, min(last, start)), (max(first, end), last))
            if part[0] < part[1] or (first == last and not start <= first <= end)
        ]
    return left


def find_positions(space: FreeSpace, kinds: Sequence[Kind]) -> Positions:
    """Return where each kind may lie in a layout that is pushed to the rear left.

    Parameters
    ----------
    space : FreeSpace
        The roof.
    kinds : sequence of Kind
        Panel sizes and directions.
    """
    # By y: from where to where along the van something carries a panel that lies there.
    carriers: dict[int, list[Span]] = {}
    for y, carrier in space.rests:
        carriers.setdefault(y, []).append(carrier)
    steps = set()
    if not space.upright:
        steps = set(range(space.breadth[0], space.breadth[1], _SLANT_STEP))
    heap = sorted(carriers.keys() | steps)
    found: list[tuple[int, int, int, int]] = []
    seen: set[int] = set()
    complete = space.upright
    while heap:
        y = heapq.heappop(heap)
        if y in seen:
            continue
        if len(found) >= _MOST_SPANS:
            complete = False
            break
        seen.add(y)
        carried = carriers.get(y, [])
        for number, kind in enumerate(kinds):
            spans = free_spans(space, kind.length, kind.width, y)
            rest = _common(spans, _joined((a - kind.length, b) for a, b in carried))
            if y in steps:
                below = free_spans(space, kind.length, kind.width, y - _SLANT_STEP)
                rest = _joined([*rest, *_without(spans, below)])
            found += [(number, y, first, last) for first, last in rest]
            if rest:
                above = y + kind.width + space.gap
                on_top = [(first, last + kind.length) for first, last in rest]
                carriers.setdefault(above, []).extend(on_top)
                heapq.heappush(heap, above)
    table = np.array(found, dtype=np.int64).reshape(-1, 4)
    width = np.array([kind.width for kind in kinds], dtype=np.int64)
    length = np.array([kind.length for kind in kinds], dtype=np.int64)
    power_w = np.array([kind.power_w for kind in kinds], dtype=np.float64)
    number_of = table[:, 0]
    end_y = table[:, 1] + width[number_of] + space.gap
    cuts = np.unique(np.concatenate([table[:, 1], end_y]))
    return Positions(
        kinds=tuple(kinds),
        kind=number_of.astype(np.intp),
        y=table[:, 1].astype(np.int32),
        first=table[:, 2].astype(np.int32),
        last=table[:, 3].astype(np.int32),
        begin=np.searchsorted(cuts, table[:, 1]),
        end=np.searchsorted(cuts, end_y),
        reach=(length[number_of] + space.gap).astype(np.int32),
        power_w=power_w[number_of],
        cells=np.diff(cuts),
        complete=complete,
    )
