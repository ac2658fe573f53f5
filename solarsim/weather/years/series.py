"""Hourly weather of a place over years, and how a file's columns become that."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray
from solarsim.inputs.calendar import standard_offset_h
from solarsim.inputs.stay import DEFAULT_YEAR
from solarsim.weather.readers.checks import check_header, check_values, file_times
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.readers.repair import head_mended, repaired
from solarsim.weather.record import Place, WeatherHours
from solarsim.weather.sky.sun import Sun, sun_at_mid_hour
from solarsim.weather.years.quality import Quality, quality_of

__all__ = [
    "DEFAULT_ALBEDO",
    "DEFAULT_RELATIVE_HUMIDITY",
    "DEFAULT_WIND_SPEED_M_S",
    "YearSeries",
    "series_of",
    "whole_years",
]

# Common practice, no source: near the means of 0.70, 0.73 and 0.73 of three coastal and inland
# typical years.
DEFAULT_RELATIVE_HUMIDITY = 0.7
# FAO Irrigation and Drainage Paper 56 (1998), chapter 4: 2 m/s at 2 m height is the mean over 2000
# stations; by its equation 47 that is 2.7 m/s at 10 m.
DEFAULT_WIND_SPEED_M_S = 2.7
# Ground without snow: B. Y. H. Liu and R. C. Jordan, "The long-term average performance of
# flat-plate solar-energy collectors", Solar Energy 7 (1963), from memory.
DEFAULT_ALBEDO = 0.2

# 1 cm of new snow is 1 mm of water: the ten-to-one rule of observers, common practice.
SNOW_WATER_MM_PER_CM = 1.0
SNOW_LIMIT_C = 0.5
# The wettest hour and about the wettest inhabited land: above them a precipitation column is in
# another unit. 305 mm in 42 minutes is the record kept by the World Meteorological Organization
# (from memory); the yearly limit is common practice.
PRECIPITATION_LIMIT_MM_H = 305.0
PRECIPITATION_LIMIT_MM_YEAR = 4000.0
# A column that is mostly missing would read as a dry year.
_RECORDED_SHARE = 0.95


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class YearSeries(WeatherHours):
    """Hourly weather without gaps, mostly of whole years; arrays are ``(hours,)``.

    The place has the header's time zone as ``utc_offset_h``. Only some formats may hold less than
    whole years, see `whole_years`. Calendar years that are missing between others are left out.

    Attributes
    ----------
    sun : Sun
        The sun at mid-hour.
    source : str
        One line on where the weather came from.
    notes : tuple of str
        Defaults that were used and caveats.
    quality : Quality or None
        How good the file's data are; None for a series that was not read.
    typical : bool
        Whether it is a typical year, put together from months of several years.
    """

    sun: Sun
    source: str
    notes: tuple[str, ...] = ()
    quality: Quality | None = None
    typical: bool = False


def whole_years(times: pd.DatetimeIndex) -> bool:
    """Whether hours end where they began, one or more years later."""
    end = times[-1] + pd.Timedelta(hours=1)
    years = end.year - times[0].year
    return years > 0 and bool(times[0] + pd.DateOffset(years=years) == end)


def series_of(columns: FileColumns, *, source: str, title: str, repair: bool = False) -> YearSeries:
    """Check a file's columns and put them on left-labelled hours.

    Parameters
    ----------
    columns : FileColumns
        As the format's reader took them apart.
    source : str
        The file's name, for messages.
    title : str
        What the answer calls it.
    repair : bool, optional
        Whether stamps that are off by whole hours are moved and light at night is set to zero.

    Raises
    ------
    WeatherFileError
        The place, the calendar or a value cannot be, or there are gaps.

    References
    ----------
    .. [1] D. G. Erbs, S. A. Klein and J. A. Duffie, "Estimation of the diffuse radiation fraction
       for hourly, daily and monthly-average global radiation", Solar Energy 28 (1982).
    """
    check_header(
        latitude_deg=columns.latitude_deg,
        longitude_deg=columns.longitude_deg,
        elevation_m=columns.elevation_m,
        utc_offset_h=columns.utc_offset_h,
        source=source,
    )
    if columns.times is None:
        columns = head_mended(columns)
        times, stitched = file_times(columns, source=source)
    else:
        times, stitched = columns.times, columns.stitched
    place, notes = _place(columns)
    if repair:
        columns, times = repaired(columns, times, place)
    sun = sun_at_mid_hour(place, times)
    notes = [*columns.notes, *notes]
    typical = stitched or (columns.typical and len(times) <= 8784)
    if typical:
        notes.append(
            "A typical year, put together from months of several years: it shows less of the "
            "extremes than many real years do."
        )
    check_values(columns, sun.zenith_deg, source=source)
    quality = quality_of(columns, times, place, sun)
    notes += quality.findings

    ghi_w_m2, dni_w_m2, dhi_w_m2 = _light(columns, times, sun, notes)
    mean = _as_it_is if columns.averaged else _hour_mean
    temp_air_c = mean(columns.temp_air_c)
    humidity = _filled(
        columns.relative_humidity_pct / 100.0,
        DEFAULT_RELATIVE_HUMIDITY,
        "relative humidity",
        "",
        notes,
    )
    wind_m_s = _filled(columns.wind_speed_m_s, DEFAULT_WIND_SPEED_M_S, "wind speed", " m/s", notes)
    # An albedo of zero is an empty column: no ground is that dark.
    albedo = np.where((columns.albedo > 0.0) & (columns.albedo <= 1.0), columns.albedo, np.nan)
    years = len(times) / 8760.0
    span = "typical year" if typical else _years_text(times)
    return YearSeries(
        place=place,
        times=times,
        ghi_w_m2=ghi_w_m2,
        dni_w_m2=dni_w_m2,
        dhi_w_m2=dhi_w_m2,
        temp_air_c=temp_air_c,
        wind_speed_m_s=mean(wind_m_s),
        relative_humidity=np.clip(mean(humidity), 0.0, 1.0),
        snowfall_mm=_snowfall(columns, temp_air_c, years, notes),
        albedo=_filled(albedo, DEFAULT_ALBEDO, "ground albedo", "", notes),
        sun=sun,
        source=f"{title}, {span}",
        notes=tuple(notes),
        quality=quality,
        typical=typical,
    )


def _as_it_is(values: FloatArray) -> FloatArray:
    return values


def _place(columns: FileColumns) -> tuple[Place, list[str]]:
    """Make the place, with its clock's time zone found from the coordinates."""
    import tzfpy

    timezone = tzfpy.get_tz(columns.longitude_deg, columns.latitude_deg) or "UTC"
    place = Place(
        name=columns.site,
        latitude_deg=columns.latitude_deg,
        longitude_deg=columns.longitude_deg,
        elevation_m=columns.elevation_m,
        timezone=timezone,
        utc_offset_h=columns.utc_offset_h,
    )
    notes = []
    zone_h = standard_offset_h(timezone, DEFAULT_YEAR)
    if zone_h != columns.utc_offset_h:
        notes.append(
            f"The file's clock is UTC{columns.utc_offset_h:+g}, standard time of {timezone} is "
            f"UTC{zone_h:+g}; the hours are kept, and loads follow {timezone}."
        )
    return place, notes


def _light(
    columns: FileColumns, times: pd.DatetimeIndex, sun: Sun, notes: list[str]
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return GHI, DNI and DHI; where beam or diffuse is missing, split GHI by Erbs."""
    ghi = np.maximum(columns.ghi_w_m2, 0.0)
    dni = np.maximum(columns.dni_w_m2, 0.0)
    dhi = np.maximum(columns.dhi_w_m2, 0.0)
    below = sum(
        int((x < 0.0).sum()) for x in (columns.ghi_w_m2, columns.dni_w_m2, columns.dhi_w_m2)
    )
    if below:
        notes.append(f"{below} values of light slightly below zero were set to zero.")
    missing = np.isnan(dni) | np.isnan(dhi)
    if missing.any():
        from pvlib import irradiance

        split = irradiance.erbs(ghi, sun.zenith_deg, times.day_of_year.to_numpy())
        dni = np.where(missing, np.asarray(split["dni"]), dni)
        dhi = np.where(missing, np.asarray(split["dhi"]), dhi)
        notes.append(
            f"Direct and diffuse light missing in {_share_text(missing)}; split from GHI "
            "(Erbs 1982)."
        )
    return ghi, dni, dhi


def _filled(
    values: FloatArray, default: float, name: str, unit: str, notes: list[str]
) -> FloatArray:
    missing = np.isnan(values)
    if missing.any():
        notes.append(f"No {name} in {_share_text(missing)}; {default:g}{unit} was used there.")
    return np.where(missing, default, values)


def _hour_mean(readings: FloatArray) -> FloatArray:
    """Mean over the hour from readings at its end; the first hour has no reading before it."""
    mean: FloatArray = 0.5 * (readings + np.concatenate([readings[:1], readings[:-1]]))
    return mean


def _snowfall(
    columns: FileColumns, temp_air_c: FloatArray, years: float, notes: list[str]
) -> FloatArray:
    """Snow as water, mm per hour: from snow depth, else from precipitation in the cold."""
    depth = columns.snow_depth_cm
    recorded = np.isfinite(depth)
    nothing = "No snowfall: the file records none that can be used."
    if recorded.mean() >= _RECORDED_SHARE and (depth[recorded] >= 0.0).all():
        nothing = "No snowfall: the file's snow depth is zero throughout."
        held = _carried(depth)
        if held.max() > 0.0:
            rise_cm = np.maximum(np.diff(held, prepend=held[:1]), 0.0)
            snow = SNOW_WATER_MM_PER_CM * rise_cm
            notes.append(
                f"Snowfall is the rise of snow depth, 1 mm of water for 1 cm: "
                f"{snow.sum() / years:.0f} mm a year."
            )
            return snow
    rain = columns.precipitation_mm
    recorded = np.isfinite(rain)
    if recorded.mean() >= _RECORDED_SHARE:
        period_h = columns.precipitation_h[recorded & (rain > 0.0)]
        total_mm_year = float(rain[recorded].sum()) / years
        if (
            (rain[recorded] >= 0.0).all()
            and (rain[recorded] <= PRECIPITATION_LIMIT_MM_H).all()
            and (np.isnan(period_h) | (period_h == 1.0) | (period_h == 0.0)).all()
            and 0.0 < total_mm_year <= PRECIPITATION_LIMIT_MM_YEAR
        ):
            snow = np.where(recorded & (temp_air_c <= SNOW_LIMIT_C), rain, 0.0)
            notes.append(
                f"Snowfall is the precipitation at or below {SNOW_LIMIT_C:g} C: "
                f"{snow.sum() / years:.0f} mm of water a year."
            )
            return snow
        if total_mm_year != 0.0:
            notes.append(
                f"The precipitation column was not used: {total_mm_year:.0f} mm a year, or sums "
                "over more than one hour, cannot be hourly amounts in mm."
            )
    notes.append(nothing)
    return np.zeros(len(temp_air_c))


def _carried(values: FloatArray) -> FloatArray:
    """Fill NaN with the value before it (the first ones with the first value)."""
    last = np.where(np.isfinite(values), np.arange(len(values)), -1)
    last = np.maximum.accumulate(last)
    first = int(np.argmax(np.isfinite(values)))
    carried: FloatArray = values[np.where(last < 0, first, last)]
    return carried


def _share_text(missing: BoolArray) -> str:
    count = int(missing.sum())
    return "the whole file" if count == len(missing) else f"{count} of {len(missing)} hours"


def _years_text(times: pd.DatetimeIndex) -> str:
    # In the middle of a day at either end: years in UTC begin on another day of the place's clock.
    first = (times[0] + pd.Timedelta(hours=15)).year
    last = (times[-1] - pd.Timedelta(hours=15)).year
    return f"{first}" if first == last else f"{first} to {last}"
