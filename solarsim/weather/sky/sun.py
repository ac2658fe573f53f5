"""Sun position at mid-hour by pvlib's solar position algorithm."""

from __future__ import annotations

import dataclasses
import datetime as dt
import functools
import importlib.util
import threading
from types import ModuleType
from typing import NamedTuple

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray, IntArray
from solarsim.records import ArrayRecord
from solarsim.weather.pvlib_files import pvlib_file
from solarsim.weather.record import Place
from solarsim.weather.sky.air_mass import pressure_pa

__all__ = ["Sun", "sun_at_mid_hour"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Sun(ArrayRecord):
    """Sun of each hour, arrays of shape ``(hours,)``; angles in degrees, azimuth from north."""

    zenith_deg: FloatArray
    azimuth_deg: FloatArray
    dni_extra_w_m2: FloatArray


def sun_at_mid_hour(place: Place, times: pd.DatetimeIndex) -> Sun:
    """Sun position half an hour after each stamp, with refraction.

    The last few answers are kept: every chunk of runs and every design asks for the same hours.

    Parameters
    ----------
    place : Place
        Latitude, longitude and elevation.
    times : pandas.DatetimeIndex
        Left-labelled, tz-aware hours.

    Returns
    -------
    Sun
        Apparent zenith and azimuth in degrees, extraterrestrial normal irradiance in W/m2; the
        arrays are read-only.

    References
    ----------
    .. [1] I. Reda and A. Andreas, "Solar position algorithm for solar radiation applications",
       NREL/TP-560-34302, 2008.
    .. [2] J. W. Spencer, "Fourier series representation of the position of the sun", 1971.
    """
    with _one_at_a_time:
        return _sun(place, times.as_unit("us").asi8.tobytes(), times.tz)


# What pvlib takes where nothing is given: the air's temperature, the Earth's clock behind even time
# in these years, and how far refraction lifts the sun at the horizon.
_AIR_C = 12.0
_DELTA_T_S = 67.0
_REFRACTION_AT_HORIZON_DEG = 0.5667
_SOLAR_CONSTANT_W_M2 = 1366.1


# Threads that ask for the same hours together wait for the first of them.
_one_at_a_time = threading.Lock()


@functools.lru_cache(maxsize=4)
def _sun(place: Place, stamps_us: bytes, zone: dt.tzinfo) -> Sun:
    times = pd.DatetimeIndex(np.frombuffer(stamps_us, dtype="M8[us]"), tz="UTC").tz_convert(zone)
    middle = times + pd.Timedelta(minutes=30)
    unix_s = np.array((middle - pd.Timestamp("1970-01-01", tz="UTC")) / pd.Timedelta("1s"))
    apparent_zenith_deg, azimuth_deg = _seen_from(
        place, _Geocentric(*_geocentric(unix_s.tobytes()))
    )
    sun = Sun(
        zenith_deg=np.array(apparent_zenith_deg, dtype=np.float64),
        azimuth_deg=np.array(azimuth_deg, dtype=np.float64),
        dni_extra_w_m2=_dni_extra_w_m2(middle.day_of_year.to_numpy()),
    )
    for array in vars(sun).values():
        array.setflags(write=False)
    return sun


class _Geocentric(NamedTuple):
    """The sun from the Earth's centre, ``(hours,)``: distance, sidereal time and direction."""

    radius_au: FloatArray
    sidereal_deg: FloatArray
    right_ascension_deg: FloatArray
    declination_deg: FloatArray


# Most of the algorithm knows nothing of the place: neighbours on one clock share it.
@functools.lru_cache(maxsize=32)
def _geocentric(unix_s: bytes) -> tuple[FloatArray, ...]:
    spa = _algorithm()
    instants_s = np.frombuffer(unix_s)
    nowhere = (instants_s, 0.0, 0.0, 0.0, 0.0, 0.0, _DELTA_T_S, 0.0, 1)
    (radius_au,) = spa.solar_position_numpy(*nowhere, esd=True)
    return (radius_au, *spa.solar_position_numpy(*nowhere, sst=True))


def _seen_from(place: Place, sun: _Geocentric) -> tuple[FloatArray, FloatArray]:
    """Apparent zenith and azimuth, degrees: the algorithm's steps that depend on the place."""
    spa = _algorithm()
    latitude_deg, declination_deg = place.latitude_deg, sun.declination_deg
    hour_angle_deg = spa.local_hour_angle(
        sun.sidereal_deg, place.longitude_deg, sun.right_ascension_deg
    )
    parallax_deg = spa.equatorial_horizontal_parallax(sun.radius_au)
    u = spa.uterm(latitude_deg)
    x = spa.xterm(u, latitude_deg, place.elevation_m)
    y = spa.yterm(u, latitude_deg, place.elevation_m)
    shift_deg = spa.parallax_sun_right_ascension(x, parallax_deg, hour_angle_deg, declination_deg)
    seen_deg = spa.topocentric_sun_declination(
        declination_deg, x, y, parallax_deg, shift_deg, hour_angle_deg
    )
    hour_angle_deg = spa.topocentric_local_hour_angle(hour_angle_deg, shift_deg)
    airless_deg = spa.topocentric_elevation_angle_without_atmosphere(
        latitude_deg, seen_deg, hour_angle_deg
    )
    pressure_hpa = pressure_pa(place.elevation_m) / 100.0
    refraction_deg = spa.atmospheric_refraction_correction(
        pressure_hpa, _AIR_C, airless_deg, _REFRACTION_AT_HORIZON_DEG
    )
    elevation_deg = spa.topocentric_elevation_angle(airless_deg, refraction_deg)
    from_south_deg = spa.topocentric_astronomers_azimuth(hour_angle_deg, seen_deg, latitude_deg)
    return (
        spa.topocentric_zenith_angle(elevation_deg),
        spa.topocentric_azimuth_angle(from_south_deg),
    )


@functools.cache
def _algorithm() -> ModuleType:
    """Pvlib's file of the algorithm by itself, which needs numpy alone.

    The package as a whole loads optimisers, splines and HTTP clients, a quarter of the time that
    all libraries of an answer take.
    """
    spec = importlib.util.spec_from_file_location("pvlib_spa", pvlib_file("spa.py"))
    assert spec is not None
    assert spec.loader is not None
    algorithm = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(algorithm)
    return algorithm


def _dni_extra_w_m2(day_of_year: IntArray) -> FloatArray:
    """Extraterrestrial normal irradiance by Spencer's series, W/m2."""
    angle = (2.0 * np.pi / 365.0) * (day_of_year - 1)
    inverse_square: FloatArray = (
        1.00011
        + 0.034221 * np.cos(angle)
        + 0.00128 * np.sin(angle)
        + 0.000719 * np.cos(2 * angle)
        + 7.7e-05 * np.sin(2 * angle)
    )
    return _SOLAR_CONSTANT_W_M2 * inverse_square
