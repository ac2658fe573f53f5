"""The brightest that a day can be: the clear sky of the month's cleanest air."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import ClearSky, clear_light, linke_turbidity
from solarsim.weather.sky.season import DayArray, at_days
from solarsim.weather.sky.sun import Sun

__all__ = ["brightest_sky"]

# The map gives each month's mean turbidity; clear days have less of it. Two standard deviations
# below the mean, at a spread of a fifth (from memory of station studies).
_CLEAREST_SHARE = 0.6


def brightest_sky(place: Place, sun: Sun, day_of_year: DayArray) -> ClearSky:
    """Irradiance under a cloudless sky of the cleanest air, the ceiling of every hour and day.

    The clear sky of mean turbidity is no ceiling: one day in seven of 29 typical and single
    years is brighter than it, and draws cut there lose the bright end of their distribution. Under
    this ceiling it is one in fifty outside the polar winter.

    Parameters
    ----------
    place : Place
        Position and elevation.
    sun : Sun
        The sun at mid-hour, ``(hours,)``.
    day_of_year : ndarray
        ``(hours,)``, for the turbidity.

    Returns
    -------
    ClearSky
        ``(hours,)`` arrays; zero while the sun is down.
    """
    from pvlib import atmosphere

    up = np.flatnonzero(sun.zenith_deg < 90.0)
    zenith_deg = sun.zenith_deg[up]
    mean = linke_turbidity(place.latitude_deg, place.longitude_deg)
    airmass = atmosphere.get_absolute_airmass(
        atmosphere.get_relative_airmass(zenith_deg), atmosphere.alt2pres(place.elevation_m)
    )
    light = clear_light(
        zenith_deg,
        airmass,
        _CLEAREST_SHARE * at_days(mean, day_of_year[up]),
        place.elevation_m,
        sun.dni_extra_w_m2[up],
    )

    def by_hour(values: FloatArray) -> FloatArray:
        out = np.zeros(sun.zenith_deg.shape)
        out[up] = values
        return out

    return ClearSky(by_hour(light.ghi_w_m2), by_hour(light.dni_w_m2))
