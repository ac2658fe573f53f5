import pytest

from solarsim.inputs.calendar import stay_times
from solarsim.inputs.stay import Stay
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.monthly import monthly_table
from solarsim.weather.record import Place
from solarsim.weather.synthesis.runs import synthesise

TEMPERATE = Place("temperate", 47.8, 13.04, 425.0, "Europe/Vienna", 1.0)
ARCTIC = Place("arctic", 69.6, 18.9, 10.0, "Europe/Oslo", 1.0)
SOUTH = Place("south", -33.9, 151.2, 30.0, "Australia/Sydney", 10.0)


@pytest.fixture(scope="module", params=[TEMPERATE, ARCTIC, SOUTH], ids=lambda place: place.name)
def place(request):
    return request.param


@pytest.fixture(scope="module")
def climate(place):
    return load_site_climate(place)


@pytest.fixture(scope="module")
def rows(place, climate):
    return monthly_table(place, climate)


def test_months_are_the_climate_s(rows, climate):
    assert [row.month for row in rows] == list(range(1, 13))
    assert [row.ghi_kwh_m2_day for row in rows] == pytest.approx(climate.ghi_kwh_m2_day.tolist())
    assert [row.temp_air_c for row in rows] == pytest.approx(climate.temp_mean_c.tolist())


def test_rows_are_in_order_and_in_bounds(rows):
    for row in rows:
        assert 0.0 <= row.kt_p10 <= row.kt_p50 <= row.kt_p90 < 0.9
        assert row.temp_min_c < row.temp_air_c < row.temp_max_c
        assert 0.0 <= row.snow_share <= 1.0


def test_light_of_the_years_lies_around_the_month_s(rows, climate):
    for row in rows:
        dark, bright = row.ghi_p10_kwh_m2_day, row.ghi_p90_kwh_m2_day
        if row.ghi_kwh_m2_day > 0.05:
            assert dark < row.ghi_kwh_m2_day < bright
            # A month's standard deviation is 0.04 to 0.16 of its mean.
            assert 0.08 < (bright - dark) / row.ghi_kwh_m2_day < 0.45
        assert row.ghi_error_share == climate.ghi_error_share[row.month - 1]


@pytest.mark.parametrize("month", [1, 7])
def test_a_week_s_stay_has_the_light_of_the_month_s_middle(month):
    climate = load_site_climate(TEMPERATE)
    row = monthly_table(TEMPERATE, climate)[month - 1]
    times = stay_times(Stay(month=month, days=7), TEMPERATE.timezone, 1.0)[: 7 * 24]
    runs = synthesise(TEMPERATE, climate, times, runs=400, seed=3, site_uncertainty=False)
    ghi = runs.ghi_w_m2.mean(axis=1) * 0.024
    error = ghi.std() / 20.0
    assert ghi.mean() == pytest.approx(row.ghi_mid_kwh_m2_day, abs=3.0 * error)
    # The middle of January is darker than the whole.
    assert (row.ghi_mid_kwh_m2_day < 0.97 * row.ghi_kwh_m2_day) == (month == 1)


def test_clearness_is_the_quantiles_where_nothing_is_cut():
    climate = load_site_climate(TEMPERATE)
    july = monthly_table(TEMPERATE, climate)[6]
    # Ranks 5.9 and 31.5 of 64; the middle of July is the 15th or the 16th.
    assert july.kt_p10 == pytest.approx(climate.kt_quantiles[6, 6], abs=0.015)
    assert july.kt_p50 == pytest.approx(climate.kt_quantiles[6, 31:33].mean(), abs=0.015)


def test_snow_comes_with_the_cold():
    arctic, south = (monthly_table(place, load_site_climate(place)) for place in (ARCTIC, SOUTH))
    assert arctic[1].snow_share > 0.9
    # One cold night in twenty Julys.
    assert arctic[6].snow_share <= 1.0 / 620.0
    assert max(row.snow_share for row in south) < 0.02


def test_polar_night_shows_no_clearness():
    december = monthly_table(ARCTIC, load_site_climate(ARCTIC))[11]
    assert (december.kt_p10, december.kt_p50, december.kt_p90) == (0.0, 0.0, 0.0)
    assert december.ghi_kwh_m2_day < 0.01
