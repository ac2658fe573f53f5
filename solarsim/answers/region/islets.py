"""Islands of a region that no cell of its grid stands for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from solarsim.inputs.counts import count_text

__all__ = ["islets_left_out", "islets_note"]

_KM_PER_DEG = 111.2


def islets_left_out(
    geometry: Any, centres: Sequence[tuple[float, float]], step_deg: float, north_limit_deg: float
) -> tuple[int, float]:
    """Count the parts of a region's land that lie in none of its cells, and their land in km2.

    Parameters
    ----------
    geometry : shapely geometry
        The region's land, longitude and latitude in degrees.
    centres : sequence of (longitude, latitude)
        Of the cells, with longitudes as in `geometry`.
    step_deg : float
        Side of a cell.
    north_limit_deg : float
        Parts that lie beyond it altogether do not count.
    """
    import shapely

    parts = shapely.get_parts(geometry)
    parts = parts[shapely.bounds(parts)[:, 1] < north_limit_deg]
    middle, half = np.array(centres), step_deg / 2.0
    cells = shapely.box(*(middle - half).T, *(middle + half).T)
    seen = np.unique(shapely.STRtree(cells).query(parts, predicate="intersects")[0])
    left = np.delete(parts, seen)
    shrink = np.cos(np.radians(shapely.get_y(shapely.centroid(left))))
    return len(left), float((shapely.area(left) * shrink).sum() * _KM_PER_DEG**2)


def islets_note(count: int, km2: float) -> str:
    """Say what is left out, for a count above 0."""
    size = f"{km2:,.0f} km2 of land" if km2 >= 1.0 else "less than 1 km2 of land"
    verb, each = ("is", "it fills") if count == 1 else ("are", "each fills")
    return (
        f"{count_text(count, 'islet')} with {size} {verb} left out: {each} too little of a cell (a "
        "tenth as a rule) and holds no town of 5,000 people; a smaller step takes more of them in"
    )
