"""What the shade on a roof leaves of its array's power, hour by hour."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.roof import FACING_DEG
from solarsim.solar.light import beam_factors
from solarsim.solar.shade.bypass import (
    GROUPS,
    array_factor,
    diode_drop_share,
    group_light,
    least_groups,
)
from solarsim.solar.shade.geometry import Footprint, PanelPlace
from solarsim.solar.shade.grid import at_suns, azimuth_nodes, elevation_nodes
from solarsim.solar.shade.table import ShadeTable

__all__ = [
    "MOUNT_HEIGHT_M",
    "RoofShade",
    "panel_places",
    "power_weights",
    "roof_shade",
    "shade_factor",
]

_BEAM_NODES = 17

# Glass above the roof: a frame on brackets, a frame close to the sheet, a glued panel. Common
# practice, no source.
MOUNT_HEIGHT_M = {"gap": 0.06, "close": 0.04, "glued": 0.003}


@dataclasses.dataclass(frozen=True)
class RoofShade:
    """What shade leaves of an array's power, tabulated for quick look-up.

    Attributes
    ----------
    heading_deg : float or None
        Compass direction of the van's front; None where it is unknown.
    elevation_deg : ndarray
        ``(elevations,)`` of the sun.
    power_share : ndarray
        ``(azimuths, elevations, beam shares)`` power over that without shade. The sun's azimuth is
        counted from the van's front; one row stands for the mean over headings. Beam shares are
        even from 0 to 1.
    panel_count : int
        Panels of the array that it was worked out for.
    note : str or None
        What the reader must know; None where nothing is shaded.
    """

    heading_deg: float | None
    elevation_deg: FloatArray
    power_share: FloatArray
    panel_count: int
    note: str | None = None


def panel_places(rectangles: Iterable[Footprint], panels: Panels) -> list[PanelPlace]:
    """Put the panels of a layout at their mounting's height and their tilt.

    Parameters
    ----------
    rectangles : iterable of Footprint
        Where each panel lies, string by string.
    panels : Panels
        Mounting, tilt, and the side of the van that tilted panels face.
    """
    return [
        PanelPlace(
            x_m=rectangle.x_m,
            y_m=rectangle.y_m,
            length_m=rectangle.length_m,
            width_m=rectangle.width_m,
            z_m=MOUNT_HEIGHT_M[panels.mounting],
            tilt_deg=panels.tilt_deg,
            facing=panels.facing,
        )
        for rectangle in rectangles
    ]


def roof_shade(
    table: ShadeTable,
    places: Sequence[PanelPlace],
    panels: Panels,
    controller: Controller,
    *,
    bus_voltage_v: float,
    heading_deg: float | None,
) -> RoofShade:
    """Work out what the shade of a table leaves of the array's power.

    Parameters
    ----------
    table : ShadeTable
        Of the panels in `places`.
    places : sequence of PanelPlace
        The array, string by string; all of one tilt and facing one side.
    panels : Panels
        Datasheet and panels in series.
    controller : Controller
        Kind and margin; one for the whole array.
    bus_voltage_v : float
        What the bank sits at while it is charged, V.
    heading_deg : float or None
        Compass direction of the van's front; None takes the mean of the power over all headings.

    Raises
    ------
    InputError
        Panels that do not make up whole strings, or that do not lie alike.
    """
    if len(table.cell_share) != len(places):
        message = f"got {len(places)}; the table holds {len(table.cell_share)}"
        raise InputError(message, field="places")
    beam = np.linspace(0.0, 1.0, _BEAM_NODES)
    if not places:
        whole = np.ones((1, table.elevation_deg.size, _BEAM_NODES))
        return RoofShade(heading_deg, table.elevation_deg, whole, 0)
    if len({(place.tilt_deg, place.facing) for place in places}) > 1:
        raise InputError("panels of one array must have one tilt and face one side", field="places")
    brightness = np.ones((1, 1, 1))
    beam_share = beam
    if heading_deg is None and places[0].tilt_deg > 0.0:
        # How much more beam each heading catches than their mean: bright headings weigh more.
        _, passed = beam_factors(
            90.0 - table.elevation_deg,
            table.azimuth_deg[:, np.newaxis],
            places[0].tilt_deg,
            FACING_DEG[places[0].facing],
        )
        relative = (passed / np.maximum(passed.mean(axis=0), 1e-12))[..., np.newaxis]
        brightness = beam * relative + (1.0 - beam)
        beam_share = beam * relative / np.maximum(brightness, 1e-12)
    light = group_light(
        table.cell_share[..., np.newaxis],
        table.hidden_sky_share[:, :, np.newaxis, np.newaxis, np.newaxis],
        beam_share,
    )
    share = array_factor(
        light,
        series=panels.series,
        least=least_groups(panels, controller, bus_voltage_v=bus_voltage_v),
        fixed_voltage=controller.kind == "pwm",
        drop_share=diode_drop_share(panels),
    )
    if heading_deg is None:
        # One minus the mean loss, so that no loss leaves exactly one.
        share = 1.0 - (brightness * (1.0 - share)).mean(axis=0, keepdims=True)
    note = _note(heading_deg) if bool((share < 1.0).any()) else None
    return RoofShade(heading_deg, table.elevation_deg, share, len(places), note)


def shade_factor(
    shade: RoofShade,
    zenith_deg: FloatArray,
    sun_azimuth_deg: FloatArray,
    beam_share: FloatArray,
) -> FloatArray:
    """Power of the array over that without shade, hour by hour.

    Parameters
    ----------
    shade : RoofShade
        See `roof_shade`.
    zenith_deg, sun_azimuth_deg : ndarray
        ``(1 or runs, hours)`` sun, azimuth clockwise from north.
    beam_share : ndarray
        ``(runs, hours)`` share of the unshaded light that comes from the sun and close around it.

    Returns
    -------
    ndarray
        ``(runs, hours)``, 0 to 1.
    """
    zenith, azimuth = np.broadcast_arrays(zenith_deg, sun_azimuth_deg)
    rows = at_suns(shade.power_share, shade.elevation_deg, zenith, azimuth, shade.heading_deg)
    place = np.clip(beam_share, 0.0, 1.0) * (_BEAM_NODES - 1)
    low = np.minimum(place.astype(np.intp), _BEAM_NODES - 2)
    starts = np.arange(zenith.size).reshape(zenith.shape) * _BEAM_NODES
    flat = rows.ravel()
    near, far = flat[starts + low], flat[starts + low + 1]
    factor: FloatArray = near + (far - near) * (place - low)
    return factor


def power_weights(
    shade: RoofShade,
    zenith_deg: FloatArray,
    sun_azimuth_deg: FloatArray,
    beam_share: FloatArray,
    power_w: FloatArray,
) -> FloatArray:
    """Power summed over runs and hours, spread over the grid of `RoofShade.power_share`.

    The sum of these weights times any ``power_share`` of the same grid is the sum of `power_w`
    times `shade_factor`, as the look-up is linear in the table. It makes many shades quick to
    compare.

    Parameters
    ----------
    shade : RoofShade
        Whose grid to use.
    zenith_deg, sun_azimuth_deg : ndarray
        ``(1 or runs, hours)`` sun.
    beam_share, power_w : ndarray
        ``(runs, hours)`` share of beam, and power without shade.

    Returns
    -------
    ndarray
        Of ``power_share``'s shape, W.
    """
    shape = shade.power_share.shape
    lit = power_w > 0.0
    zenith, azimuth, beam, power = (
        values[lit]
        for values in np.broadcast_arrays(zenith_deg, sun_azimuth_deg, beam_share, power_w)
    )
    low_row, up = elevation_nodes(zenith, shade.elevation_deg)
    left, right, turn = azimuth_nodes(azimuth, shade.heading_deg, shape[0])
    place = np.clip(beam, 0.0, 1.0) * (shape[2] - 1)
    low_beam = np.minimum(place.astype(np.intp), shape[2] - 2)
    more = place - low_beam
    weights = np.zeros(shade.power_share.size)
    for column, column_share in ((left, 1.0 - turn), (right, turn)):
        for row, row_share in ((low_row, 1.0 - up), (low_row + 1, up)):
            for node, node_share in ((low_beam, 1.0 - more), (low_beam + 1, more)):
                corner = (column * shape[1] + row) * shape[2] + node
                weights += np.bincount(
                    corner, power * column_share * row_share * node_share, minlength=weights.size
                )
    return weights.reshape(shape)


def _note(heading_deg: float | None) -> str:
    way = (
        "the mean over all headings of the van"
        if heading_deg is None
        else f"the van's front to {heading_deg:g} deg"
    )
    return (
        f"Shade of what stands on the roof is counted ({way}): {GROUPS} bypass groups a panel, "
        "each as bright as its darkest cell; light that obstacles reflect is left out."
    )
