"""How much of each panel obstacles and tilted panels shade, over directions of the sun."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.panels import Panels
from solarsim.solar.shade.bypass import GROUPS
from solarsim.solar.shade.geometry import (
    Box,
    PanelPlace,
    box_edges,
    cell_tiles,
    panel_edges,
    panel_plane,
    points_in_front,
    shadows_on,
    sun_vectors,
    tile_shares,
)
from solarsim.solar.shade.grid import between

__all__ = [
    "ELEVATION_DEG",
    "RoofShadows",
    "ShadeTable",
    "group_cells",
    "roof_shadows",
    "shade_table",
    "table_without",
]

# Closer together near the horizon, where shadows are long.
ELEVATION_DEG = (
    *(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0),
    *(24.0, 27.0, 30.0, 33.0, 37.0, 41.0, 46.0, 52.0, 60.0, 70.0, 80.0, 90.0),
)
_AZIMUTH_STEP_DEG = 5.0
_SKY_STEP_DEG = 0.5
_MOST_CELLS = 24


@dataclasses.dataclass(frozen=True)
class ShadeTable:
    """Shade of every panel over directions of the sun in the van's frame.

    Attributes
    ----------
    azimuth_deg : ndarray
        ``(azimuths,)`` clockwise from the van's front, evenly spaced from 0, 360 left out.
    elevation_deg : ndarray
        ``(elevations,)`` rising.
    group_share : ndarray
        ``(panels, groups, azimuths, elevations)`` share of each bypass group's area in shadow.
    cell_share : ndarray
        The same of each group's most shaded cell, which limits the group's current.
    hidden_sky_share : ndarray
        ``(panels, groups)`` share of an even sky's light that is hidden from the group.
    """

    azimuth_deg: FloatArray
    elevation_deg: FloatArray
    group_share: FloatArray
    cell_share: FloatArray
    hidden_sky_share: FloatArray


def group_cells(panels: Panels) -> int:
    """Cells of one bypass group, as many as shade is resolved to."""
    return int(np.clip(round(panels.cells_in_series / GROUPS), 1, _MOST_CELLS))


@dataclasses.dataclass(frozen=True)
class RoofShadows:
    """Every shadow on every panel, kept so that one obstacle can be taken away or moved quickly.

    Attributes
    ----------
    table : ShadeTable
        With everything that stands there.
    panels : tuple of PanelPlace
        The array.
    cells : int
        Cells of one bypass group.
    shadows : tuple of ndarray
        By panel, ``(suns, obstacles and panels)`` polygons or None.
    """

    table: ShadeTable
    panels: tuple[PanelPlace, ...]
    cells: int
    shadows: tuple[npt.NDArray[np.object_], ...]


def roof_shadows(
    panels: Sequence[PanelPlace],
    obstacles: Sequence[Box],
    *,
    cells: int = 12,
    azimuth_step_deg: float = _AZIMUTH_STEP_DEG,
    elevation_deg: Sequence[float] = ELEVATION_DEG,
) -> RoofShadows:
    """Project obstacles and tilted panels onto every panel over a grid of sun directions.

    Parameters
    ----------
    panels : sequence of PanelPlace
        Where the panels lie.
    obstacles : sequence of Box
        Upright boxes on the roof; what does not rise above a panel's plane does not shade it.
    cells : int
        Cells of one bypass group.
    azimuth_step_deg : float
        Must divide 360.
    elevation_deg : sequence of float
        Rising, above 0 to 90.

    Raises
    ------
    InputError
        A step that does not divide the circle, or elevations that do not rise within 0 to 90.
    """
    steps = round(360.0 / azimuth_step_deg) if azimuth_step_deg > 0.0 else 0
    if steps < 1 or abs(steps * azimuth_step_deg - 360.0) > 1e-6:
        message = f"got {azimuth_step_deg}; must divide 360 degrees"
        raise InputError(message, field="azimuth_step_deg")
    azimuth = np.arange(steps, dtype=np.float64) * azimuth_step_deg
    elevation = np.asarray(elevation_deg, dtype=np.float64)
    if not (elevation.size > 1 and (np.diff(elevation) > 0.0).all()) or not (
        elevation[0] > 0.0 and elevation[-1] <= 90.0
    ):
        message = f"got {tuple(elevation_deg)}; must rise within 0 to 90 degrees"
        raise InputError(message, field="elevation_deg")
    suns = _suns(azimuth, elevation)
    bodies = [box_edges(obstacle) for obstacle in obstacles] + [panel_edges(p) for p in panels]
    shape = (len(panels), GROUPS, steps, elevation.size)
    table = ShadeTable(
        azimuth_deg=azimuth,
        elevation_deg=elevation,
        group_share=np.zeros(shape),
        cell_share=np.zeros(shape),
        hidden_sky_share=np.zeros(shape[:2]),
    )
    shadows = []
    for index, panel in enumerate(panels):
        plane = panel_plane(panel)
        on_panel = np.full((len(suns), len(bodies)), None, dtype=object)
        for body, edges_m in enumerate(bodies):
            if body != len(obstacles) + index:
                on_panel[:, body] = shadows_on(plane, points_in_front(edges_m, plane), suns)
        shadows.append(on_panel)
        shaded = np.flatnonzero((on_panel != None).any(axis=1))  # noqa: E711
        _put_shares(table, index, panel, cells, on_panel[shaded], shaded)
    return RoofShadows(table, tuple(panels), cells, tuple(shadows))


def shade_table(
    panels: Sequence[PanelPlace],
    obstacles: Sequence[Box],
    *,
    cells: int = 12,
    azimuth_step_deg: float = _AZIMUTH_STEP_DEG,
    elevation_deg: Sequence[float] = ELEVATION_DEG,
) -> ShadeTable:
    """Return the table of `roof_shadows`, whose parameters these are."""
    return roof_shadows(
        panels,
        obstacles,
        cells=cells,
        azimuth_step_deg=azimuth_step_deg,
        elevation_deg=elevation_deg,
    ).table


def table_without(shadows: RoofShadows, obstacle: int, instead: Box | None = None) -> ShadeTable:
    """Return the table with one obstacle taken away, or with another one in its place.

    Parameters
    ----------
    shadows : RoofShadows
        See `roof_shadows`.
    obstacle : int
        Its number in the order given there.
    instead : Box, optional
        What stands there in its place.
    """
    old = shadows.table
    table = dataclasses.replace(
        old,
        group_share=old.group_share.copy(),
        cell_share=old.cell_share.copy(),
        hidden_sky_share=old.hidden_sky_share.copy(),
    )
    suns = _suns(old.azimuth_deg, old.elevation_deg)
    for index, (panel, before) in enumerate(zip(shadows.panels, shadows.shadows, strict=True)):
        new = np.full(len(suns), None, dtype=object)
        if instead is not None:
            plane = panel_plane(panel)
            new = shadows_on(plane, points_in_front(box_edges(instead), plane), suns)
        changed = np.flatnonzero((before[:, obstacle] != None) | (new != None))  # noqa: E711
        if changed.size:
            # Only the suns that this obstacle keeps from the panel, or kept, are worked out anew.
            after = before[changed]
            after[:, obstacle] = new[changed]
            _put_shares(table, index, panel, shadows.cells, after, changed)
    return table


def _suns(azimuth_deg: FloatArray, elevation_deg: FloatArray) -> FloatArray:
    return sun_vectors(azimuth_deg[:, np.newaxis], elevation_deg).reshape(-1, 3)


def _put_shares(
    table: ShadeTable,
    index: int,
    panel: PanelPlace,
    cells: int,
    on_panel: npt.NDArray[np.object_],
    at: npt.NDArray[np.intp],
) -> None:
    """Write one panel's shares under the suns `at` into a table that is being made."""
    if not at.size:
        return
    tiles = [tile for strip in cell_tiles(panel, groups=GROUPS, cells=cells) for tile in strip]
    shares = tile_shares(on_panel, tiles).reshape(GROUPS, -1, len(at))
    for put, values in (
        (table.group_share, shares.mean(axis=1)),
        (table.cell_share, shares.max(axis=1)),
    ):
        put[index].reshape(GROUPS, -1)[:, at] = values
    table.hidden_sky_share[index] = _hidden_sky(panel, table, table.group_share[index])


def _hidden_sky(panel: PanelPlace, table: ShadeTable, group_share: FloatArray) -> FloatArray:
    """Share of an even sky's light that shadows keep from each group of a panel, ``(groups,)``."""
    fine = np.arange(_SKY_STEP_DEG / 2.0, 90.0, _SKY_STEP_DEG)
    rows = np.interp(fine, table.elevation_deg, np.arange(table.elevation_deg.size))
    low = np.minimum(rows.astype(np.intp), table.elevation_deg.size - 2)
    suns = sun_vectors(table.azimuth_deg[:, np.newaxis], fine)
    weight = np.maximum(suns @ panel_plane(panel).normal, 0.0) * np.cos(np.radians(fine))
    at = between(group_share[:, :, low], group_share[:, :, low + 1], rows - low)
    hidden: FloatArray = (at * weight).sum(axis=(1, 2)) / weight.sum()
    return hidden
