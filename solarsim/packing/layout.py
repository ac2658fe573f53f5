"""A layout of panels on a roof, and which of several equal ones a builder would choose."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterable, Sequence

from solarsim.inputs.panels import Panels
from solarsim.inputs.roof import Obstacle, Roof

__all__ = [
    "Layout",
    "PanelSize",
    "PlacedPanel",
    "layout_of",
    "panel_size",
    "simplest",
    "simplest_with_fewer",
    "ways_and_rows",
]

# Nearer than this to an obstacle, nearness counts no more.
_NEAREST_M = 0.05
_SAME_M = 1e-5


@dataclasses.dataclass(frozen=True)
class PanelSize:
    """A panel as the roof sees it; ``length_m`` is its long side."""

    part: str
    length_m: float
    width_m: float
    power_w: float


@dataclasses.dataclass(frozen=True)
class PlacedPanel:
    """A panel on the roof: its rear left corner, and its extent along (x) and across (y) the van.

    Attributes
    ----------
    part : str
        Which panel.
    x_m, y_m : float
        Forwards and to the right from the roof's rear left.
    length_m, width_m : float
        Extent along and across the van.
    power_w : float
        At standard test conditions.
    lengthwise : bool
        Whether the panel's long side runs along the van.
    """

    part: str
    x_m: float
    y_m: float
    length_m: float
    width_m: float
    power_w: float
    lengthwise: bool


@dataclasses.dataclass(frozen=True)
class Layout:
    """Panels on a roof, numbered in their order from the rear.

    Attributes
    ----------
    panels : tuple of PlacedPanel
        In order of x, then y.
    power_w : float
        Of all panels at standard test conditions.
    bound_w : float
        No layout on this roof has more.
    """

    panels: tuple[PlacedPanel, ...]
    power_w: float
    bound_w: float

    @property
    def proved(self) -> bool:
        """Whether no layout can have more power."""
        return self.power_w >= self.bound_w - 1e-6


def panel_size(panels: Panels) -> PanelSize:
    """Return a van's panel as the roof sees it."""
    return PanelSize(
        part=panels.part or f"{panels.power_w:g} W panel",
        length_m=max(panels.length_m, panels.width_m),
        width_m=min(panels.length_m, panels.width_m),
        power_w=panels.power_w,
    )


def layout_of(panels: Iterable[PlacedPanel], bound_w: float) -> Layout:
    """Put panels in order and add them up."""
    ordered = tuple(sorted(panels, key=lambda panel: (panel.x_m, panel.y_m)))
    return Layout(ordered, round(sum(panel.power_w for panel in ordered), 3), bound_w)


def simplest(layouts: Iterable[Layout], roof: Roof) -> Layout:
    """Return the layout of most power and, of equal ones, the one that is easiest to build.

    That is: all panels the same way round, then the fewest rows, then the least tall things close
    to panels. The last is an order of preference and no measure of shade.

    Raises
    ------
    ValueError
        There is none.
    """
    among = list(layouts)
    most_w = max(round(layout.power_w, 3) for layout in among)
    return min(
        (layout for layout in among if round(layout.power_w, 3) == most_w),
        key=lambda layout: _preference(layout, roof),
    )


def simplest_with_fewer(layouts: Sequence[Layout], roof: Roof, count: int) -> Layout:
    """Return the best layout of `count` panels that comes of taking panels out of larger ones.

    Raises
    ------
    ValueError
        No layout has so many.
    """
    thinned = []
    for layout in layouts:
        panels = list(layout.panels)
        while len(panels) > count:
            rest = [
                layout_of(panels[:index] + panels[index + 1 :], layout.bound_w)
                for index in range(len(panels))
            ]
            panels = list(simplest(rest, roof).panels)
        if len(panels) == count:
            thinned.append(layout_of(panels, layout.bound_w))
    return simplest(thinned, roof)


def ways_and_rows(layout: Layout) -> tuple[int, int]:
    """Return in how many ways round panels lie, and in how many rows or columns."""
    ways = {panel.lengthwise for panel in layout.panels}
    rows = 0
    for way in ways:
        same = [panel for panel in layout.panels if panel.lengthwise == way]
        rows += min(
            len({round(panel.x_m / _SAME_M) for panel in same}),
            len({round(panel.y_m / _SAME_M) for panel in same}),
        )
    return len(ways), rows


def _preference(layout: Layout, roof: Roof) -> tuple[int, int, float, float]:
    """Order among layouts of equal power, the easiest to build first."""
    known = _known_nearness(roof.obstacles)
    nearness = 0.0
    for panel in layout.panels:
        place = (panel.x_m, panel.y_m, panel.length_m, panel.width_m)
        if place not in known:
            known[place] = _nearness(panel, roof)
        nearness += known[place]
    # Last of all towards the rear, so that equal layouts always give the same one.
    rear = round(sum(p.x_m + 1e-3 * p.y_m for p in layout.panels), 6)
    return *ways_and_rows(layout), round(nearness, 6), rear


@functools.lru_cache(maxsize=8)
def _known_nearness(obstacles: tuple[Obstacle, ...]) -> dict[tuple[float, ...], float]:
    """Each place worked out once: thousands of layouts share a few hundred."""
    return {}


def _nearness(panel: PlacedPanel, roof: Roof) -> float:
    total = 0.0
    for obstacle in roof.obstacles:
        if obstacle.height_m == 0.0:
            continue
        along_m = max(
            obstacle.x_m - panel.x_m - panel.length_m,
            panel.x_m - obstacle.x_m - obstacle.length_m,
            0.0,
        )
        across_m = max(
            obstacle.y_m - panel.y_m - panel.width_m,
            panel.y_m - obstacle.y_m - obstacle.width_m,
            0.0,
        )
        total += obstacle.height_m / max((along_m**2 + across_m**2) ** 0.5, _NEAREST_M)
    return total
