"""The free rectangle left on a roof that comes nearest to holding one more panel."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Sequence

from solarsim.inputs.roof import Roof
from solarsim.packing.geometry import PER_M, free_space, free_spans
from solarsim.packing.layout import Layout, PanelSize

__all__ = ["FreeRectangle", "nearest_free"]


@dataclasses.dataclass(frozen=True)
class FreeRectangle:
    """Room for a panel, with its gaps to the others already taken off.

    Attributes
    ----------
    x_m, y_m, length_m, width_m : float
        Rear left corner, extent along and across the van.
    part : str
        The panel that comes nearest to fitting in.
    needs_length_m, needs_width_m : float
        What that panel takes along and across the van, the nearer way round.
    """

    x_m: float
    y_m: float
    length_m: float
    width_m: float
    part: str
    needs_length_m: float
    needs_width_m: float


def nearest_free(roof: Roof, layout: Layout, sizes: Sequence[PanelSize]) -> FreeRectangle | None:
    """Return the free rectangle that lacks the least share of a panel's side, or None.

    Parameters
    ----------
    roof : Roof
        The roof.
    layout : Layout
        What lies on it.
    sizes : sequence of PanelSize
        What might be added.
    """
    space = free_space(roof)
    taken = tuple(
        (
            round(panel.x_m * PER_M) - space.gap,
            round(panel.y_m * PER_M) - space.gap,
            round((panel.x_m + panel.length_m) * PER_M) + space.gap,
            round((panel.y_m + panel.width_m) * PER_M) + space.gap,
        )
        for panel in layout.panels
    )
    space = dataclasses.replace(space, blocks=space.blocks + taken)
    ways = [(s.part, s.length_m, s.width_m) for s in sizes]
    ways += [(part, width_m, length_m) for part, length_m, width_m in ways]
    lows = {y for y, _ in space.rests}
    highs = {y - space.margin for (_, y), _ in space.edges} | {b[1] for b in space.blocks}
    best: tuple[float, FreeRectangle] | None = None
    for low, high in itertools.product(sorted(lows), sorted(highs)):
        if high <= low:
            continue
        width_m = (high - low) / PER_M
        # A rectangle is a panel of no length that may slide from its first x to its last.
        for first, last in free_spans(space, 0, high - low, low):
            length_m = (last - first) / PER_M
            for part, along_m, across_m in ways:
                fits = min(length_m / along_m, 1.0) * min(width_m / across_m, 1.0)
                if best is None or fits > best[0] + 1e-12:
                    found = FreeRectangle(
                        first / PER_M, low / PER_M, length_m, width_m, part, along_m, across_m
                    )
                    best = fits, found
    if best is None or math.isclose(best[0], 0.0):
        return None
    return best[1]
