import dataclasses

import numpy as np
import pytest

from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.synthesis.snowfall import (
    ALBEDO_GROUND,
    ALBEDO_SNOW,
    daily_precipitation,
    ground_albedo,
    hourly_snowfall,
    snow_on_arrival_mm,
    snow_water,
    wet_share,
)

RUNS, DAYS = 3000, 30
ALPINE = SiteClimate(
    kt_quantiles=np.full((12, 64), 0.5),
    ghi_kwh_m2_day=np.full(12, 4.0),
    temp_mean_c=2.0 - 12.0 * np.cos(np.arange(12) * np.pi / 6.0),
    temp_low_c=-32.0,
    temp_high_c=30.0,
    wind_m_s=3.0,
    precip_mm_day=np.full(12, 3.0),
    coast_share=0.0,
    source="a made-up place",
)


def draws(seed=1):
    rng = np.random.default_rng(seed)
    return rng.standard_normal((RUNS, DAYS)), rng.random((RUNS, DAYS, 3))


@pytest.mark.parametrize("mean_mm_day", [0.0, 0.2, 2.0, 9.0])
def test_precipitation_keeps_the_climate_s_mean_and_share_of_wet_days(mean_mm_day):
    brightness, uniforms = draws()
    mean_mm = np.full(DAYS, mean_mm_day)
    precip_mm = daily_precipitation(mean_mm, brightness, uniforms[..., :2])
    assert (precip_mm >= 0.0).all()
    assert (precip_mm > 0.0).mean() == pytest.approx(wet_share(mean_mm)[0], abs=0.005)
    assert precip_mm.mean() == pytest.approx(mean_mm_day, rel=0.04)


def test_wet_days_are_the_dark_ones():
    brightness, uniforms = draws()
    wet = daily_precipitation(np.full(DAYS, 2.0), brightness, uniforms[..., :2]) > 0.0
    assert brightness[wet].mean() < -0.5
    assert brightness[~wet].mean() > 0.2


def test_whether_and_how_much_bear_the_ends_of_the_draws():
    uniforms = np.array([[[0.0, 0.0], [np.nextafter(1.0, 0.0), np.nextafter(1.0, 0.0)]]])
    precip_mm = daily_precipitation(np.full(2, 3.0), np.zeros((1, 2)), uniforms)
    assert np.isfinite(precip_mm).all()
    assert precip_mm[0, 0] == 0.0
    assert precip_mm[0, 1] > 100.0


def test_all_precipitation_of_a_frosty_day_is_snow_in_one_spell():
    uniforms = np.linspace(0.0, np.nextafter(1.0, 0.0), 40)[:, None]
    snow_mm = hourly_snowfall(np.full((40, 1), 9.0), uniforms, np.full((40, 1, 24), -4.0))
    assert snow_mm.sum(axis=-1) == pytest.approx(9.0)
    assert ((snow_mm > 0.0).sum(axis=-1) == 6).all()
    first, last = (snow_mm > 0.0).argmax(axis=-1), 23 - (snow_mm[..., ::-1] > 0.0).argmax(axis=-1)
    assert (last - first == 5).all()
    assert set(first.ravel().tolist()) == set(range(19))


def test_snow_falls_in_cold_hours_alone():
    temp_c = np.broadcast_to(np.linspace(-3.0, 6.0, 24), (40, 1, 24))
    uniforms = np.linspace(0.0, 0.999, 40)[:, None]
    snow_mm = hourly_snowfall(np.full((40, 1), 9.0), uniforms, temp_c)
    assert not snow_mm[temp_c > 0.5].any()
    assert snow_mm.any()
    assert (snow_mm.sum(axis=-1) <= 9.0 + 1e-12).all()


def test_snow_lies_until_it_has_melted():
    snowfall_mm = np.array([[10.0, 0.0, 0.0, 0.0, 0.0, 0.0]])
    mean_c = np.array([[-5.0, -1.0, 2.0, 1.0, 3.0, 3.0]])
    lying_mm = snow_water(0.0, snowfall_mm, mean_c)
    assert lying_mm[0] == pytest.approx([10.0, 10.0, 10.0, 10.0 - 5.4, 10.0 - 8.1, 0.0])
    assert ground_albedo(lying_mm)[0].tolist() == [ALBEDO_SNOW] * 4 + [ALBEDO_GROUND] * 2


def test_arrival_finds_snow_where_winter_is_long():
    assert snow_on_arrival_mm(ALPINE, 46) > 50.0
    assert snow_on_arrival_mm(ALPINE, 46) > snow_on_arrival_mm(ALPINE, 1) > 0.0
    assert snow_on_arrival_mm(ALPINE, 220) == 0.0
    assert snow_on_arrival_mm(ALPINE, 366) == snow_on_arrival_mm(ALPINE, 365)


def test_arrival_finds_no_snow_where_it_melts_at_once():
    mild = dataclasses.replace(
        ALPINE, temp_mean_c=ALPINE.temp_mean_c + 14.0, temp_low_c=-10.0, temp_high_c=40.0
    )
    assert snow_on_arrival_mm(mild, 20) == 0.0
