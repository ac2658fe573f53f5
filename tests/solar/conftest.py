"""Weather made by hand for the solar room's tests."""

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from solarsim.inputs.panels import Panels
from solarsim.inputs.parts import part_table
from solarsim.weather.record import Place, Weather

LATITUDE_DEG = 47.8


def hand_made_weather(runs=3, days=5, month=6, **changes):
    """Clear and cloudy runs under a geometric sun (no refraction, solar time)."""
    zone = dt.timezone(dt.timedelta(hours=1))
    times = pd.date_range(
        dt.datetime(2026, month, 10, 17, tzinfo=zone), periods=24 * days, freq="h"
    )
    hour_angle = np.radians(15.0 * (times.hour.to_numpy() + 0.5 - 12.0))
    day = times.day_of_year.to_numpy()
    declination = np.radians(23.45) * np.sin(2.0 * np.pi * (284 + day) / 365.0)
    latitude = np.radians(LATITUDE_DEG)
    cos_zenith = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(
        declination
    ) * np.cos(hour_angle)
    azimuth = 180.0 + np.degrees(
        np.arctan2(
            np.sin(hour_angle),
            np.cos(hour_angle) * np.sin(latitude) - np.tan(declination) * np.cos(latitude),
        )
    )
    generator = np.random.default_rng(7)
    clearness = generator.uniform(0.1, 0.75, (runs, times.size))
    ghi = 1361.0 * np.maximum(cos_zenith, 0.0) * clearness
    dhi = ghi * np.clip(1.1 - 1.1 * clearness, 0.2, 1.0)
    dni = np.where(cos_zenith > 0.02, (ghi - dhi) / np.maximum(cos_zenith, 0.02), 0.0)
    fields = {
        "place": Place("a meadow", LATITUDE_DEG, 13.0, 430.0, "Europe/Vienna", 1.0),
        "times": times,
        "ghi_w_m2": ghi,
        "dni_w_m2": dni,
        "dhi_w_m2": dhi,
        "temp_air_c": generator.normal(15.0, 6.0, ghi.shape),
        "wind_speed_m_s": generator.gamma(2.0, 1.5, ghi.shape),
        "relative_humidity": np.full((1, 1), 0.7),
        "snowfall_mm": np.zeros((1, 1)),
        "albedo": np.full((1, 1), 0.2),
        "zenith_deg": np.degrees(np.arccos(cos_zenith))[None, :],
        "azimuth_deg": azimuth[None, :],
        "dni_extra_w_m2": np.full((1, 1), 1361.0),
        "source": "made by hand",
    }
    return Weather(**(fields | changes))


def library_panels(name="200 W rigid", **changes):
    return Panels(**(part_table("panels", name) | changes))


@pytest.fixture
def make_weather():
    return hand_made_weather


@pytest.fixture
def make_panels():
    return library_panels
