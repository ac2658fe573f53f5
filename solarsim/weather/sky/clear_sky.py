"""Clear-sky irradiance with the turbidity of the place and month."""

from __future__ import annotations

import dataclasses
import functools

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray
from solarsim.weather.pvlib_files import pvlib_file
from solarsim.weather.record import Place
from solarsim.weather.sky.air_mass import absolute_air_mass
from solarsim.weather.sky.season import DayArray, at_days
from solarsim.weather.sky.sun import Sun

__all__ = ["ClearSky", "brightest_sky", "clear_light", "clear_sky", "linke_turbidity", "make_room"]

# The map gives each month's mean turbidity; clear days have less of it. Two standard deviations
# below the mean, at a spread of a fifth (from memory of station studies).
_CLEAREST_SHARE = 0.6
# The mean of all days cannot lie above this share of a clear day's light, or hardly a day would be
# less than clear; no source.
_MOST_MEAN_SHARE = 0.97
_MOST_CLEARER = 1.25
# With less light than this the day is a few hours of low sun, where the climate data are poor.
_LEAST_CLEAR_WH_M2 = 1500.0


@dataclasses.dataclass(frozen=True)
class ClearSky:
    """Clear-sky irradiance of each hour, ``(hours,)``, W/m2; zero while the sun is down."""

    ghi_w_m2: FloatArray
    dni_w_m2: FloatArray


# The file is packed in such pieces; neighbours lie in the same one.
_PIECE_ROWS, _PIECE_COLUMNS = 135, 270


@functools.lru_cache(maxsize=16)
def _turbidity_piece(down: int, right: int) -> npt.NDArray[np.uint8]:
    import h5py

    with h5py.File(pvlib_file("data/LinkeTurbidities.h5")) as file:
        rows = slice(down * _PIECE_ROWS, (down + 1) * _PIECE_ROWS)
        columns = slice(right * _PIECE_COLUMNS, (right + 1) * _PIECE_COLUMNS)
        return np.asarray(file["LinkeTurbidity"][rows, columns, :])


def linke_turbidity(latitude_deg: float, longitude_deg: float) -> FloatArray:
    """Linke turbidity factor of each month, ``(12,)``.

    References
    ----------
    .. [1] J. Remund et al., "Worldwide Linke turbidity information", ISES Solar World Congress,
       Goteborg, 2003; on the 1/12 degree grid that comes with pvlib.
    """
    row = min(int((90.0 - latitude_deg) * 12.0), 2159)
    column = int((longitude_deg + 180.0) * 12.0) % 4320
    piece = _turbidity_piece(row // _PIECE_ROWS, column // _PIECE_COLUMNS)
    # The file holds twenty times the factor as bytes.
    return np.asarray(piece[row % _PIECE_ROWS, column % _PIECE_COLUMNS] / 20.0)


def clear_sky(
    place: Place, sun: Sun, day_of_year: DayArray, *, turbidity_share: float = 1.0
) -> ClearSky:
    """Clear-sky global and direct normal irradiance.

    Parameters
    ----------
    place : Place
        Position and elevation.
    sun : Sun
        The sun at mid-hour, ``(hours,)``.
    day_of_year : ndarray
        ``(hours,)``, for the turbidity.
    turbidity_share : float
        Turbidity of the air over the month's mean.

    Returns
    -------
    ClearSky
        ``(hours,)`` arrays; zero while the sun is down.
    """
    up = np.flatnonzero(sun.zenith_deg < 90.0)
    zenith_deg = sun.zenith_deg[up]
    mean_turbidity = linke_turbidity(place.latitude_deg, place.longitude_deg)
    turbidity = turbidity_share * at_days(mean_turbidity, day_of_year[up])
    airmass = absolute_air_mass(zenith_deg, place.elevation_m)
    light = clear_light(zenith_deg, airmass, turbidity, place.elevation_m, sun.dni_extra_w_m2[up])
    ghi_w_m2 = np.zeros(sun.zenith_deg.shape)
    dni_w_m2 = np.zeros(sun.zenith_deg.shape)
    ghi_w_m2[up] = light.ghi_w_m2
    dni_w_m2[up] = light.dni_w_m2
    return ClearSky(ghi_w_m2, dni_w_m2)


def brightest_sky(place: Place, sun: Sun, day_of_year: DayArray) -> ClearSky:
    """Irradiance under a cloudless sky of the cleanest air, the ceiling of every hour and day.

    The clear sky of mean turbidity is no ceiling: one day in seven of 29 typical and single
    years is brighter than it, and draws cut there lose the bright end of their distribution. Under
    this ceiling it is one in fifty outside the polar winter. Otherwise as `clear_sky`.
    """
    return clear_sky(place, sun, day_of_year, turbidity_share=_CLEAREST_SHARE)


def clear_light(
    zenith_deg: FloatArray,
    airmass: FloatArray,
    turbidity: FloatArray,
    elevation_m: float,
    dni_extra_w_m2: FloatArray,
) -> ClearSky:
    """Clear-sky irradiance of a sun above the horizon, without Perez's enhancement.

    Parameters
    ----------
    zenith_deg : ndarray
        Apparent zenith, below 90 degrees.
    airmass : ndarray
        Absolute (pressure-corrected) airmass.
    turbidity : ndarray
        Linke turbidity at airmass 2.
    elevation_m : float
        Of the place.
    dni_extra_w_m2 : ndarray
        Extraterrestrial normal irradiance.

    References
    ----------
    .. [1] P. Ineichen and R. Perez, "A new airmass independent formulation for the Linke turbidity
       coefficient", Solar Energy 73, 2002, pp. 151-157.
    """
    cos_zenith = np.cos(np.radians(zenith_deg))
    fh1, fh2 = np.exp(-elevation_m / 8000.0), np.exp(-elevation_m / 1250.0)
    cg1, cg2 = 5.09e-05 * elevation_m + 0.868, 3.92e-05 * elevation_m + 0.0387
    passed = np.exp(-cg2 * airmass * (fh1 + fh2 * (turbidity - 1.0)))
    # Over the turbidity and times it, as the reference library has it: the same to the last bit.
    ghi_w_m2 = cg1 * dni_extra_w_m2 * cos_zenith * turbidity / turbidity * passed
    beam = (0.664 + 0.163 / fh1) * np.exp(-0.09 * airmass * (turbidity - 1.0))
    most = (1.0 - (0.1 - 0.2 * np.exp(-turbidity)) / (0.1 + 0.882 / fh1)) / cos_zenith
    most_w_m2 = ghi_w_m2 * np.clip(most, 0.0, 1e20)
    return ClearSky(ghi_w_m2, np.minimum(dni_extra_w_m2 * beam, most_w_m2))


def make_room(clear: ClearSky, mean_wh_m2: FloatArray) -> tuple[ClearSky, float]:
    """Raise the clear sky of days whose mean irradiation leaves it no room.

    Over some deserts the turbidity map is hazier than the irradiation data allow: the mean day
    would be brighter than a clear one. There the clear sky is scaled until the mean is 97 % of it.

    Parameters
    ----------
    clear : ClearSky
        ``(days * 24,)``.
    mean_wh_m2 : ndarray
        ``(days,)`` mean daily irradiation of the climate.

    Returns
    -------
    tuple
        The clear sky, and the largest factor that was needed, 1 at almost every place.
    """
    daily_wh_m2 = clear.ghi_w_m2.reshape(-1, 24).sum(axis=1)
    enough = np.maximum(daily_wh_m2, _LEAST_CLEAR_WH_M2)
    factor = np.clip(mean_wh_m2 / (_MOST_MEAN_SHARE * enough), 1.0, _MOST_CLEARER)
    factor[daily_wh_m2 < _LEAST_CLEAR_WH_M2] = 1.0
    by_hour = np.repeat(factor, 24)
    return ClearSky(clear.ghi_w_m2 * by_hour, clear.dni_w_m2 * by_hour), float(factor.max())
