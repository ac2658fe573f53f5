"""Panels that somebody has laid out: whether they have room, and the layout that they make."""

from __future__ import annotations

from solarsim.inputs.roof import PanelPlace, Roof
from solarsim.inputs.van import Van
from solarsim.packing.geometry import PER_M, FreeSpace, free_space, free_spans
from solarsim.packing.layout import PanelSize, PlacedPanel, panel_size

__all__ = ["lies_by_hand", "placed_by_hand", "room_faults"]

# Places are given to the centimetre or the millimetre; what is missing below this is rounding.
_SAME = PER_M // 100_000


def lies_by_hand(van: Van) -> bool:
    """Whether the van's own panels lie where ``roof.panels`` puts them, and have room there."""
    roof = van.roof
    if roof is None or not roof.panels or len(roof.panels) != van.panels.count:
        return False
    return not room_faults(roof, panel_size(van.panels))


def placed_by_hand(roof: Roof, size: PanelSize) -> tuple[PlacedPanel, ...]:
    """Return the panels of ``roof.panels`` in their order, wherever they lie."""
    return tuple(_placed(place, size) for place in roof.panels)


def room_faults(roof: Roof, size: PanelSize) -> tuple[str, ...]:
    """Say which panels of ``roof.panels`` have no room where they lie, one sentence each.

    A panel keeps the margin along the edge, the clearance of each obstacle, the walkway, and the
    gap to every other panel, as in a layout that is searched for.
    """
    space, panels = free_space(roof), placed_by_hand(roof, size)
    faults = []
    for number, panel in enumerate(panels, start=1):
        if not _has_room(space, panel):
            faults.append(
                f"panel {number} at x {panel.x_m:.2f}, y {panel.y_m:.2f} m lies over the roof's "
                "edge, its margin, something that stands there, or the walkway"
            )
        for other_number, other in enumerate(panels[: number - 1], start=1):
            if _too_close(panel, other, roof.gap_m):
                faults.append(
                    f"panels {other_number} and {number} are closer than {roof.gap_m:g} m"
                )
    return tuple(faults)


def _placed(place: PanelPlace, size: PanelSize) -> PlacedPanel:
    lengthwise = place.lies == "lengthwise"
    sides = (size.length_m, size.width_m) if lengthwise else (size.width_m, size.length_m)
    return PlacedPanel(size.part, place.x_m, place.y_m, *sides, size.power_w, lengthwise)


def _has_room(space: FreeSpace, panel: PlacedPanel) -> bool:
    x, y = round(panel.x_m * PER_M), round(panel.y_m * PER_M)
    length, width = round(panel.length_m * PER_M), round(panel.width_m * PER_M)
    spans = free_spans(space, length - 2 * _SAME, width - 2 * _SAME, y + _SAME)
    return any(first <= x + _SAME <= last for first, last in spans)


def _too_close(one: PlacedPanel, other: PlacedPanel, gap_m: float) -> bool:
    least_m = gap_m - _SAME / PER_M
    along_m = max(other.x_m - one.x_m - one.length_m, one.x_m - other.x_m - other.length_m)
    across_m = max(other.y_m - one.y_m - one.width_m, one.y_m - other.y_m - other.width_m)
    return along_m < least_m and across_m < least_m
