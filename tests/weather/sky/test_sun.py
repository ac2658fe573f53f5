"""The sun that is kept: the same as one worked out anew, for any threads that ask."""

from __future__ import annotations

import dataclasses
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas as pd
import pytest
from pvlib import irradiance, solarposition

from solarsim.answers.question import ask
from solarsim.weather.sky import sun as sun_module
from solarsim.weather.sky.sun import sun_at_mid_hour


@pytest.fixture(autouse=True)
def _nothing_kept():
    sun_module._sun.cache_clear()


def test_threads_share_one_sun_and_cannot_write_to_it():
    times = pd.date_range("2026-06-01", periods=48, freq="h", tz="Etc/GMT-1")
    place = ask().place
    with ThreadPoolExecutor(4) as pool:
        suns = list(pool.map(lambda _: sun_at_mid_hour(place, times), range(8)))
    assert all(sun is suns[0] for sun in suns)
    with pytest.raises(ValueError, match="read-only"):
        suns[0].zenith_deg[0] = 0.0


def test_another_place_time_or_zone_gets_a_sun_of_its_own():
    """In another zone the same instants fall on another day of the year around midnight."""
    times = pd.date_range("2026-06-01", periods=48, freq="h", tz="Etc/GMT-1")
    place = ask().place
    first = sun_at_mid_hour(place, times)
    moved = sun_at_mid_hour(dataclasses.replace(place, latitude_deg=-20.0), times)
    later = sun_at_mid_hour(place, times + pd.Timedelta(hours=1))
    zone = sun_at_mid_hour(place, times.tz_convert("Etc/GMT+8"))
    assert np.abs(moved.zenith_deg - first.zenith_deg).min() > 1.0
    np.testing.assert_allclose(later.zenith_deg[:-1], first.zenith_deg[1:], rtol=1e-12)
    np.testing.assert_array_equal(zone.zenith_deg, first.zenith_deg)
    assert (zone.dni_extra_w_m2 != first.dni_extra_w_m2).any()


@pytest.mark.parametrize("elevation_m", [-20.0, 437.5, 3000.0])
def test_the_sun_is_pvlibs_to_the_last_bit(elevation_m):
    """The algorithm is pvlib's own file; what goes into it is what pvlib puts in."""
    times = pd.date_range("2024-01-01", periods=8784, freq="h", tz="Etc/GMT-1")
    place = dataclasses.replace(ask().place, elevation_m=elevation_m)
    sun = sun_at_mid_hour(place, times)
    middle = times + pd.Timedelta(minutes=30)
    theirs = solarposition.get_solarposition(
        middle, place.latitude_deg, place.longitude_deg, altitude=elevation_m
    )
    extra = irradiance.get_extra_radiation(middle.day_of_year.to_numpy(), method="spencer")
    np.testing.assert_array_equal(sun.zenith_deg, theirs["apparent_zenith"])
    np.testing.assert_array_equal(sun.azimuth_deg, theirs["azimuth"])
    np.testing.assert_array_equal(sun.dni_extra_w_m2, extra)
