import datetime as dt

import numpy as np
import pandas as pd
import pvlib
import pytest

from solarsim.weather.record import Place
from solarsim.weather.sky.air_mass import absolute_air_mass
from solarsim.weather.sky.clear_sky import (
    ClearSky,
    clear_light,
    clear_sky,
    linke_turbidity,
    make_room,
)
from solarsim.weather.sky.sun import sun_at_mid_hour

PLACES = [
    Place("temperate", 47.8, 13.04, 425.0, "Europe/Vienna", 1.0),
    Place("high plateau", -16.5, -68.1, 3650.0, "America/La_Paz", -4.0),
    Place("below the sea", 31.5, 35.5, -420.0, "Asia/Jerusalem", 2.0),
    Place("arctic", 69.6, 18.9, 10.0, "Europe/Oslo", 1.0),
]


def year_of(place):
    offset = dt.timezone(dt.timedelta(hours=place.utc_offset_h))
    return pd.date_range("2026-01-01", periods=8760, freq="h", tz=offset, unit="us")


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.name)
def test_turbidity_is_the_map_s(place):
    middles = pd.DatetimeIndex([f"2026-{month:02d}-15" for month in range(1, 13)], tz="UTC")
    by_pvlib = pvlib.clearsky.lookup_linke_turbidity(
        middles, place.latitude_deg, place.longitude_deg, interp_turbidity=False
    )
    assert linke_turbidity(place.latitude_deg, place.longitude_deg) == pytest.approx(
        by_pvlib.to_numpy()
    )


@pytest.mark.parametrize("corner", [(90.0, -180.0), (-90.0, 180.0), (0.0, 179.999)])
def test_turbidity_has_a_value_at_the_map_s_edges(corner):
    assert linke_turbidity(*corner).shape == (12,)


# pvlib's own look-up still calls what pandas has renamed.
@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.name)
def test_year_agrees_with_an_independent_run_of_the_model(place):
    times = year_of(place)
    ours = clear_sky(place, sun_at_mid_hour(place, times), times.day_of_year.to_numpy())
    middle = times + pd.Timedelta(minutes=30)
    location = pvlib.location.Location(
        place.latitude_deg, place.longitude_deg, altitude=place.elevation_m
    )
    # The model divides by the cosine, which is zero at night.
    with np.errstate(divide="ignore", invalid="ignore"):
        theirs = location.get_clearsky(middle, model="ineichen")
    assert ours.ghi_w_m2.sum() == pytest.approx(theirs["ghi"].sum(), rel=0.005)
    assert ours.dni_w_m2.sum() == pytest.approx(theirs["dni"].sum(), rel=0.005)
    assert np.abs(ours.ghi_w_m2 - theirs["ghi"].to_numpy()).max() < 15.0


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.name)
def test_clear_sky_lies_between_night_and_space(place):
    times = year_of(place)
    sun = sun_at_mid_hour(place, times)
    light = clear_sky(place, sun, times.day_of_year.to_numpy())
    down = sun.zenith_deg >= 90.0
    assert not light.ghi_w_m2[down].any()
    assert not light.dni_w_m2[down].any()
    above = sun.dni_extra_w_m2 * np.cos(np.radians(sun.zenith_deg))
    assert (light.ghi_w_m2[~down] <= above[~down]).all()
    assert (light.dni_w_m2 <= sun.dni_extra_w_m2).all()
    assert (light.ghi_w_m2 >= 0.0).all()


def flat_days(*totals_wh_m2):
    ghi = np.zeros((len(totals_wh_m2), 24))
    ghi[:, 8:16] = np.array(totals_wh_m2)[:, None] / 8.0
    return ClearSky(ghi.ravel(), 1.1 * ghi.ravel())


def test_room_is_made_only_where_the_mean_day_is_too_bright():
    clear = flat_days(5000.0, 5000.0, 500.0)
    raised, factor = make_room(clear, np.array([4800.0, 5100.0, 900.0]))
    daily = raised.ghi_w_m2.reshape(3, 24).sum(axis=1)
    assert daily == pytest.approx([5000.0, 5100.0 / 0.97, 500.0])
    assert raised.dni_w_m2.reshape(3, 24).sum(axis=1) == pytest.approx(1.1 * daily)
    assert factor == pytest.approx(5100.0 / 0.97 / 5000.0)


def test_room_leaves_an_ordinary_clear_sky_as_it_is():
    clear = flat_days(5000.0)
    raised, factor = make_room(clear, np.array([3000.0]))
    assert np.array_equal(raised.ghi_w_m2, clear.ghi_w_m2)
    assert factor == 1.0


def test_room_is_bounded():
    _, factor = make_room(flat_days(5000.0), np.array([9000.0]))
    assert factor == 1.25


@pytest.mark.parametrize("elevation_m", [-20.0, 437.5, 3650.0])
def test_clear_light_is_pvlibs_to_the_last_bit(elevation_m):
    zenith_deg = np.linspace(0.0, 89.99, 5000)
    airmass = absolute_air_mass(zenith_deg, elevation_m)
    turbidity, extra_w_m2 = np.linspace(1.5, 7.0, 5000), np.full(5000, 1370.1)
    ours = clear_light(zenith_deg, airmass, turbidity, elevation_m, extra_w_m2)
    theirs = pvlib.clearsky.ineichen(
        zenith_deg, airmass, turbidity, altitude=elevation_m, dni_extra=extra_w_m2
    )
    np.testing.assert_array_equal(ours.ghi_w_m2, theirs["ghi"])
    np.testing.assert_array_equal(ours.dni_w_m2, theirs["dni"])
