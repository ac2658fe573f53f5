"""Clear sky against Ineichen's published figures and against three other clear-sky models.

Bird's, Haurwitz's and Hottel's skies are models of their own with their own air: they bound ours,
they do not define it.
"""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import atmosphere

from solarsim.data.accuracy.light import COMPARISONS
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import clear_light, clear_sky
from solarsim.weather.sky.sun import sun_at_mid_hour
from tests.checks.agree import assert_agrees, name_of

DATA = Path(__file__).parent / "data"
CLEAR = [comparison for comparison in COMPARISONS if comparison.subject == "clear sky"]


def light_at(zenith_deg, turbidity, *, elevation_m=0.0, pressure_pa=101325.0, extra_w_m2=1366.1):
    zenith = np.atleast_1d(np.asarray(zenith_deg, float))
    airmass = atmosphere.get_absolute_airmass(atmosphere.get_relative_airmass(zenith), pressure_pa)
    factor = np.full(zenith.shape, turbidity)
    return clear_light(zenith, airmass, factor, elevation_m, np.full(zenith.shape, extra_w_m2))


@pytest.mark.parametrize("comparison", CLEAR, ids=name_of)
def test_published_figures(comparison):
    assert_agrees(comparison)


def test_bird_s_morning_with_the_turbidity_of_its_air():
    sheet = pd.read_csv(DATA / "bird_clear_sky.csv", comment="#")
    aerosol = atmosphere.bird_hulstrom80_aod_bb(0.15, 0.1)
    # Kasten's pyrheliometric formula turns water and aerosol into the turbidity at airmass 2.
    turbidity = float(atmosphere.kasten96_lt(2.0, 1.5, aerosol))
    assert turbidity == pytest.approx(3.06, abs=0.01)
    light = light_at(
        sheet["zenith_deg"],
        turbidity,
        elevation_m=float(atmosphere.pres2alt(84000.0)),
        pressure_pa=84000.0,
        extra_w_m2=1367.0 * 1.0344,
    )
    # Seen: beam +3, +7 and +7 %; global -14 % ten degrees above the horizon, then -3 and +2 %.
    np.testing.assert_allclose(light.dni_w_m2, sheet["dni_w_m2"], rtol=0.08)
    np.testing.assert_allclose(light.ghi_w_m2[1:], sheet["ghi_w_m2"][1:], rtol=0.035)
    np.testing.assert_allclose(light.ghi_w_m2[0], sheet["ghi_w_m2"][0], rtol=0.15)
    assert light.ghi_w_m2.sum() == pytest.approx(sheet["ghi_w_m2"].sum(), rel=0.025)


@pytest.mark.parametrize("zenith_deg", [0.0, 30.0, 60.0])
def test_haurwitz_lies_between_clean_and_ordinary_air(zenith_deg):
    # B. Haurwitz, Journal of Meteorology 2 (1945): 1035, 888 and 487 W/m2.
    cosine = np.cos(np.radians(zenith_deg))
    haurwitz_w_m2 = 1098.0 * cosine * np.exp(-0.059 / cosine)
    clean, ordinary = (light_at(zenith_deg, factor).ghi_w_m2[0] for factor in (2.0, 4.0))
    assert ordinary < haurwitz_w_m2 < clean
    assert light_at(zenith_deg, 3.0).ghi_w_m2[0] == pytest.approx(haurwitz_w_m2, rel=0.04)


def test_hottel_s_august_noon():
    # Duffie and Beckman, examples 2.8.1 and 2.8.2: 43 N, 22 August 11:30, 270 m, mid-latitude
    # summer: beam 0.62 of 1338.5 W/m2, global 802.0 W/m2. The turbidity map has its own air.
    place = Place("", 43.0, -89.4, 270.0, "America/Chicago", -6.0)
    times = pd.DatetimeIndex(["2026-08-22 11:00"], tz="Etc/GMT+6")
    light = clear_sky(place, sun_at_mid_hour(place, times), times.day_of_year.to_numpy())
    assert light.ghi_w_m2[0] == pytest.approx(802.0, rel=0.05)
    assert light.dni_w_m2[0] == pytest.approx(0.62 * 1338.5, rel=0.05)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.0, 89.0), st.floats(1.5, 7.0), st.floats(0.0, 4000.0))
def test_haze_takes_and_nothing_exceeds_the_light_above(zenith_deg, turbidity, elevation_m):
    pressure_pa = float(atmosphere.alt2pres(elevation_m))
    settings = {"elevation_m": elevation_m, "pressure_pa": pressure_pa}
    light = light_at(zenith_deg, turbidity, **settings)
    hazier = light_at(zenith_deg, turbidity + 0.5, **settings)
    assert 0.0 <= hazier.ghi_w_m2[0] <= light.ghi_w_m2[0]
    assert 0.0 <= hazier.dni_w_m2[0] <= light.dni_w_m2[0] <= 1366.1
    cosine = np.cos(np.radians(zenith_deg))
    assert light.ghi_w_m2[0] <= 1366.1 * cosine * 1.001
    assert light.dni_w_m2[0] * cosine <= light.ghi_w_m2[0] + 1e-9
