"""The climate of a place as a table of months."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.inputs.calendar import stay_start
from solarsim.inputs.stay import DEFAULT_YEAR, Stay
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.normal import ndtri
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import brightest_sky, make_room
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.streams import Purpose, run_normals
from solarsim.weather.synthesis.daily import (
    DailyLight,
    daily_light,
    linked_days,
    mean_ghi_wh_m2,
)
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.synthesis.snowfall import ALBEDO_SNOW

__all__ = ["MonthRow", "monthly_table"]

_RUNS = 20
_SEED = 0
# Enough for a tenth of them; days alone take a hundredth of what hours take.
_YEARS = 300
_WEEK_DAYS = 7
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
    ghi_mid_kwh_m2_day : float
        Mean of the seven days in the month's middle, those of a week's stay in it. `stay` tells the
        mean of its runs over its own days, which lies within their chance (0.5 %) of this.
    ghi_p10_kwh_m2_day, ghi_p90_kwh_m2_day : float
        The month's mean in the darkest and in the brightest year of ten, in 300 synthetic years.
    ghi_error_share : float
        Standard deviation of how far the month's mean may itself be off.
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
    ghi_mid_kwh_m2_day: float
    ghi_p10_kwh_m2_day: float
    ghi_p90_kwh_m2_day: float
    ghi_error_share: float


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
    of_week = _light_of_middles(place, climate)
    dark, bright = _years_of_months(place, climate, hours)

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
                ghi_mid_kwh_m2_day=float(of_week[month - 1]),
                ghi_p10_kwh_m2_day=float(dark[month - 1]),
                ghi_p90_kwh_m2_day=float(bright[month - 1]),
                ghi_error_share=float(climate.ghi_error_share[month - 1]),
            )
        )
    return tuple(rows)


def _clearness_of_middles(
    place: Place, climate: SiteClimate, hours: pd.DatetimeIndex
) -> FloatArray:
    brightness = np.tile(ndtri(np.array(_CHANCES))[:, None], 12)
    return _light_of_days(place, climate, hours[hours.day == 15], brightness).kt.T


def _years_of_months(place: Place, climate: SiteClimate, hours: pd.DatetimeIndex) -> FloatArray:
    """The months' means in the darkest and the brightest year of ten, ``(2, 12)`` kWh/m2/day."""
    draws = {"first_run": 0, "runs": _YEARS, "count": 365}
    brightness = linked_days(
        run_normals(_SEED, Purpose.DAILY_CLEARNESS, **draws),
        run_normals(_SEED, Purpose.SPELLS, **draws),
    )
    ghi_kwh_m2 = _light_of_days(place, climate, hours, brightness).ghi_wh_m2 / 1000.0
    month_of_day = hours.month.to_numpy()[::24]
    months = [ghi_kwh_m2[:, month_of_day == month].mean(axis=1) for month in range(1, 13)]
    return np.asarray(np.percentile(months, [10, 90], axis=1))


def _light_of_middles(place: Place, climate: SiteClimate) -> FloatArray:
    """Mean light of the days of a week's stay in each month, ``(12,)`` kWh/m2/day."""
    firsts = [stay_start(Stay(month=month, days=_WEEK_DAYS)) for month in range(1, 13)]
    first = np.array([day.timetuple().tm_yday for day in firsts], dtype=np.int64)
    # It begins in the evening.
    days = first[:, None] + np.arange(1, _WEEK_DAYS + 1)
    by_day = mean_ghi_wh_m2(climate, place.latitude_deg, days.ravel())
    return np.asarray(by_day.reshape(days.shape).mean(axis=1) / 1000.0)


def _light_of_days(
    place: Place, climate: SiteClimate, hours: pd.DatetimeIndex, brightness: FloatArray
) -> DailyLight:
    """Light of the whole days of `hours` by their `brightness`, ``(runs, days)``."""
    by_hour = hours.day_of_year.to_numpy().astype(np.int64)
    day_of_year = by_hour[::24]
    clear, _ = make_room(
        brightest_sky(place, sun_at_mid_hour(place, hours), by_hour),
        mean_ghi_wh_m2(climate, place.latitude_deg, day_of_year),
    )
    clear_wh_m2 = clear.ghi_w_m2.reshape(-1, 24).sum(axis=1)
    return daily_light(
        climate, place.latitude_deg, day_of_year, clear_wh_m2, brightness, np.ones(1)
    )
