"""The climate of a place as a table of months."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.inputs.stay import DEFAULT_YEAR
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import brightest_sky, make_room
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.synthesis.daily import daily_light, mean_ghi_wh_m2
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.synthesis.snowfall import ALBEDO_SNOW

__all__ = ["MonthRow", "monthly_table"]

_RUNS = 20
_SEED = 0
_CHANCES = (0.1, 0.5, 0.9)
# Less snow than this in a day, as water, is no snow day.
_SNOW_DAY_MM = 0.1
_DARK_KWH_M2_DAY = 0.01


@dataclasses.dataclass(frozen=True)
class MonthRow:
    """One month of a place.

    Attributes
    ----------
    month : int
        1 to 12.
    ghi_kwh_m2_day : float
        Mean daily global horizontal irradiation.
    kt_p10, kt_p50, kt_p90 : float
        Daily clearness index that 10, 50 and 90 % of the days do not exceed, as the weather runs
        draw it in the middle of the month; 0 in the polar night.
    temp_air_c : float
        Mean air temperature.
    temp_min_c, temp_max_c : float
        Mean of the daily minimum and of the daily maximum.
    snow_share : float
        Share of days with snow on the ground, or with at least 0.1 mm (as water) falling, in
        twenty synthetic years.
    """

    month: int
    ghi_kwh_m2_day: float
    kt_p10: float
    kt_p50: float
    kt_p90: float
    temp_air_c: float
    temp_min_c: float
    temp_max_c: float
    snow_share: float


def monthly_table(place: Place, climate: SiteClimate) -> tuple[MonthRow, ...]:
    """Describe the twelve months of a place the way the weather runs see them.

    Parameters
    ----------
    place : Place
        Where.
    climate : SiteClimate
        Its monthly climate.

    Returns
    -------
    tuple of MonthRow
        January first.
    """
    offset = dt.timezone(dt.timedelta(hours=place.utc_offset_h))
    hours = pd.date_range(
        pd.Timestamp(DEFAULT_YEAR, 1, 1, tz=offset), periods=365 * 24, freq="h", unit="us"
    )
    year = synthesise(place, climate, hours, runs=_RUNS, seed=_SEED, site_uncertainty=False)
    month_of_day = hours.month.to_numpy()[::24]
    temp_c = year.temp_air_c.reshape(_RUNS, 365, 24)
    # Taken from each day's own mean, so that the few years' warmth does not enter.
    below_c = (temp_c.mean(axis=-1) - temp_c.min(axis=-1)).mean(axis=0)
    above_c = (temp_c.max(axis=-1) - temp_c.mean(axis=-1)).mean(axis=0)
    falling = year.snowfall_mm.reshape(_RUNS, 365, 24).sum(axis=-1) >= _SNOW_DAY_MM
    lying = year.albedo.reshape(_RUNS, 365, 24)[..., 12] >= ALBEDO_SNOW
    snowy = (falling | lying).mean(axis=0)
    kt = _clearness_of_middles(place, climate, hours)

    rows = []
    for month in range(1, 13):
        days = month_of_day == month
        ghi = float(climate.ghi_kwh_m2_day[month - 1])
        mean_c = float(climate.temp_mean_c[month - 1])
        low, middle, high = kt[month - 1] if ghi > _DARK_KWH_M2_DAY else (0.0, 0.0, 0.0)
        rows.append(
            MonthRow(
                month=month,
                ghi_kwh_m2_day=ghi,
                kt_p10=float(low),
                kt_p50=float(middle),
                kt_p90=float(high),
                temp_air_c=mean_c,
                temp_min_c=mean_c - float(below_c[days].mean()),
                temp_max_c=mean_c + float(above_c[days].mean()),
                snow_share=float(snowy[days].mean()),
            )
        )
    return tuple(rows)


def _clearness_of_middles(
    place: Place, climate: SiteClimate, hours: pd.DatetimeIndex
) -> FloatArray:
    from scipy.special import ndtri

    middles = hours[hours.day == 15]
    by_hour = middles.day_of_year.to_numpy().astype(np.int64)
    day_of_year = by_hour[::24]
    clear, _ = make_room(
        brightest_sky(place, sun_at_mid_hour(place, middles), by_hour),
        mean_ghi_wh_m2(climate, place.latitude_deg, day_of_year),
    )
    light = daily_light(
        climate,
        place.latitude_deg,
        day_of_year,
        clear.ghi_w_m2.reshape(12, 24).sum(axis=1),
        np.tile(ndtri(np.array(_CHANCES))[:, None], 12),
        np.ones(1),
    )
    return light.kt.T
