"""The weather that everything downstream sees, whatever it came from."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.records import ArrayRecord

__all__ = ["Place", "Weather", "WeatherHours"]


@dataclasses.dataclass(frozen=True)
class Place:
    """A point on land.

    ``timezone`` is the IANA name that local clocks follow; ``utc_offset_h`` is its standard
    (winter) offset, in which all arrays are stamped.
    """

    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    timezone: str
    utc_offset_h: float


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class WeatherHours(ArrayRecord):
    """Weather hour by hour; each value is the mean over the hour that starts at its stamp.

    Attributes
    ----------
    place : Place
        Where.
    times : pandas.DatetimeIndex
        ``(hours,)`` starts of the hours, with the place's fixed standard offset.
    ghi_w_m2, dni_w_m2, dhi_w_m2 : ndarray
        Global horizontal, direct normal and diffuse horizontal irradiance, W/m2.
    temp_air_c : ndarray
        Air temperature, degrees C.
    wind_speed_m_s : ndarray
        Wind speed at 10 m, m/s.
    relative_humidity : ndarray
        Share of saturation, 0 to 1.
    snowfall_mm : ndarray
        Snow of that hour as water, mm.
    albedo : ndarray
        Ground reflectance, 0 to 1.
    """

    place: Place
    times: pd.DatetimeIndex
    ghi_w_m2: FloatArray
    dni_w_m2: FloatArray
    dhi_w_m2: FloatArray
    temp_air_c: FloatArray
    wind_speed_m_s: FloatArray
    relative_humidity: FloatArray
    snowfall_mm: FloatArray
    albedo: FloatArray


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Weather(WeatherHours):
    """Weather runs over the same hours.

    Every array is ``(runs, hours)`` or broadcasts to it; `times` are strictly hourly. The sun is
    taken at mid-hour. Where runs are windows of a file, the sun is that of the window's own date,
    so ``zenith_deg`` is ``(runs, hours)``; for synthetic runs it is ``(1, hours)``.

    Attributes
    ----------
    zenith_deg, azimuth_deg : ndarray
        Apparent zenith and azimuth (clockwise from north) of the sun at mid-hour, degrees.
    dni_extra_w_m2 : ndarray
        Extraterrestrial normal irradiance, W/m2.
    source : str
        One line on where the weather came from.
    notes : tuple of str
        Defaults that were used and caveats that the reader must know.
    run_years : tuple of int
        Calendar year in which each run starts, where runs are windows of real or typical years;
        windows of one year overlap. Empty where runs are drawn one by one.
    """

    zenith_deg: FloatArray
    azimuth_deg: FloatArray
    dni_extra_w_m2: FloatArray
    source: str
    notes: tuple[str, ...] = ()
    run_years: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what would travel on silently: wrong shapes and values that are not numbers."""
        shape = self.ghi_w_m2.shape
        if len(shape) != 2 or shape[1] != len(self.times):
            raise ValueError(f"ghi_w_m2 has shape {shape}; expected (runs, {len(self.times)})")
        for field in dataclasses.fields(self):
            value = getattr(self, field.name)
            if isinstance(value, np.ndarray):
                np.broadcast_shapes(value.shape, shape)
                if not np.isfinite(value).all():
                    raise ValueError(f"{field.name} holds values that are not finite")

    @property
    def runs(self) -> int:
        """Number of weather runs."""
        return int(self.ghi_w_m2.shape[0])

    @property
    def hours(self) -> int:
        """Number of hours."""
        return len(self.times)
