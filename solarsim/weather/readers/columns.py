"""The columns of a weather file as its format's reader hands them on."""

from __future__ import annotations

import dataclasses

import pandas as pd

from solarsim.arrays import FloatArray, IntArray

__all__ = ["FileColumns"]


@dataclasses.dataclass(frozen=True)
class FileColumns:
    """Header and columns of one file, as they stand in it; arrays are ``(hours,)``.

    NaN marks what the format itself marks as missing, or a column that the file does not have.

    Attributes
    ----------
    format_name : str
        ``"EPW"``, ``"TMY3"``, ``"TMY2"``, ``"NSRDB"``, ``"CSV"`` or ``"history"``.
    site : str
        The station's name.
    latitude_deg, longitude_deg, elevation_m, utc_offset_h : float
        The header's numbers, not yet checked.
    first_row : int
        Line of the file, from 1, in which the first hour stands.
    year, month, day, hour_end : ndarray of int
        Date and the hour's end, 1 to 24.
    ghi_w_m2, dni_w_m2, dhi_w_m2 : ndarray
        Mean over the hour.
    temp_air_c, relative_humidity_pct, wind_speed_m_s : ndarray
        Reading at the hour's end.
    albedo : ndarray
        Ground reflectance, 0 to 1.
    snow_depth_cm : ndarray
        Depth of the snow on the ground.
    precipitation_mm, precipitation_h : ndarray
        Amount as water, and the hours over which it fell.
    times : pandas.DatetimeIndex or None
        Starts of the hours, where the reader has put its rows on hours already.
    row : ndarray of int or None
        Line of the file for each hour, where lines are not hours.
    averaged : bool
        Whether temperature, humidity and wind are means over the hour already.
    stitched : bool
        Whether a reader that gives `times` put months of different years on one year.
    typical : bool
        Whether the format or the file's header says that it holds a typical year.
    step_minutes : int
        Minutes from one row to the next.
    closed_hours : int
        Hours for which the file lacks light or temperature, closed from their neighbours.
    notes : tuple of str
        What the reader had to assume.
    """

    format_name: str
    site: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    utc_offset_h: float
    first_row: int
    year: IntArray
    month: IntArray
    day: IntArray
    hour_end: IntArray
    ghi_w_m2: FloatArray
    dni_w_m2: FloatArray
    dhi_w_m2: FloatArray
    temp_air_c: FloatArray
    relative_humidity_pct: FloatArray
    wind_speed_m_s: FloatArray
    albedo: FloatArray
    snow_depth_cm: FloatArray
    precipitation_mm: FloatArray
    precipitation_h: FloatArray
    times: pd.DatetimeIndex | None = None
    row: IntArray | None = None
    averaged: bool = False
    stitched: bool = False
    typical: bool = False
    step_minutes: int = 60
    closed_hours: int = 0
    notes: tuple[str, ...] = ()
