"""What is compared between a station's weather and ours: months in figures, and days to empty."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.answers.simulation.run import simulate
from solarsim.arrays import FloatArray
from solarsim.inputs.hourly import Hourly
from solarsim.inputs.identity import Identity, ProfileIdentity
from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.profile import Profile
from solarsim.inputs.stay import Stay
from solarsim.inputs.van import Battery, Van
from solarsim.power.design import design_of
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import daily_extraterrestrial_kwh_m2
from solarsim.weather.sky.season import DAYS_IN_MONTH
from solarsim.weather.sky.sun import Sun
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.years.series import YearSeries

__all__ = [
    "LOAD_W",
    "MonthFigures",
    "all_days_to_empty",
    "days_to_empty",
    "drawn_years",
    "month_figures",
    "whole_years",
]

# Two flat panels, one 200 Ah lithium bank and a load that never changes: what differs is the light.
LOAD_W = 50.0
_CHANCES = (0.1, 0.25, 0.5)
_LEAST_H0_WH_M2 = 100.0


@dataclasses.dataclass(frozen=True)
class MonthFigures:
    """Figures of each month, ``(12,)``, as means over the years they were worked out for.

    Attributes
    ----------
    ghi_kwh_m2_day : ndarray
        Mean daily irradiation.
    kt_p10, kt_p25, kt_p50, kt_sd : ndarray
        Quantiles and standard deviation of the daily clearness index.
    kt_product : ndarray
        Mean product of neighbouring days' clearness, the month's own mean removed; over `kt_sd`
        squared it is the correlation of neighbours.
    temp_mean_c, temp_sd_c, temp_swing_c : ndarray
        Mean of the daily means, their standard deviation, and mean of maximum less minimum.
    """

    ghi_kwh_m2_day: FloatArray
    kt_p10: FloatArray
    kt_p25: FloatArray
    kt_p50: FloatArray
    kt_sd: FloatArray
    kt_product: FloatArray
    temp_mean_c: FloatArray
    temp_sd_c: FloatArray
    temp_swing_c: FloatArray


def month_figures(series: YearSeries) -> MonthFigures:
    """Work out each month's figures year by year and average them over the years.

    The same estimate from the same number of days on both sides leaves no small-sample difference.
    """
    ghi_wh_m2 = series.ghi_w_m2.reshape(-1, 365, 24).sum(axis=-1)
    temp_c = series.temp_air_c.reshape(-1, 365, 24)
    mean_c, swing_c = temp_c.mean(axis=-1), np.ptp(temp_c, axis=-1)
    h0_kwh_m2 = daily_extraterrestrial_kwh_m2(series.place.latitude_deg, np.arange(1.0, 366.0))
    kt = ghi_wh_m2 / np.maximum(1000.0 * h0_kwh_m2, _LEAST_H0_WH_M2)
    months = []
    for days in np.split(np.arange(365), np.cumsum(DAYS_IN_MONTH)[:-1]):
        of_month = kt[:, days]
        anomaly = of_month - of_month.mean(axis=1, keepdims=True)
        quantiles = np.quantile(of_month, _CHANCES, axis=1, method="hazen").mean(axis=1)
        months.append(
            (
                ghi_wh_m2[:, days].mean() / 1000.0,
                *quantiles,
                of_month.std(axis=1).mean(),
                (anomaly[:, 1:] * anomaly[:, :-1]).mean(),
                mean_c[:, days].mean(),
                mean_c[:, days].std(axis=1).mean(),
                swing_c[:, days].mean(),
            )
        )
    return MonthFigures(*np.array(months).T)


def whole_years(years: int, utc_offset_h: float) -> pd.DatetimeIndex:
    """Hours of so many years from 2001, without leap days."""
    offset = dt.timezone(dt.timedelta(hours=utc_offset_h))
    hours = pd.date_range(
        pd.Timestamp(2001, 1, 1, tz=offset),
        pd.Timestamp(2000 + years, 12, 31, 23, tz=offset),
        freq="h",
        unit="us",
    )
    return hours[~((hours.month == 2) & (hours.day == 29))]


def drawn_years(place: Place, climate: SiteClimate, years: int, *, seed: int = 1) -> YearSeries:
    """Years of synthetic weather one after the other, without snow, as a file would hold them."""
    weather = synthesise(
        place,
        # Few files record snow, so that none falls on either side.
        dataclasses.replace(climate, precip_mm_day=np.zeros(12)),
        whole_years(1, place.utc_offset_h),
        runs=years,
        seed=seed,
        site_uncertainty=False,
    )

    def in_turn(of_one_year: FloatArray) -> FloatArray:
        return np.tile(of_one_year[0], years)

    return YearSeries(
        place=place,
        times=whole_years(years, place.utc_offset_h),
        ghi_w_m2=weather.ghi_w_m2.ravel(),
        dni_w_m2=weather.dni_w_m2.ravel(),
        dhi_w_m2=weather.dhi_w_m2.ravel(),
        temp_air_c=weather.temp_air_c.ravel(),
        wind_speed_m_s=weather.wind_speed_m_s.ravel(),
        relative_humidity=weather.relative_humidity.ravel(),
        snowfall_mm=np.zeros(years * 8760),
        albedo=weather.albedo.ravel(),
        sun=Sun(
            in_turn(weather.zenith_deg),
            in_turn(weather.azimuth_deg),
            in_turn(weather.dni_extra_w_m2),
        ),
        source=weather.source,
    )


def days_to_empty(series: YearSeries, month: int, *, windows: int) -> float:
    """Mean of `all_days_to_empty`."""
    return float(all_days_to_empty(series, month, windows=windows).mean())


def all_days_to_empty(series: YearSeries, month: int, *, windows: int) -> FloatArray:
    """Days to the first cut-off of the van in windows that start in the month, at most 30.

    Parameters
    ----------
    series : YearSeries
        Whole years; its snow is left out.
    month : int
        1 to 12.
    windows : int
        At most so many, evenly spread over the month's days and the years.
    """
    van = _van(month)
    # Arrival at 17:00 of the sun's own zone, whatever the clocks do there.
    place = dataclasses.replace(
        series.place, timezone=f"Etc/GMT{-round(series.place.utc_offset_h):+d}"
    )
    question = Question(
        van,
        _PROFILE,
        place,
        None,
        dataclasses.replace(series, place=place, snowfall_mm=np.zeros(len(series.times))),
        runs=windows,
    )
    hours = simulate(question, [design_of(van)]).outcome.first_cut_h[:, 0]
    return np.asarray(hours / 24.0)


_PROFILE = Profile(
    profile=ProfileIdentity(name="constant load"), hourly=Hourly(dc_w=(LOAD_W,) * 24)
)


def _van(month: int) -> Van:
    return Van(
        van=Identity(name="the van that every station is asked about"),
        panels=Panels(
            power_w=200.0,
            vmp_v=20.0,
            imp_a=10.0,
            voc_v=24.0,
            isc_a=10.6,
            cells_in_series=36,
            length_m=1.5,
            width_m=0.68,
            count=2,
        ),
        controller=Controller(max_output_a=40.0),
        battery=Battery(chemistry="lfp", unit_capacity_ah=200.0),
        # One day, so that the calendar starts in the middle of the month.
        stay=Stay(month=month, days=1),
    )
