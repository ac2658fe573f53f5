import numpy as np
import pytest

from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.synthesis.temperature import (
    DailyTemperature,
    daily_swing_c,
    daily_temperature,
    day_to_day_sd_c,
    hour_weights,
    hourly_temperature,
)

CLOCK = np.arange(24) + 0.5
DAYS = np.arange(1, 366)


def climate(mean_c, low_c=-22.0, high_c=40.0, kt=0.45):
    return SiteClimate(
        kt_quantiles=np.full((12, 64), kt),
        ghi_kwh_m2_day=np.full(12, 4.0),
        temp_mean_c=np.asarray(mean_c, dtype=float),
        temp_low_c=low_c,
        temp_high_c=high_c,
        wind_m_s=3.0,
        precip_mm_day=np.full(12, 2.0),
        coast_share=0.0,
        source="a made-up place",
    )


CONTINENTAL = climate([0, 2, 7, 12, 17, 22, 25, 24, 20, 14, 8, 2])


def test_swing_is_fao_56_example_15():
    # Lyon, July: Rs 22.3 of Ra 40.6 MJ/m2 go with 14.8 to 26.6 C at 0.16.
    assert daily_swing_c(np.array([22.3 / 40.6]), 0.0)[0] == pytest.approx(26.6 - 14.8, abs=0.05)


def test_swing_is_smaller_at_the_coast_and_never_nothing():
    kt = np.array([0.0, 0.3, 0.7])
    inland, coast = daily_swing_c(kt, 0.0), daily_swing_c(kt, 1.0)
    assert coast[1:] == pytest.approx(inland[1:] * (0.16 / 0.19) ** 2)
    assert (coast > 0.0).all()


def test_mean_swing_is_that_of_the_mean_clearness_and_a_day_s_follows_its_light():
    uneven = climate(np.full(12, 10.0))
    uneven.kt_quantiles[:] = np.linspace(0.1, 0.7, 64)
    kt = np.tile(np.linspace(0.1, 0.7, 64), (1, 6))[:, :365]
    daily = daily_temperature(uneven, DAYS[: kt.shape[1]], kt, np.zeros_like(kt), np.zeros_like(kt))
    expected = (0.4 / 0.16) ** 2
    assert daily.swing_c[0, :64].mean() == pytest.approx(expected, rel=1e-6)
    # Not the square of the day's own clearness, whose mean is a fifth above that.
    assert ((kt[0, :64] / 0.16) ** 2).mean() > 1.15 * expected
    # A day of twice the mean light has 1.6 times the mean swing.
    assert np.interp(0.6, kt[0, :64], daily.swing_c[0, :64]) == pytest.approx(1.3 * expected)


def test_spread_follows_the_records():
    sd_c = day_to_day_sd_c(CONTINENTAL)
    half_swing_c = (0.45 / 0.16) ** 2 / 2.0
    assert sd_c[0] == pytest.approx((0.0 - half_swing_c + 22.0) / 4.0)
    assert sd_c[6] == pytest.approx((40.0 - 25.0 - half_swing_c) / 3.5)
    assert (sd_c >= sd_c[6]).all()
    assert (sd_c <= sd_c[0]).all()


def test_spread_stays_plausible_where_records_and_means_disagree():
    sd_c = day_to_day_sd_c(climate(np.full(12, 26.0), low_c=25.0, high_c=27.0))
    assert (sd_c == 1.0).all()


def test_daily_means_and_spread_come_out():
    rng = np.random.default_rng(7)
    brightness = rng.standard_normal((400, 365))
    daily = daily_temperature(
        CONTINENTAL,
        DAYS,
        np.full((400, 365), 0.45),
        brightness,
        rng.standard_normal((400, 365)),
    )
    january, july = daily.mean_c[:, :31], daily.mean_c[:, 181:212]
    # Linked days: 400 Januaries give the mean to about 0.15 C and the spread to 3 %.
    assert january.mean() == pytest.approx(0.0, abs=0.6)
    assert july.mean() == pytest.approx(25.0, abs=0.6)
    sd_c = day_to_day_sd_c(CONTINENTAL)
    assert january.std() == pytest.approx(sd_c[0], rel=0.08)
    assert july.std() == pytest.approx(sd_c[6], rel=0.08)
    # Dark winter days are mild, dark summer days cool.
    assert np.corrcoef(january.ravel(), brightness[:, :31].ravel())[0, 1] < -0.2
    assert np.corrcoef(july.ravel(), brightness[:, 181:212].ravel())[0, 1] > 0.2


def test_tropics_have_no_season_to_couple_to():
    rng = np.random.default_rng(7)
    brightness = rng.standard_normal((400, 60))
    flat = climate(26.0 + np.array([0.0, 0.4] * 6), low_c=18.0, high_c=36.0)
    daily = daily_temperature(
        flat, DAYS[:60], np.full((400, 60), 0.5), brightness, rng.standard_normal((400, 60))
    )
    link = np.corrcoef(daily.mean_c.ravel(), brightness.ravel())[0, 1]
    assert -0.4 < link < 0.0


@pytest.mark.parametrize("sunset_rad", [0.0, 1.1, np.pi / 2.0, 2.0, np.pi])
@pytest.mark.parametrize("shift_h", [-3.2, 0.0, 2.7])
def test_weights_share_out_one(sunset_rad, shift_h):
    weights = hour_weights((CLOCK + shift_h)[None, :], np.array([sunset_rad]))
    assert weights.shape == (4, 1, 24)
    assert weights.sum(axis=0) == pytest.approx(1.0)
    assert (weights >= 0.0).all()
    assert (weights <= 1.0 + 1e-12).all()


def minute_curve(sunset_rad, low_c=5.0, high_c=15.0):
    """Temperature of one of many like days by the minute, as (sun time, temperature)."""
    minutes = (np.arange(1440) + 0.5) / 60.0
    before, low, high, after = hour_weights(minutes[None, :], np.array([sunset_rad]))
    return minutes, (before + high)[0] * high_c + (low + after)[0] * low_c


def test_coldest_at_sunrise_and_warmest_in_the_early_afternoon():
    minutes, temp_c = minute_curve(np.pi / 2.0)
    assert minutes[temp_c.argmin()] == pytest.approx(6.0, abs=0.02)
    # Parton and Logan: 1.86 hours after noon.
    assert minutes[temp_c.argmax()] == pytest.approx(13.86, abs=0.02)
    assert temp_c.min() == pytest.approx(5.0, abs=0.01)
    assert temp_c.max() == pytest.approx(15.0, abs=0.01)


@pytest.mark.parametrize("sunset_rad", [0.0, 1.1, np.pi / 2.0, 2.0, np.pi])
def test_temperature_does_not_jump(sunset_rad):
    _, temp_c = minute_curve(sunset_rad)
    steps = np.abs(np.diff(np.append(temp_c, temp_c[0])))
    # 10 C between extremes at least 3 hours apart: under 0.1 C a minute.
    assert steps.max() < 0.1


def test_hours_average_to_the_day_and_reach_its_extremes():
    weights = hour_weights(np.tile(CLOCK, (7, 1)), np.full(7, 1.4))
    daily = DailyTemperature(np.full((2, 7), 12.0), np.full((2, 7), 8.0))
    temp_c, low_c = hourly_temperature(daily, weights)
    assert temp_c.mean(axis=-1) == pytest.approx(12.0)
    assert np.ptp(temp_c, axis=-1) == pytest.approx(8.0, abs=0.4)
    assert temp_c.min(axis=-1) == pytest.approx(low_c, abs=0.3)


def test_night_between_unlike_days_joins_them():
    weights = hour_weights(np.tile(CLOCK, (4, 1)), np.full(4, np.pi / 2.0))
    daily = DailyTemperature(np.array([[0.0, 0.0, 10.0, 10.0]]), np.full((1, 4), 6.0))
    temp_c, _ = hourly_temperature(daily, weights)
    night = temp_c.reshape(-1)[18:32]
    assert np.abs(np.diff(night)).max() < 2.5
