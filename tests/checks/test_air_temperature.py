"""Hours of temperature from a day's mean and swing, against normals and typical years."""

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from solarsim.data.accuracy.weather_statistics import (
    GREENSBORO,
    SAND_POINT,
    temperature_error_c,
    typical_year,
)
from solarsim.weather.sky.season import declination_rad, equation_of_time_h, sunset_angle_rad
from solarsim.weather.synthesis.temperature import (
    DailyTemperature,
    hour_weights,
    hourly_temperature,
)

FOLDER = Path(pvlib.__file__).parent / "data"
NORMALS = pd.read_csv(Path(__file__).parent / "data" / "normal_temperatures_f.csv", comment="#")
AIRPORTS = {"Seattle": (47.45, -122.31), "San Francisco": (37.62, -122.37)}


def errors_c(station):
    """Ours less the normals on twelve days, ``(12, 24)``, each between its two neighbours."""
    latitude, longitude = AIRPORTS[station]
    rows = NORMALS[NORMALS["station"] == station]
    own_c = (rows.filter(regex="^h").to_numpy() - 32.0) / 1.8
    dates = pd.to_datetime({"year": 2010, "month": rows["month"], "day": rows["day"]})
    days = dates.dt.day_of_year.to_numpy()
    ahead_h = equation_of_time_h(days)[:, None]
    # The normals stand at the full hour of UTC-8.
    sun_time_h = np.arange(24) + longitude / 15.0 + 8.0 + ahead_h
    weights = hour_weights(sun_time_h, sunset_angle_rad(latitude, declination_rad(days)))
    found = []
    for middle in range(1, len(days), 3):
        three = slice(middle - 1, middle + 2)
        daily = DailyTemperature(own_c[None, three].mean(axis=-1), np.ptp(own_c[None, three], -1))
        found.append(hourly_temperature(daily, weights[:, three])[0][0, 0] - own_c[middle])
    return np.array(found)


@pytest.mark.parametrize(("station", "limit_c"), [("Seattle", 0.8), ("San Francisco", 1.2)])
def test_normals_from_their_own_mean_and_swing(station, limit_c):
    # A cosine with its peak at 15:00 errs by 0.65 and 1.07 C over these stations' whole years.
    error_c = errors_c(station)
    assert error_c.shape == (12, 24)
    assert np.sqrt((error_c**2).mean()) < limit_c
    assert error_c.mean() == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize(
    ("name", "swing_c", "limit_c"), [(GREENSBORO, 10.7, 2.15), (SAND_POINT, 3.6, 1.22)]
)
def test_readings_of_typical_years_from_their_own_mean_and_swing(name, swing_c, limit_c):
    # The limits are what a cosine with its peak at 15:00 reaches from the day's own extremes.
    frame, _ = pvlib.iotools.read_tmy3(FOLDER / name, map_variables=True)
    readings_c = frame["temp_air"].to_numpy(dtype=float).reshape(365, 24)
    assert np.ptp(readings_c, axis=1).mean() == pytest.approx(swing_c, abs=0.1)
    # The files' readings stand at the end of the hour.
    place = typical_year(name).place
    assert temperature_error_c(readings_c, place, into_the_hour=1.0) < limit_c


@pytest.mark.parametrize(("name", "limit_c"), [(GREENSBORO, 1.8), (SAND_POINT, 1.1)])
def test_hourly_means_of_typical_years(name, limit_c):
    # Seen: 1.67 and 0.98 C.
    year = typical_year(name)
    assert temperature_error_c(year.temp_air_c.reshape(365, 24), year.place) < limit_c
