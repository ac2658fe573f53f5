"""Weather without a climate behind it: constant or daily waves, for tests of demand."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd

from solarsim.weather.record import Place, Weather


def weather_by_hand(
    temp_air_c=10.0,
    *,
    ghi_w_m2=0.0,
    relative_humidity=0.6,
    runs=1,
    hours=48,
    start="2026-01-12T00:00",
    timezone="Etc/GMT-1",
    utc_offset_h=1.0,
):
    """Every value is a number or an array that broadcasts to (runs, hours)."""
    offset = pd.Timedelta(hours=utc_offset_h).to_pytimedelta()
    first = pd.Timestamp(start).tz_localize(dt.timezone(offset))
    times = pd.date_range(first, periods=hours, freq="h", unit="us")
    none = np.zeros((1, hours))

    def spread(value):
        return np.broadcast_to(np.asarray(value, dtype=np.float64), (runs, hours)).copy()

    return Weather(
        place=Place("field", 47.8, 13.0, 430.0, timezone, utc_offset_h),
        times=times,
        ghi_w_m2=spread(ghi_w_m2),
        dni_w_m2=none,
        dhi_w_m2=spread(ghi_w_m2),
        temp_air_c=spread(temp_air_c),
        wind_speed_m_s=none,
        relative_humidity=spread(relative_humidity),
        snowfall_mm=none,
        albedo=none + 0.2,
        zenith_deg=none + 60.0,
        azimuth_deg=none + 180.0,
        dni_extra_w_m2=none + 1367.0,
        source="by hand",
    )


def changing_weather(*, runs=5, hours=24 * 12, mean_c=0.0, seed=0, **changes):
    """A daily wave of temperature and light, with other days in each run."""
    rng = np.random.default_rng(seed)
    days = -(-hours // 24)
    clock = (np.arange(hours) + 0.5) % 24
    anomaly = np.repeat(rng.normal(0.0, 4.0, (runs, days)), 24, axis=1)[:, :hours]
    bright = np.repeat(rng.uniform(0.2, 1.0, (runs, days)), 24, axis=1)[:, :hours]
    light = np.maximum(np.cos((clock - 12.0) / 12.0 * np.pi), 0.0) * 700.0
    return weather_by_hand(
        mean_c + 5.0 * np.cos((clock - 15.0) / 12.0 * np.pi) + anomaly,
        ghi_w_m2=light * bright,
        runs=runs,
        hours=hours,
        **changes,
    )
