"""The embedded climate of a site against stations, and its invariants over the world."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.errors import PlaceError
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import (
    daily_extraterrestrial_kwh_m2,
    monthly_extraterrestrial_kwh_m2,
)
from solarsim.weather.sky.season import DAYS_IN_MONTH

# Mean and mean-day values of H0 (MJ/m2/day) for the 15th of each month, FAO-56 annex 2 table 2.6.
FAO_DAYS = np.array([15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349.0])
FAO_TABLE = {
    50: [8.9, 14.4, 22.2, 31.5, 38.5, 41.7, 40.2, 34.4, 25.7, 16.9, 10.2, 7.5],
    40: [15.0, 20.4, 27.2, 34.7, 39.7, 41.9, 40.8, 36.7, 30.0, 22.5, 16.3, 13.6],
    0: [36.2, 37.5, 37.9, 36.8, 34.8, 33.4, 33.9, 35.7, 37.2, 37.4, 36.3, 35.6],
    -30: [43.1, 39.6, 34.3, 27.2, 21.4, 18.5, 19.6, 24.3, 31.1, 37.5, 42.0, 43.9],
}
# Typical-year files of three weather stations that ship with pvlib:
# name, latitude, longitude, elevation, annual GHI (kWh/m2) and mean temperature (C).
STATIONS = {
    "723170TYA.CSV": (36.10, -79.95, 273.0, 1566.2, 14.42),
    "703165TY.csv": (55.317, -160.517, 7.0, 829.2, 4.42),
    "12839.tm2": (25.80, -80.267, 2.0, 1792.6, 24.31),
}


def place(latitude, longitude, elevation=100.0):
    return Place("here", latitude, longitude, elevation, "Etc/UTC", 0.0)


def annual(climate):
    return float(climate.ghi_kwh_m2_day @ DAYS_IN_MONTH)


@pytest.mark.parametrize("latitude", FAO_TABLE)
def test_extraterrestrial_matches_the_published_table(latitude):
    found_mj = daily_extraterrestrial_kwh_m2(latitude, FAO_DAYS) * 3.6
    np.testing.assert_allclose(found_mj, FAO_TABLE[latitude], atol=0.12)


def test_extraterrestrial_in_polar_night_and_day():
    assert daily_extraterrestrial_kwh_m2(72.0, np.array([355.0]))[0] == 0.0
    assert daily_extraterrestrial_kwh_m2(72.0, np.array([172.0]))[0] > 11.0


@pytest.mark.parametrize("name", STATIONS)
def test_annual_irradiation_and_temperature_of_stations(name):
    latitude, longitude, elevation, ghi_kwh_m2, temp_c = STATIONS[name]
    climate = load_site_climate(place(latitude, longitude, elevation))
    assert annual(climate) == pytest.approx(ghi_kwh_m2, rel=0.04)
    assert climate.temp_mean_c.mean() == pytest.approx(temp_c, abs=1.2)


def test_months_and_winter_days_of_greensboro():
    import pvlib

    # The file's own irradiation; each hour stands at its end.
    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    data, _ = pvlib.iotools.read_tmy3(path, map_variables=True)
    daily = data["ghi"].to_numpy().reshape(365, 24).sum(axis=1) / 1000.0
    month = np.repeat(np.arange(12), DAYS_IN_MONTH)
    station = np.bincount(month, daily) / DAYS_IN_MONTH
    latitude, longitude, elevation, *_ = STATIONS["723170TYA.CSV"]
    climate = load_site_climate(place(latitude, longitude, elevation))
    ratio = climate.ghi_kwh_m2_day / station
    assert ratio.mean() == pytest.approx(1.02, abs=0.03)
    assert ratio.std() < 0.08
    winter = np.isin(month, (11, 0, 1))
    kt = daily / daily_extraterrestrial_kwh_m2(latitude, np.arange(1.0, 366.0))
    found = np.quantile(climate.kt_quantiles[[11, 0, 1]], [0.10, 0.25, 0.50, 0.75])
    np.testing.assert_allclose(found, np.quantile(kt[winter], [0.10, 0.25, 0.50, 0.75]), atol=0.06)


def test_monthly_irradiation_is_the_mean_of_the_quantiles():
    climate = load_site_climate(place(47.8, 13.04, 424.0))
    h0, _ = monthly_extraterrestrial_kwh_m2(47.8)
    np.testing.assert_allclose(climate.ghi_kwh_m2_day, climate.kt_quantiles.mean(axis=1) * h0)


def test_known_contrasts():
    sahara, scotland = load_site_climate(place(23.0, 5.0)), load_site_climate(place(57.0, -4.5))
    assert sahara.ghi_kwh_m2_day[0] > 5.0 * scotland.ghi_kwh_m2_day[0]
    assert sahara.precip_mm_day.sum() < 0.1 * scotland.precip_mm_day.sum()
    south = load_site_climate(place(-33.9, 18.6))
    assert south.ghi_kwh_m2_day[0] > 2.0 * south.ghi_kwh_m2_day[6]
    assert south.temp_mean_c[0] > south.temp_mean_c[6]
    assert south.coast_share > 0.5
    assert sahara.coast_share == 0.0


def test_temperature_follows_elevation():
    low, high = (
        load_site_climate(place(46.5, 9.8, 400.0)),
        load_site_climate(place(46.5, 9.8, 1800)),
    )
    # 5.5 K/km in summer; in winter the colder months fall less with height.
    fall_c = low.temp_mean_c - high.temp_mean_c
    assert fall_c[6] == pytest.approx(1400 * 0.0055)
    assert 1400 * 0.004 < fall_c[0] <= fall_c[6]
    assert low.temp_low_c - high.temp_low_c == pytest.approx(fall_c.min())
    np.testing.assert_array_equal(low.kt_quantiles, high.kt_quantiles)


@settings(max_examples=150, deadline=None)
@given(st.floats(-57, 72), st.floats(-180, 180))
def test_any_place_gives_a_physical_climate_or_says_why(latitude, longitude):
    try:
        climate = load_site_climate(place(latitude, longitude))
    except PlaceError as error:
        assert "57 S and 72 N" in str(error)  # noqa: PT017
        return
    assert climate.kt_quantiles.shape == (12, 64)
    assert (np.diff(climate.kt_quantiles, axis=1) >= 0).all()
    assert climate.kt_quantiles.min() >= 0.01
    assert climate.kt_quantiles.max() <= 0.85
    assert (climate.ghi_kwh_m2_day >= 0).all()
    assert 600 < annual(climate) < 2800
    assert climate.temp_low_c < climate.temp_mean_c.min()
    assert climate.temp_mean_c.max() < climate.temp_high_c
    assert 0 < climate.wind_m_s < 13
    assert (climate.precip_mm_day >= 0).all()
    assert 0 <= climate.coast_share <= 1


@pytest.mark.slow
@given(st.floats(46.0, 50.0), st.floats(8.0, 16.0))
def test_neighbours_have_nearly_the_same_climate(latitude, longitude):
    here = load_site_climate(place(latitude, longitude))
    there = load_site_climate(place(latitude + 0.01, longitude + 0.01))
    np.testing.assert_allclose(here.kt_quantiles, there.kt_quantiles, atol=0.03)
    np.testing.assert_allclose(here.temp_mean_c, there.temp_mean_c, atol=0.5)


def test_longitude_wraps():
    east, west = load_site_climate(place(66.0, 180.0)), load_site_climate(place(66.0, -180.0))
    np.testing.assert_array_equal(east.kt_quantiles, west.kt_quantiles)
    np.testing.assert_array_equal(east.temp_mean_c, west.temp_mean_c)


@pytest.mark.parametrize(("latitude", "longitude"), [(72.1, 25.0), (-60.0, 0.0), (90.0, 0.0)])
def test_outside_the_latitudes_is_refused(latitude, longitude):
    with pytest.raises(PlaceError, match="between 57 S and 72 N"):
        load_site_climate(place(latitude, longitude))


def test_open_sea_is_refused_and_a_coastal_sea_cell_is_not():
    with pytest.raises(PlaceError, match="none within 100 km"):
        load_site_climate(place(45.0, -35.0))
    # Half a degree off the Algarve: sea in every grid, but land lies within 100 km.
    near = load_site_climate(place(36.6, -8.0, 0.0))
    assert 1500 < annual(near) < 2100


def test_an_island_that_the_tables_lack():
    # Tenerife: 1700 kWh/m2 a year in the cloudy north to 2100 in the south, 21 C at Santa Cruz
    # (from memory).
    tenerife = load_site_climate(place(28.468, -16.255, 5.0))
    assert 1700 < annual(tenerife) < 2100
    assert tenerife.temp_mean_c.mean() == pytest.approx(21.0, abs=2.0)
    assert tenerife.coast_share == 1.0


@pytest.mark.parametrize(
    ("latitude", "longitude", "low", "high"),
    # Annual kWh/m2 in the towns (from memory): Honolulu about 2000, Ponta Delgada about
    # 1500, Port Louis about 1950.
    [(21.31, -157.86, 1900, 2100), (37.74, -25.67, 1450, 1700), (-20.16, 57.5, 1850, 2100)],
    ids=["Hawaii", "Azores", "Mauritius"],
)
def test_an_island_without_any_light_in_the_data_has_its_latitude_s(latitude, longitude, low, high):
    climate = load_site_climate(place(latitude, longitude, 5.0))
    assert low < annual(climate) < high
    assert "latitude alone" in climate.source
    assert "latitude alone" not in load_site_climate(place(47.8, 13.04)).source


def test_the_sea_around_such_an_island_is_refused():
    with pytest.raises(PlaceError, match="none within 100 km"):
        load_site_climate(place(25.0, -165.0))


def test_the_bundle_is_read_once(monkeypatch):
    load_site_climate(place(47.8, 13.04))

    def read(*_given, **_more):
        raise AssertionError("the bundle is kept")

    monkeypatch.setattr(np, "load", read)
    for longitude in range(20):
        load_site_climate(place(48.0, float(longitude)))
