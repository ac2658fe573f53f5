"""How the months of light are found: satellite, reanalysis, and the quantiles bent to them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.build.satellite import satellite_irradiation
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.data import read_bundle
from solarsim.weather.climate.light import bend_to_means, reanalysis_ghi_kwh_m2_day
from solarsim.weather.climate.satellite import satellite_share
from solarsim.weather.record import Place
from solarsim.weather.sky.season import DAYS_IN_MONTH


def place(latitude, longitude, elevation=100.0):
    return Place("here", latitude, longitude, elevation, "Etc/UTC", 0.0)


def reanalysis(latitude, longitude):
    return reanalysis_ghi_kwh_m2_day(read_bundle(), latitude, longitude, place(latitude, longitude))


@given(st.floats(0.8, 1.2), st.integers(0, 1000))
def test_bending_meets_the_means_and_keeps_the_order(factor, seed):
    rng = np.random.default_rng(seed)
    kt = np.sort(rng.beta(3.0, 2.5, (12, 64)) * 0.7 + 0.03, axis=1)
    wanted = kt.mean(axis=1) * factor * rng.uniform(0.95, 1.05, 12)
    bent = bend_to_means(kt, wanted)
    assert (np.diff(bent, axis=1) >= 0).all()
    np.testing.assert_allclose(bent.mean(axis=1), wanted, rtol=2e-3)
    # Within the factor's range each month's clearest day stays as it was.
    if 0.95 < factor < 1.05:
        np.testing.assert_allclose(bent[:, -1], kt[:, -1], rtol=1e-6)


@pytest.mark.parametrize(("row", "column"), [(0, 0), (17, 33), (55, 55), (54, 37)])
def test_months_at_the_satellite_s_points_are_the_satellite_s(row, column):
    latitude, longitude = 45.0 + 0.2 * row, 5.0 + 0.2 * column
    climate = load_site_climate(place(latitude, longitude))
    # The file gives whole W/m2, which is up to 2 % of a December.
    np.testing.assert_allclose(
        climate.ghi_kwh_m2_day, satellite_irradiation()[row, column], rtol=0.005
    )
    assert climate.ghi_error_share == pytest.approx(0.04)
    assert "satellite" in climate.source


def test_the_satellite_fades_out_around_its_grid():
    assert satellite_share(50.0, 10.0) == 1.0
    assert satellite_share(50.0, 16.01) > 0.99
    # Three degrees of latitude, or as many kilometres to the east.
    assert satellite_share(59.0, 10.0) == 0.0
    assert satellite_share(57.5, 10.0) == pytest.approx(0.5)
    assert satellite_share(60.0, 16.0 + 1.5 / np.cos(np.radians(60.0))) == 0.0
    assert satellite_share(50.0, 16.0 + 1.5 / np.cos(np.radians(50.0))) == pytest.approx(0.5)
    assert "satellite" not in load_site_climate(place(40.4, -3.7)).source


@pytest.mark.slow
@given(st.floats(45.5, 52.5), st.floats(14.5, 17.5))
def test_no_step_of_light_across_the_satellite_s_border(latitude, longitude):
    here = load_site_climate(place(latitude, longitude)).ghi_kwh_m2_day
    there = load_site_climate(place(latitude + 0.005, longitude + 0.005)).ghi_kwh_m2_day
    np.testing.assert_allclose(here, there, rtol=0.05, atol=0.02)


def test_one_factor_a_year_keeps_the_reanalysis_near_the_satellite_s_seasons():
    # Before, one thickness of cloud for the year left December at 0.84 and January at 0.85 of the
    # grid while July had 0.94.
    points = [(45.4 + 2.0 * i, 5.6 + 2.0 * j) for i in range(6) for j in range(5)]
    grid = satellite_irradiation()
    ratios = []
    for latitude, longitude in points:
        own = reanalysis(latitude, longitude)
        seen = grid[round((latitude - 45.0) / 0.2), round((longitude - 5.0) / 0.2)]
        of_year = (own @ DAYS_IN_MONTH) / (seen @ DAYS_IN_MONTH)
        ratios.append(own / seen / of_year)
    mean = np.mean(ratios, axis=0)
    # April to June and October keep what five years of sun by chance had more or less.
    assert mean[[11, 0, 1]].mean() == pytest.approx(1.0, abs=0.03)
    assert mean == pytest.approx(1.0, abs=0.08)
    # Of one point and month; the 20-year mean of five years by chance scatters by 0.046.
    assert np.std(ratios) < 0.07


def test_a_warm_wet_month_is_brighter_than_the_reanalysis_has_it_and_a_dry_one_is_not():
    bundle = read_bundle()
    from solarsim.weather.climate.light import _cloud_correction

    darwin = _cloud_correction(bundle, -12.4, 130.9, place(-12.4, 130.9))
    # The rains of January against the dry July.
    assert darwin[0] / darwin[6] > 1.05
    desert = _cloud_correction(bundle, 23.0, 5.0, place(23.0, 5.0))
    assert desert.max() / desert.min() < 1.1


def test_the_wet_side_of_a_cell_is_darker_than_the_dry_one():
    # Japan in January: measured 1.45 kWh/m2 a day at Niigata, 2.5 and more on the Pacific side at
    # the same latitude (Japan Meteorological Agency's normals 1991-2020).
    wet, dry = reanalysis(37.89, 139.02), reanalysis(36.06, 140.12)
    assert wet[0] / dry[0] < 0.8
    # Measured in August: 4.97 and 4.69.
    assert wet[7] / dry[7] > 0.9


def test_the_error_is_larger_where_no_satellite_has_measured_and_in_cloudy_months():
    madrid = load_site_climate(place(40.4, -3.7))
    assert (madrid.ghi_error_share > 0.05).all()
    assert madrid.ghi_error_share[[11, 0]].min() > madrid.ghi_error_share[[6, 7]].max()
    assert madrid.ghi_error_share.max() < 0.13
