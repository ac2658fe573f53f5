"""Sun position at mid-hour: the one adapter to pvlib's solar position."""

from __future__ import annotations

import dataclasses
import datetime as dt
import functools
import threading

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.records import ArrayRecord
from solarsim.weather.record import Place

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


# Threads that ask for the same hours together wait for the first of them.
_one_at_a_time = threading.Lock()


@functools.lru_cache(maxsize=4)
def _sun(place: Place, stamps_us: bytes, zone: dt.tzinfo) -> Sun:
    from pvlib import irradiance, solarposition

    times = pd.DatetimeIndex(np.frombuffer(stamps_us, dtype="M8[us]"), tz="UTC").tz_convert(zone)
    middle = times + pd.Timedelta(minutes=30)
    position = solarposition.get_solarposition(
        middle, place.latitude_deg, place.longitude_deg, altitude=place.elevation_m
    )
    extra = irradiance.get_extra_radiation(middle.day_of_year.to_numpy(), method="spencer")
    sun = Sun(
        zenith_deg=np.array(position["apparent_zenith"], dtype=np.float64),
        azimuth_deg=np.array(position["azimuth"], dtype=np.float64),
        dni_extra_w_m2=np.array(extra, dtype=np.float64),
    )
    for array in vars(sun).values():
        array.setflags(write=False)
    return sun
