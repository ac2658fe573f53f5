"""A small map around a place as paths of a picture, from the outlines of the program."""

from __future__ import annotations

import functools
import math
from typing import Any

from solarsim.weather.outlines import Box, LineKind, map_lines
from solarsim.weather.towns import towns_in

__all__ = ["LEVELS", "map_data"]

# Half the map's height, degrees, from the whole world to a valley.
LEVELS = (64.5, 8.0, 2.5, 0.8)
_WIDE_PX, _HIGH_PX = 320.0, 260.0
# The embedded climate's land.
_SOUTH_DEG, _NORTH_DEG = -57.0, 72.0
_FINE_PX = 0.6
_MOST_TOWNS = 7
_TOWNS_APART_PX = 34.0


@functools.lru_cache(maxsize=64)
def map_data(latitude_deg: float, longitude_deg: float, level: int) -> dict[str, Any]:
    """Return what the map's component draws.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        The place, in the map's middle but for the whole world.
    level : int
        Which of `LEVELS`.
    """
    half_deg, whole = LEVELS[level], level == 0
    middle = (_SOUTH_DEG + _NORTH_DEG) / 2.0 if whole else latitude_deg
    wide_px = 2.0 * _WIDE_PX if whole else _WIDE_PX
    squeeze = 1.0 if whole else max(math.cos(math.radians(middle)), 0.05)
    high_px = wide_px * 2.0 * half_deg / 360.0 if whole else _HIGH_PX
    per_deg = high_px / (2.0 * half_deg)
    wide_deg = wide_px / (per_deg * squeeze)
    west = -180.0 if whole else longitude_deg - wide_deg / 2.0
    box = Box(middle - half_deg, west, middle + half_deg, west + wide_deg)
    scale = _Scale(box, per_deg, squeeze)
    return {
        "width": round(wide_px, 1),
        "height": round(high_px, 1),
        "per_deg": per_deg,
        "squeeze": squeeze,
        "north": box.north_deg,
        "west": box.west_deg,
        "coast": scale.path(LineKind.COAST),
        "border": scale.path(LineKind.BORDER),
        "towns": [] if whole else scale.towns(),
        "here": scale.spot(longitude_deg, latitude_deg),
        "nearest": level == len(LEVELS) - 1,
        "furthest": whole,
    }


class _Scale:
    """From degrees to the picture's points."""

    def __init__(self, box: Box, per_deg: float, squeeze: float) -> None:
        self.box, self.per_deg, self.squeeze = box, per_deg, squeeze

    def spot(self, longitude_deg: float, latitude_deg: float) -> tuple[float, float]:
        """Return x and y of a place."""
        x = (longitude_deg - self.box.west_deg) * self.per_deg * self.squeeze
        return round(x, 1), round((self.box.north_deg - latitude_deg) * self.per_deg, 1)

    def path(self, kind: LineKind) -> str:
        """Return the lines of a kind within the box, as fine as can be seen."""
        import shapely

        box = self.box
        sides = box.west_deg, box.south_deg, box.east_deg, box.north_deg
        lines = [shapely.LineString(line) for line in map_lines(kind, box) if len(line) > 1]
        seen = shapely.simplify(shapely.clip_by_rect(lines, *sides), _FINE_PX / self.per_deg)
        parts = [
            part
            for part in shapely.get_parts(shapely.get_parts(seen))
            if part.geom_type == "LineString" and not part.is_empty
        ]
        return "".join(
            "M" + "L".join("{} {}".format(*self.spot(x, y)) for x, y in part.coords)
            for part in parts
        )

    def towns(self) -> list[dict[str, Any]]:
        """Return the largest towns that leave each other room."""
        found: list[dict[str, Any]] = []
        for town in towns_in(self.box):
            east_deg = (town.longitude_deg - self.box.west_deg) % 360.0
            x, y = self.spot(self.box.west_deg + east_deg, town.latitude_deg)
            if all(math.hypot(x - one["x"], y - one["y"]) > _TOWNS_APART_PX for one in found):
                found.append({"x": x, "y": y, "name": town.name})
            if len(found) == _MOST_TOWNS:
                break
        return found
