import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import (
    daily_extraterrestrial_kwh_m2,
    monthly_extraterrestrial_kwh_m2,
)
from solarsim.weather.synthesis.daily import (
    autoregress,
    daily_light,
    linked_days,
    mean_ghi_wh_m2,
    thicken,
)

DAYS = np.arange(1, 366)
MONTH_OF_DAY = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


def climate_at(latitude_deg, low=0.1, high=0.75, shape=1.0):
    chance = (np.arange(64) + 0.5) / 64
    quantiles = np.tile(low + (high - low) * chance**shape, (12, 1))
    h0 = monthly_extraterrestrial_kwh_m2(latitude_deg)[0]
    return SiteClimate(
        kt_quantiles=quantiles,
        ghi_kwh_m2_day=quantiles.mean(axis=1) * h0,
        temp_mean_c=np.linspace(0.0, 20.0, 12),
        temp_low_c=-20.0,
        temp_high_c=38.0,
        wind_m_s=3.0,
        precip_mm_day=np.full(12, 2.0),
        coast_share=0.0,
        source="a made-up place",
    )


def h0_wh_m2(latitude_deg, days=DAYS):
    return 1000.0 * daily_extraterrestrial_kwh_m2(latitude_deg, days.astype(float))


def draw(climate, latitude_deg, runs=200, seed=5, factor=1.0, clear_kt=0.8, days=DAYS):
    brightness = linked_days(*np.random.default_rng(seed).standard_normal((2, runs, len(days))))
    clear = clear_kt * h0_wh_m2(latitude_deg, days)
    return daily_light(climate, latitude_deg, days, clear, brightness, np.full((runs, 1), factor))


def test_autoregression_has_unit_variance_and_the_given_link():
    steps = autoregress(np.random.default_rng(1).standard_normal((4000, 40)), 0.3)
    assert steps.std(axis=0) == pytest.approx(1.0, abs=0.05)
    link = (steps[:, 1:] * steps[:, :-1]).mean()
    # 160,000 products: the standard error is 0.003.
    assert link == pytest.approx(0.3, abs=0.012)


def test_autoregression_of_a_longer_series_begins_alike():
    normals = np.random.default_rng(1).standard_normal((3, 50))
    assert np.array_equal(autoregress(normals, 0.7)[:, :20], autoregress(normals[:, :20], 0.7))


@given(st.floats(0.001, 1.0), st.floats(0.1, 10.0), st.floats(0.1, 10.0))
def test_thickening_acts_on_the_odds(transmittance, first, second):
    once = thicken(np.array([transmittance]), first)
    assert 0.0 < once[0] <= 1.0
    assert (1.0 - once[0]) * transmittance == pytest.approx(
        first * (1.0 - transmittance) * once[0], abs=1e-12
    )
    assert thicken(once, second) == pytest.approx(
        thicken(np.array([transmittance]), first * second), rel=1e-9
    )


def test_a_dark_day_dims_by_the_factor_at_most_and_a_clear_one_not_at_all():
    assert thicken(np.array([0.01, 1.0]), 1.8) == pytest.approx([0.01 / 1.792, 1.0])


@pytest.mark.parametrize("latitude_deg", [-50.0, -20.0, 5.0, 45.0, 65.0])
def test_mean_by_day_keeps_the_climate_s_months(latitude_deg):
    climate = climate_at(latitude_deg)
    daily = mean_ghi_wh_m2(climate, latitude_deg, DAYS)
    monthly = np.array([daily[month == MONTH_OF_DAY].mean() for month in range(12)]) / 1000.0
    assert monthly == pytest.approx(climate.ghi_kwh_m2_day, rel=1e-6)


@pytest.mark.parametrize("shape", [0.4, 1.0, 2.5])
@pytest.mark.parametrize("clear_kt", [0.6, 0.8])
def test_drawn_mean_is_the_climate_s_with_and_without_a_cut(shape, clear_kt):
    climate = climate_at(45.0, shape=shape)
    light = draw(climate, 45.0, clear_kt=clear_kt, runs=400)
    wanted = mean_ghi_wh_m2(climate, 45.0, DAYS).sum()
    # 400 years of linked days: the standard error of the mean is below 0.2 %.
    assert light.ghi_wh_m2.sum(axis=1).mean() == pytest.approx(wanted, rel=0.006)
    assert light.capped.any() == (clear_kt < 0.7)


def test_drawn_quantiles_are_the_climate_s():
    light = draw(climate_at(45.0), 45.0, runs=500)
    chances = [0.05, 0.25, 0.5, 0.75, 0.95]
    expected = 0.1 + 0.65 * np.array(chances)
    assert np.quantile(light.kt, chances) == pytest.approx(expected, abs=0.01)


def test_clearness_of_neighbouring_days_is_linked():
    kt = draw(climate_at(45.0), 45.0, runs=300).kt
    anomaly = kt - kt.mean()
    link = (anomaly[:, 1:] * anomaly[:, :-1]).mean() / anomaly.var()
    # 0.26 of 88 % and 0.9 of 12 % are 0.337, which mapped to a uniform distribution becomes
    # (6 / pi) asin(0.337 / 2) = 0.323.
    assert link == pytest.approx(0.323, abs=0.02)


def correlations_within_months(days, lags):
    """Mean correlation of days so many apart, each month's own mean removed, (runs, 365) in."""
    pairs, spread = np.zeros(lags), 0.0
    for month in range(12):
        of_month = days[:, month == MONTH_OF_DAY]
        anomaly = of_month - of_month.mean(axis=1, keepdims=True)
        spread += (anomaly**2).mean()
        pairs += [(anomaly[:, lag:] * anomaly[:, :-lag]).mean() for lag in range(1, lags + 1)]
    return pairs / spread


def test_days_of_a_spell_are_linked_as_in_station_years():
    kt = draw(climate_at(45.0), 45.0, runs=600).kt
    # 29 typical and single station years and three of Golden, Colorado (pvanalytics), daily KT.
    seen = [0.254, 0.052, -0.016, -0.028, -0.042]
    assert correlations_within_months(kt, 5) == pytest.approx(seen, abs=0.025)


def test_months_differ_between_years_as_over_35_years_of_satellites():
    # Central Europe, 1991 to 2025, without the trend: of the mean, January first (EUMETSAT CM SAF).
    seen = np.array(
        [0.146, 0.163, 0.139, 0.129, 0.119, 0.100, 0.108, 0.094, 0.121, 0.139, 0.145, 0.159]
    )
    place = Place("the grid's middle", 50.4, 10.4, 300.0, "Europe/Berlin", 1.0)
    light = draw(load_site_climate(place), 50.4, runs=1500, clear_kt=0.8).ghi_wh_m2
    months = np.stack([light[:, month == MONTH_OF_DAY].mean(axis=1) for month in range(12)])
    spread = months.std(axis=1) / months.mean(axis=1)
    assert spread.mean() == pytest.approx(seen.mean(), rel=0.1)
    # Five years of clearness hardly know a month's own spread: April's is 0.8 and January's 1.2.
    assert spread == pytest.approx(seen, rel=0.3)


@pytest.mark.parametrize("factor", [0.85, 1.1])
def test_site_factor_moves_the_mean_and_not_the_brightest_day(factor):
    climate = climate_at(45.0)
    plain, moved = draw(climate, 45.0, runs=400), draw(climate, 45.0, runs=400, factor=factor)
    ratio = moved.ghi_wh_m2.sum() / plain.ghi_wh_m2.sum()
    assert ratio == pytest.approx(factor, rel=0.004)
    assert moved.kt.max() <= climate.kt_quantiles.max() + 1e-12
    assert moved.kt.max() == pytest.approx(plain.kt.max(), abs=0.01)


def test_nearly_always_clear_site_keeps_its_mean_over_both_signs_of_the_factor():
    climate = climate_at(-22.0, low=0.66, high=0.75)
    normals = np.random.default_rng(2).standard_normal((2, 365))
    normals[1] = normals[0]
    clear = 0.8 * h0_wh_m2(-22.0)
    light = daily_light(climate, -22.0, DAYS, clear, normals, np.array([[1.2], [0.8]]))
    plain = daily_light(climate, -22.0, DAYS, clear, normals, np.ones(1))
    bright, dim = light.ghi_wh_m2.sum(axis=1) / plain.ghi_wh_m2.sum(axis=1)
    assert 1.02 < bright < 1.07
    assert bright + dim == pytest.approx(2.0, abs=0.01)


def test_no_day_is_brighter_than_the_clear_sky_and_cuts_are_told():
    climate = climate_at(45.0)
    light = draw(climate, 45.0, clear_kt=0.6)
    clear = 0.6 * h0_wh_m2(45.0)
    assert (light.ghi_wh_m2 <= clear).all()
    assert np.array_equal(light.capped, light.ghi_wh_m2 == clear)
    assert light.kt.max() <= 0.6 + 1e-12


def test_polar_night_has_no_light_and_a_clearness():
    days = np.arange(340, 366)
    light = draw(climate_at(72.0), 72.0, days=days)
    assert not light.ghi_wh_m2.any()
    assert not light.capped.any()
    assert np.isfinite(light.kt).all()


def test_quantiles_that_are_missing_in_the_polar_night_are_borne():
    climate = climate_at(72.0)
    climate.kt_quantiles[11] = np.nan
    light = draw(climate, 72.0)
    assert np.isfinite(light.kt).all()
    assert np.isfinite(light.ghi_wh_m2).all()
