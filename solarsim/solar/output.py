"""From weather to the power that one panel gives through its controller."""

from __future__ import annotations

import dataclasses
import weakref

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.percent import percent
from solarsim.records import ArrayRecord
from solarsim.solar.cell_temperature import MOUNTINGS, cell_temperature
from solarsim.solar.controller import controller_table, panel_voltage_v
from solarsim.solar.horizon import horizon_note
from solarsim.solar.light import PlaneLight, plane_light
from solarsim.solar.module import fit_panels, gamma_note
from solarsim.solar.parking import Parking, parking_named
from solarsim.solar.power_table import look_up
from solarsim.solar.shade.roof_shade import RoofShade, shade_factor
from solarsim.solar.snow_cover import (
    BRUSH_HOUR,
    COVER_MM,
    LIGHT_UNDER_SNOW_SHARE,
    THAW_HOURS,
    THAW_TEMP_C,
    snow_cover,
)
from solarsim.weather.record import Weather

__all__ = ["OnPlane", "PanelOutput", "panel_output", "shaded_power_w"]

_DARK_W_M2 = 1e-9


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class OnPlane(ArrayRecord):
    """What lies on a panel's plane, whatever the panel is made of.

    Attributes
    ----------
    lit : ndarray
        ``(lit,)`` hours with light in any run.
    light : PlaneLight
        Of those hours, ``(runs, lit)``.
    poa_w_m2 : ndarray
        ``(runs, hours)`` irradiance on the plane.
    covered_share : ndarray or None
        ``(runs, lit)`` share of the panel under snow; None where none falls on it.
    """

    lit: npt.NDArray[np.intp]
    light: PlaneLight
    poa_w_m2: FloatArray
    covered_share: FloatArray | None


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class PanelOutput(ArrayRecord):
    """What one panel does; all arrays ``(runs, hours)``.

    Attributes
    ----------
    power_w : ndarray
        DC power of one panel at the controller's output side: after the controller's efficiency
        and its voltage window, before its output-current limit; without the shade of what stands
        on the roof.
    absorbed_w_m2 : ndarray
        Light on the cells, after dirt and snow.
    beam_share : ndarray
        Share of the light on the cells that comes from the sun and close around it, 0 to 1.
    poa_w_m2 : ndarray
        Irradiance on the panel's plane, after what surroundings hide, before snow.
    temp_cell_c : ndarray
        Cell temperature; the air's at night.
    notes : tuple of str
        Defaults that were used and caveats.
    plane : OnPlane or None
        What it was worked out from, for another panel on such a plane.
    """

    power_w: FloatArray
    absorbed_w_m2: FloatArray
    beam_share: FloatArray
    poa_w_m2: FloatArray
    temp_cell_c: FloatArray
    notes: tuple[str, ...] = ()
    plane: OnPlane | None = None


def panel_output(
    weather: Weather,
    panels: Panels,
    controller: Controller,
    *,
    bus_voltage_v: float,
    parking: str,
    brush_snow: str,
    horizon: Horizon | None = None,
    azimuth_deg: FloatArray | None = None,
    plane: OnPlane | None = None,
) -> PanelOutput:
    """Power of one panel of the array over all runs and hours.

    Parameters
    ----------
    weather : Weather
        Runs of weather.
    panels : Panels
        Datasheet, mounting, tilt, dirt and age. ``count`` plays no part; ``series`` sets the
        voltage of the string.
    controller : Controller
        Kind, efficiency and window.
    bus_voltage_v : float
        What the bank sits at while it is charged, V.
    parking : str
        A preset's name, see `solarsim.solar.parking.PARKINGS`.
    brush_snow : str
        ``"morning"`` or ``"never"``.
    horizon : Horizon, optional
        What stands around the van; it takes the place of what `parking` hides, whose wind stays.
    azimuth_deg : ndarray, optional
        ``(1, hours)`` where the panel faces hour by hour, in place of ``panels.azimuth_deg``.
    plane : OnPlane, optional
        Of another panel in the same weather, tilted, facing, parked and brushed as this one.

    Raises
    ------
    InputError
        A datasheet that no panel can have, an unknown preset, or a bus voltage that is not
        positive.
    """
    if not bus_voltage_v > 0.0:
        raise InputError(f"got {bus_voltage_v}; must be above 0 V", field="bus_voltage_v")
    surroundings = parking_named(parking)
    module = fit_panels(panels)
    shape = weather.ghi_w_m2.shape
    if plane is None:
        plane = _on_plane(weather, panels, horizon or surroundings, brush_snow, azimuth_deg)
    lit, light = plane.lit, plane.light
    absorbed, warming = _under_dirt_and_snow(light, panels, plane.covered_share)
    temp_lit = cell_temperature(
        warming,
        _hours(weather.temp_air_c, lit),
        _hours(weather.wind_speed_m_s, lit) * surroundings.wind_share,
        MOUNTINGS[panels.mounting],
    )
    voltage_v = panel_voltage_v(controller, bus_voltage_v=bus_voltage_v, series=panels.series)
    table = controller_table(module, controller.kind, voltage_v)
    # A PWM controller is a switch: what it loses is not tracked for. Common practice, no source.
    kept = controller.efficiency if controller.kind == "mppt" else 1.0
    power = look_up(table, absorbed, temp_lit) * (_aged_share(panels) * kept)
    beam = light.absorbed_beam_w_m2 / np.maximum(light.absorbed_w_m2, _DARK_W_M2)
    temp = np.broadcast_to(weather.temp_air_c, shape).copy()
    temp[:, lit] = temp_lit
    return PanelOutput(
        power_w=_spread(power, lit, shape),
        absorbed_w_m2=_spread(absorbed, lit, shape),
        beam_share=_spread(beam, lit, shape),
        poa_w_m2=plane.poa_w_m2,
        temp_cell_c=temp,
        notes=_notes(
            panels,
            gamma_note(panels, module),
            surroundings,
            parking=parking,
            heading_known=panels.azimuth_deg is not None or azimuth_deg is not None,
            horizon=horizon,
            snowed=plane.covered_share is not None,
        ),
        plane=plane,
    )


def shaded_power_w(output: PanelOutput, weather: Weather, shade: RoofShade | None) -> FloatArray:
    """Power of a panel, as the mean of its array, after the shade of what stands on the roof.

    Parameters
    ----------
    output : PanelOutput
        Of the panel without that shade.
    weather : Weather
        From which it was worked out.
    shade : RoofShade or None
        See `solarsim.solar.shade.roof_shade.roof_shade`; None gives the power as it is.

    Returns
    -------
    ndarray
        ``(runs, hours)``, W.
    """
    if shade is None:
        return output.power_w
    key, lasting = (id(output.power_w), id(shade)), not output.power_w.flags.writeable
    if lasting and key in _SHADED:
        return _SHADED[key][0]
    lit = np.flatnonzero(output.power_w.any(axis=0))
    left = shade_factor(
        shade,
        _hours(weather.zenith_deg, lit),
        _hours(weather.azimuth_deg, lit),
        _hours(output.beam_share, lit),
    )
    shaded = _spread(_hours(output.power_w, lit) * left, lit, output.power_w.shape)
    # A view could change with the array that it is of.
    if lasting and output.power_w.base is None:
        shaded.setflags(write=False)
        # With its shade, so that no other one takes its place in memory.
        _SHADED[key] = shaded, shade
        weakref.finalize(output.power_w, _SHADED.pop, key, None).atexit = False
    return shaded


# Powers by panel and shade, kept as long as the panel's own, where that cannot change: vans that
# are compared have the same.
_SHADED: dict[tuple[int, int], tuple[FloatArray, RoofShade]] = {}


def _on_plane(
    weather: Weather,
    panels: Panels,
    surroundings: Parking | Horizon,
    brush_snow: str,
    azimuth_deg: FloatArray | None,
) -> OnPlane:
    # Nights are half of the work: everything but snow is done for hours with light in any run.
    lit = np.flatnonzero((weather.ghi_w_m2 > 0.0).any(axis=0))
    facing_deg = panels.azimuth_deg if azimuth_deg is None else _hours(azimuth_deg, lit)
    light = _lit_light(weather, panels.tilt_deg, facing_deg, surroundings, lit)
    poa = _spread(light.poa_w_m2, lit, weather.ghi_w_m2.shape)
    snow = _snow(weather, poa, panels, brush_snow)
    return OnPlane(lit, light, poa, _hours(snow, lit) if snow.any() else None)


def _lit_light(
    weather: Weather,
    tilt_deg: float,
    facing_deg: FloatArray | float | None,
    surroundings: Parking | Horizon,
    lit: npt.NDArray[np.intp],
) -> PlaneLight:
    return plane_light(
        ghi_w_m2=_hours(weather.ghi_w_m2, lit),
        dni_w_m2=_hours(weather.dni_w_m2, lit),
        dhi_w_m2=_hours(weather.dhi_w_m2, lit),
        dni_extra_w_m2=_hours(weather.dni_extra_w_m2, lit),
        albedo=_hours(weather.albedo, lit),
        zenith_deg=_hours(weather.zenith_deg, lit),
        sun_azimuth_deg=_hours(weather.azimuth_deg, lit),
        tilt_deg=tilt_deg,
        azimuth_deg=facing_deg,
        parking=surroundings,
    )


def _snow(weather: Weather, poa_w_m2: FloatArray, panels: Panels, brush_snow: str) -> FloatArray:
    return snow_cover(
        snowfall_mm=weather.snowfall_mm,
        temp_air_c=weather.temp_air_c,
        poa_w_m2=poa_w_m2,
        times=weather.times,
        tilt_deg=panels.tilt_deg,
        brush_snow=brush_snow,
    )


def _aged_share(panels: Panels) -> float:
    return max(0.0, 1.0 - panels.degradation_share_per_year * panels.age_years)


def _under_dirt_and_snow(
    light: PlaneLight, panels: Panels, covered_share: FloatArray | None
) -> tuple[FloatArray, FloatArray]:
    """Light on the cells and light that warms them, W/m2; dirt keeps its part of the first only."""
    absorbed = light.absorbed_w_m2 * (1.0 - panels.soiling_share)
    if covered_share is None:
        return absorbed, light.poa_w_m2
    bare = 1.0 - (1.0 - LIGHT_UNDER_SNOW_SHARE) * covered_share
    return absorbed * bare, light.poa_w_m2 * bare


def _hours(values: FloatArray, chosen: npt.NDArray[np.intp]) -> FloatArray:
    """Chosen hours of an array that is ``(runs, hours)`` or broadcasts to it."""
    wide = np.atleast_2d(values)
    return wide if wide.shape[1] == 1 else wide[:, chosen]


def _spread(
    values: FloatArray,
    chosen: npt.NDArray[np.intp],
    shape: tuple[int, ...],
) -> FloatArray:
    """All hours again, zero where nothing was chosen."""
    out = np.zeros(shape)
    out[:, chosen] = values
    return out


def _notes(
    panels: Panels,
    gamma: str | None,
    surroundings: Parking,
    *,
    parking: str,
    heading_known: bool,
    horizon: Horizon | None,
    snowed: bool,
) -> tuple[str, ...]:
    notes = []
    if gamma is not None:
        notes.append(gamma)
    if panels.tilt_deg > 0.0 and not heading_known:
        notes.append(
            "The van's heading is not given: light on the tilted panels is the mean over all "
            "headings."
        )
    if horizon is not None:
        notes.append(horizon_note(horizon))
    elif parking != "open field":
        notes.append(
            f"Parking '{parking}' hides the sun below horizons of "
            + ", ".join(f"{high:g} deg ({percent(share)})" for share, high in surroundings.sectors)
            + f" of the compass, whichever way it faces ({surroundings.source})."
        )
    if snowed:
        notes.append(
            f"A panel is covered from {COVER_MM:g} mm of snow (as water) and then gets "
            f"{percent(LIGHT_UNDER_SNOW_SHARE)} of its light, until the air has passed "
            f"{THAW_TEMP_C:+g} C for {THAW_HOURS} hours, the snow has slid off a tilted panel, or "
            f"it is brushed off at {BRUSH_HOUR}:00 if somebody does."
        )
    return tuple(notes)
