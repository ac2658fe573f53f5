"""What stands on a van's roof takes from its panels, for every number of them that it may carry."""

from __future__ import annotations

import functools
from collections.abc import Iterable

from solarsim.inputs.counts import count_text
from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.roof import Obstacle
from solarsim.inputs.van import Van
from solarsim.packing.fit import best_layouts, fitting_counts
from solarsim.packing.layout import Layout
from solarsim.power.chemistry import load_chemistry, panels_bus_voltage_v
from solarsim.solar.shade.roof_shade import RoofShade, panel_places, roof_shade
from solarsim.solar.shade.table import group_cells, shade_table

__all__ = ["absorption_voltage_v", "bus_voltage_v", "lost_places_note", "shades_by_count"]


def bus_voltage_v(van: Van) -> float:
    """Voltage that the bank sits at while it is charged, V."""
    return panels_bus_voltage_v(
        load_chemistry(van.battery.chemistry), float(van.van.system_voltage_v)
    )


def absorption_voltage_v(van: Van) -> float:
    """Highest voltage that the bank is charged at, V."""
    scale = van.van.system_voltage_v / 12.0
    return load_chemistry(van.battery.chemistry).absorption_v * scale


def shades_by_count(van: Van, counts: Iterable[int]) -> dict[int, RoofShade | None]:
    """Return the shade of each number of panels, each in its own best layout.

    Parameters
    ----------
    van : Van
        Its own number of panels plays no part.
    counts : iterable of int
        Numbers of panels.

    Returns
    -------
    dict of int to RoofShade or None
        None where nothing shades them: no roof is given, nothing on it is tall, or so many do not
        fit on it and their places are not known.
    """
    if van.roof is None:
        return dict.fromkeys(counts)
    counts = set(counts)
    layouts = best_layouts(van, counts)
    return {count: _shade(van, layouts[count]) if count in layouts else None for count in counts}


def lost_places_note(van: Van) -> str | None:
    """Say so where the van's own panels do not fit on its roof as drawn; None where they do."""
    count = van.panels.count
    if van.roof is None or not count or count in fitting_counts(van):
        return None
    most = max(fitting_counts(van))
    return (
        f"The roof as drawn has no room for {count_text(count, 'panel')} ({most} fit in whole "
        f"strings of {van.panels.series}): the shade of what stands on it is not counted."
    )


def _shade(van: Van, layout: Layout) -> RoofShade | None:
    assert van.roof is not None
    # What plays no part in the shade is put alike, so that vans that differ in it share theirs.
    panels = van.panels.model_copy(update={"count": van.panels.series, "cost": None})
    controller = van.controller.model_copy(update={"max_output_a": 1.0})
    shade = _cached(
        van.roof.obstacles, layout, panels, controller, bus_voltage_v(van), van.heading_deg
    )
    return None if shade.note is None else shade


@functools.lru_cache(maxsize=256)
def _cached(
    obstacles: tuple[Obstacle, ...],
    layout: Layout,
    panels: Panels,
    controller: Controller,
    voltage_v: float,
    heading_deg: float | None,
) -> RoofShade:
    places = panel_places(layout.panels, panels)
    return roof_shade(
        shade_table(places, obstacles, cells=group_cells(panels)),
        places,
        panels,
        controller,
        bus_voltage_v=voltage_v,
        heading_deg=heading_deg,
    )
