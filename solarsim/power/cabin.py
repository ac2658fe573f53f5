r"""Temperature inside the van, and what heater, fan and cooler do to it.

The cabin is one lump of heat behind one conductance:

.. math:: C\,\dot T = K\,(T_{out} - T) + A\,G + Q_{people} + Q_{heater} + \sum_j g_j (T_j - T)

with the capacity C of fittings and air, the loss K of skin and leaks, the solar aperture A on the
global horizontal irradiance G, and air streams j (opened windows, roof fan, evaporative cooler) of
conductance ``g_j`` that come in at ``T_j``. Each hour is stepped exactly with its own constants.
What is switched on is decided by the temperature that the hour would end at if nothing were:

* below the set-point the heater gives what ends the hour at it, up to its power;
* above their starting temperatures the air streams grow linearly to full flow, unless their air
  is no cooler than the cabin, and none cools below the lowest starting temperature. While the
  evaporative cooler runs, windows and fans rest for the same share of the hour.

The model is a first-order balance as in textbooks on building physics; its default numbers are
estimates for a panel van and stand, as such, in `solarsim.inputs.profile`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.body import AIR_HEAT_WH_M3_K
from solarsim.inputs.profile import Cabin
from solarsim.power.appliance import LocalClock, window_share
from solarsim.power.cabin_loop import Stream, step_cabin
from solarsim.records import ArrayRecord
from solarsim.weather.record import Weather

__all__ = ["CabinHours", "cabin_hours", "wet_bulb_c"]

# Windows are open fully when the closed cabin would be this much above `vent_above_c`.
_VENT_SPAN_K = 4.0


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class CabinHours(ArrayRecord):
    """The cabin by the hour; arrays are ``(hours, runs)``, time first.

    Attributes
    ----------
    temp_c : ndarray
        Mean air temperature of the hour, degrees C.
    heat_w : ndarray
        Mean heat that the heaters give together, W.
    wanted_w : ndarray
        Heat that would have kept the set-point, W; above ``heat_w`` where heaters are too weak.
    running : tuple of ndarray
        Share of full flow of each of the fans and coolers, in their order, 0 to 1.
    """

    temp_c: FloatArray
    heat_w: FloatArray
    wanted_w: FloatArray
    running: tuple[FloatArray, ...]


def wet_bulb_c(temp_air_c: FloatArray, relative_humidity: FloatArray) -> FloatArray:
    """Wet-bulb temperature at sea level from air temperature and relative humidity.

    Parameters
    ----------
    temp_air_c : ndarray
        Air temperature, -20 to 50 degrees C.
    relative_humidity : ndarray
        Share of saturation; taken as at least 0.05, where the fit ends.

    Returns
    -------
    ndarray
        Degrees C, within 1 K of the psychrometric value (0.3 K as a rule).

    References
    ----------
    .. [1] R. Stull, "Wet-Bulb Temperature from Relative Humidity and Air Temperature", Journal of
       Applied Meteorology and Climatology 50, 2267-2269, 2011, eq. 1.

    Examples
    --------
    >>> round(float(wet_bulb_c(np.array(20.0), np.array(0.5))), 1)
    13.7
    """
    humidity_pct = 100.0 * np.clip(relative_humidity, 0.05, 1.0)
    result: FloatArray = (
        temp_air_c * np.arctan(0.151977 * np.sqrt(humidity_pct + 8.313659))
        + np.arctan(temp_air_c + humidity_pct)
        - np.arctan(humidity_pct - 1.676331)
        + 0.00391838 * humidity_pct**1.5 * np.arctan(0.023101 * humidity_pct)
        - 4.686035
    )
    return np.minimum(result, temp_air_c)


def cabin_hours(
    cabin: Cabin,
    weather: Weather,
    clock: LocalClock,
    *,
    heaters: Sequence[Appliance] = (),
    coolers: Sequence[Appliance] = (),
) -> CabinHours:
    """Step the cabin's temperature through all hours, all runs at once.

    Parameters
    ----------
    cabin : Cabin
        Loss, capacity, gains, set-points and ventilation.
    weather : Weather
        Air temperature, irradiance and humidity.
    clock : LocalClock
        Local time of the hours.
    heaters, coolers : sequence of Appliance
        Those aboard and enabled: of response ``"heater"``, and ``"fan"`` or
        ``"evaporative cooler"``.

    Returns
    -------
    CabinHours
        Runs collapse to one where air temperature and irradiance are the same for all.
    """
    # Time first and contiguous: the recursion reads one hour of all runs at a time.
    outside_c, ghi_w_m2 = (
        np.ascontiguousarray(array)
        for array in np.broadcast_arrays(weather.temp_air_c.T, weather.ghi_w_m2.T)
    )
    people = sum(window_share(cabin.home, clock).values(), start=np.zeros(len(clock.day)))
    gain_w = cabin.solar_gain_m2 * ghi_w_m2
    gain_w += (cabin.people * cabin.person_gain_w * people)[:, np.newaxis]
    loss_w_k = cabin.loss_w_k
    settled_c = outside_c + gain_w / loss_w_k
    heat_limit_w = _heat_limit_w(heaters, clock)
    set_c = _set_point_c(cabin, clock)
    # People arrive from the road: with a heater the cabin is warm, else as outside.
    heated = bool(heat_limit_w.any())
    temp_c, heat_w, wanted_w, running = step_cabin(
        settled_c=settled_c,
        start_c=np.maximum(outside_c[0], set_c[0]) if heated else outside_c[0],
        set_c=set_c,
        limit_w=heat_limit_w,
        loss_w_k=loss_w_k,
        capacity_wh_k=cabin.capacity_wh_k,
        streams=_streams(cabin, weather, clock, outside_c, coolers),
    )
    return CabinHours(
        temp_c=temp_c,
        heat_w=heat_w,
        wanted_w=wanted_w,
        running=tuple(running[: len(coolers)]),
    )


def _streams(
    cabin: Cabin,
    weather: Weather,
    clock: LocalClock,
    outside_c: FloatArray,
    coolers: Sequence[Appliance],
) -> list[Stream]:
    streams = []
    for cooler in coolers:
        hours = sum(
            window_share(cooler.windows, clock, cooler.weekdays).values(),
            start=np.zeros(len(clock.day)),
        )
        supply_c: FloatArray = outside_c
        usable_share: FloatArray | None = None
        if cooler.response == "evaporative cooler":
            drop_k = _evaporative_drop_k(cooler, weather, outside_c)
            supply_c = outside_c - drop_k
            usable_share = np.where(drop_k >= cooler.least_drop_c, 1.0, 0.0)
        streams.append(
            Stream(
                start_c=cooler.start_above_c,
                span_k=cooler.full_at_c - cooler.start_above_c,
                conductance_w_k=cooler.count * cooler.airflow_m3_h * AIR_HEAT_WH_M3_K,
                open_share=hours,
                supply_c=supply_c,
                usable_share=usable_share,
            )
        )
    streams.append(
        Stream(
            start_c=cabin.vent_above_c,
            span_k=_VENT_SPAN_K,
            conductance_w_k=cabin.vent_loss_w_k,
            open_share=np.ones(len(clock.day)),
            supply_c=outside_c,
            usable_share=None,
        )
    )
    return streams


def _evaporative_drop_k(cooler: Appliance, weather: Weather, outside_c: FloatArray) -> FloatArray:
    """How far the cooler's air lies below the outside air; 0 in hours that are cold anyway."""
    drop_k = np.zeros_like(outside_c)
    # The fit of the wet bulb is costly: only where a drop could matter.
    warm = outside_c > 0.0
    humidity = np.broadcast_to(weather.relative_humidity.T, outside_c.shape)
    depression_k = outside_c[warm] - wet_bulb_c(outside_c[warm], humidity[warm])
    drop_k[warm] = cooler.effectiveness_share * depression_k
    return drop_k


def _heat_limit_w(heaters: Sequence[Appliance], clock: LocalClock) -> FloatArray:
    limit_w = np.zeros(len(clock.day))
    for heater in heaters:
        on = sum(window_share(heater.windows, clock, heater.weekdays).values())
        limit_w += heater.count * (heater.heat_w or 0.0) * on
    return limit_w


def _set_point_c(cabin: Cabin, clock: LocalClock) -> FloatArray:
    day_c = -273.15 if cabin.heater_set_point_c is None else cabin.heater_set_point_c
    set_c = np.full(len(clock.day), day_c)
    if cabin.night_set_point_c is not None:
        night = sum(window_share((cabin.night,), clock).values())
        set_c[night >= 0.5] = cabin.night_set_point_c
    return set_c
