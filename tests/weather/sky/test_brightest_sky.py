import numpy as np
import pandas as pd
import pytest

from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import brightest_sky, clear_sky
from solarsim.weather.sky.sun import sun_at_mid_hour

PLACES = [
    Place("humid coast", 25.8, -80.3, 2.0, "America/New_York", -5.0),
    Place("plain", 52.4, 13.1, 81.0, "Europe/Berlin", 1.0),
    Place("high and dry", 40.5, -108.5, 1900.0, "America/Denver", -7.0),
]


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.name)
@pytest.mark.parametrize("month", [1, 4, 7, 10])
def test_brightest_sky_lies_between_the_mean_clear_sky_and_the_sky_without_air(place, month):
    times = pd.date_range(f"2026-{month:02d}-10", periods=48, freq="h", tz="UTC", unit="us")
    sun = sun_at_mid_hour(place, times)
    day_of_year = times.day_of_year.to_numpy()
    brightest, mean = brightest_sky(place, sun, day_of_year), clear_sky(place, sun, day_of_year)
    up = sun.zenith_deg < 85.0
    cosine = np.cos(np.radians(sun.zenith_deg[up]))
    assert (brightest.ghi_w_m2[up] > mean.ghi_w_m2[up]).all()
    assert (brightest.dni_w_m2[up] > mean.dni_w_m2[up]).all()
    assert (brightest.ghi_w_m2[up] < 0.9 * sun.dni_extra_w_m2[up] * cosine).all()
    # Seen: 4 to 22 % more light in the day.
    assert 1.02 < brightest.ghi_w_m2.sum() / mean.ghi_w_m2.sum() < 1.25
    assert not brightest.ghi_w_m2[sun.zenith_deg >= 90.0].any()
