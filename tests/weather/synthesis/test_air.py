import dataclasses

import numpy as np
import pytest

from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.synthesis.air import (
    dew_point_depression_c,
    hourly_wind,
    relative_humidity,
    vapour_pressure_kpa,
)

MILD = SiteClimate(
    kt_quantiles=np.full((12, 64), 0.5),
    ghi_kwh_m2_day=np.full(12, 4.0),
    temp_mean_c=12.0 - 10.0 * np.cos(np.arange(12) * np.pi / 6.0),
    temp_low_c=-22.0,
    temp_high_c=40.0,
    wind_m_s=3.0,
    precip_mm_day=np.full(12, 3.0),
    coast_share=0.0,
    source="a made-up place",
)


def test_vapour_pressure_is_fao_56_example_3():
    # FAO-56, example 3: 24.5 C gives 3.075 kPa, 15 C gives 1.705 kPa.
    assert vapour_pressure_kpa(np.array([24.5, 15.0])) == pytest.approx([3.075, 1.705], abs=1e-3)


def test_dew_point_is_near_the_minimum_where_it_rains():
    # A humid typical year (36 N) shows monthly means of -0.8 to 1.9 C, 1.0 in the mean.
    assert dew_point_depression_c(MILD, 36.0).mean() == pytest.approx(1.0, abs=0.8)


def test_desert_air_is_dry():
    desert = dataclasses.replace(
        MILD, precip_mm_day=np.full(12, 0.2), kt_quantiles=MILD.kt_quantiles + 0.2
    )
    assert dew_point_depression_c(desert, 30.0)[5:8].min() > 5.0
    rainless = dataclasses.replace(desert, precip_mm_day=np.zeros(12))
    assert np.isfinite(dew_point_depression_c(rainless, 30.0)).all()


@pytest.mark.parametrize("latitude_deg", [-57.0, 0.0, 72.0])
def test_dew_point_is_never_above_the_minimum(latitude_deg):
    for mean_c in (-50.0, -10.0, 30.0):
        climate = dataclasses.replace(MILD, temp_mean_c=np.full(12, mean_c))
        depression_c = dew_point_depression_c(climate, latitude_deg)
        assert (depression_c >= 0.0).all()
        assert (depression_c < 25.0).all()


def test_humidity_is_a_share_that_falls_as_the_day_warms():
    temp_c = np.array([[[8.0, 10.0, 14.0, 20.0, 26.0]]])
    humidity = relative_humidity(temp_c, np.array([[10.0]]), np.array([0.0]))[0, 0]
    assert humidity[:2].tolist() == [1.0, 1.0]
    assert (np.diff(humidity[1:]) < 0.0).all()
    # Dew point 10 C, air 26 C: 1.228 / 3.361 kPa.
    assert humidity[-1] == pytest.approx(1.228 / 3.361, abs=1e-3)


def test_wind_keeps_the_site_s_mean():
    normals = np.random.default_rng(3).standard_normal((2000, 60))
    sun_time_h = np.tile(np.arange(24) + 0.5, (60, 1))
    wind = hourly_wind(3.4, normals, sun_time_h)
    assert wind.mean() == pytest.approx(3.4, rel=0.01)
    assert (wind > 0.0).all()
    daily = wind.mean(axis=-1)
    # Daily spread 0.39 to 0.53 and link 0.41 to 0.45 in two typical years.
    assert daily.std() / daily.mean() == pytest.approx(0.42, abs=0.02)
    anomaly = daily - daily.mean()
    link = (anomaly[:, 1:] * anomaly[:, :-1]).mean() / anomaly.var()
    assert link == pytest.approx(0.42, abs=0.04)
    assert wind.mean(axis=(0, 1)).argmax() in (13, 14)


def test_still_air_stays_still():
    assert not hourly_wind(0.0, np.ones((2, 3)), np.full((3, 24), 12.0)).any()
