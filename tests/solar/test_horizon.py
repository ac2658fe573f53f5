"""A horizon by its compass directions, and the file that it is read from."""

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.horizon import Horizon, horizon_text, read_horizon
from solarsim.inputs.panels import Controller
from solarsim.solar.horizon import (
    horizon_beam,
    horizon_elevation,
    horizon_sky_view_share,
)
from solarsim.solar.output import panel_output
from solarsim.solar.parking import Parking, sky_view_share

SETTINGS = {"bus_voltage_v": 13.5, "parking": "open field", "brush_snow": "never"}


def test_straight_between_the_directions_and_around_north():
    ring = Horizon((10.0, 100.0, 350.0), (20.0, 0.0, 10.0))
    found = horizon_elevation(ring, np.array([10.0, 55.0, 100.0, 350.0, 0.0, 360.0, 355.0]))
    np.testing.assert_allclose(found, [20.0, 10.0, 0.0, 10.0, 15.0, 15.0, 12.5])
    np.testing.assert_allclose(horizon_elevation(Horizon((40.0,), (7.0,)), np.arange(4.0)), 7.0)


def test_hides_the_sun_that_stands_below_it():
    hill = Horizon((90.0, 180.0, 270.0), (0.0, 30.0, 0.0))
    zenith = np.array([[59.0, 61.0, 74.0, 76.0, 89.0, 91.0]])
    azimuth = np.array([[180.0, 180.0, 135.0, 135.0, 0.0, 0.0]])
    np.testing.assert_array_equal(horizon_beam(hill, zenith, azimuth), [[1, 0, 1, 0, 1, 0]])


@pytest.mark.parametrize("height_deg", [0.0, 15.0, 45.0, 90.0])
def test_an_even_horizon_leaves_the_square_of_its_cosine(height_deg):
    even = Horizon((0.0, 120.0, 240.0), (height_deg,) * 3)
    expected = np.cos(np.radians(height_deg)) ** 2
    assert horizon_sky_view_share(even) == pytest.approx(expected, abs=1e-12)
    sectors = Parking(sectors=((1.0, height_deg),), wind_share=1.0, source="test")
    assert horizon_sky_view_share(even) == pytest.approx(sky_view_share(sectors), abs=1e-12)


def test_sky_view_of_a_slope_is_the_integral():
    # From 0 in the north to 60 deg in the south: the mean of cos^2 over 0 to 60 deg.
    ramp = Horizon((0.0, 180.0), (0.0, 60.0))
    top = np.radians(60.0)
    expected = 0.5 + np.sin(2.0 * top) / (4.0 * top)
    assert horizon_sky_view_share(ramp) == pytest.approx(expected, rel=1e-6)


def test_no_horizon_is_the_open_field(make_weather, make_panels):
    weather = make_weather()
    for panels in (make_panels(), make_panels(tilt_deg=30.0, azimuth_deg=170.0)):
        free = panel_output(weather, panels, Controller(), **SETTINGS)
        flat = panel_output(
            weather, panels, Controller(), **SETTINGS, horizon=Horizon((0.0,), (0.0,))
        )
        np.testing.assert_array_equal(flat.power_w, free.power_w)


def test_hill_in_the_east_takes_the_morning(make_weather, make_panels):
    weather, panels = make_weather(), make_panels()
    east = Horizon((0.0, 45.0, 90.0, 135.0, 180.0), (0.0, 40.0, 40.0, 40.0, 0.0), "east.csv")
    free = panel_output(weather, panels, Controller(), **SETTINGS)
    found = panel_output(weather, panels, Controller(), **SETTINGS, horizon=east)
    low = 90.0 - weather.zenith_deg[0] < horizon_elevation(east, weather.azimuth_deg[0])
    lit = free.power_w > 0.0
    assert (found.beam_share[:, low] == 0.0).all()
    morning = lit & low
    assert morning.any()
    assert (found.power_w[morning] < free.power_w[morning]).all()
    sky = horizon_sky_view_share(east)
    np.testing.assert_array_less(
        sky * (free.poa_w_m2 * (1.0 - 1e-9))[:, ~low], found.poa_w_m2[:, ~low] + 1e-9
    )
    assert any("east.csv" in note for note in found.notes)


def test_horizon_takes_the_place_of_parking_but_not_of_its_wind(make_weather, make_panels):
    weather, panels = make_weather(), make_panels()
    ring = Horizon((0.0, 180.0), (5.0, 20.0))
    field = panel_output(weather, panels, Controller(), **SETTINGS, horizon=ring)
    among = SETTINGS | {"parking": "street canyon"}
    canyon = panel_output(weather, panels, Controller(), **among, horizon=ring)
    np.testing.assert_array_equal(canyon.poa_w_m2, field.poa_w_m2)
    assert (canyon.temp_cell_c >= field.temp_cell_c).all()
    assert canyon.temp_cell_c.max() > field.temp_cell_c.max()


def written(tmp_path, text):
    path = tmp_path / "hill.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "text",
    [
        "azimuth,elevation\n0,5\n90,10.5\n270,0\n",
        "elevation_deg, azimuth_deg\n5, 0\n10.5, 90\n0, 270\n",
        "# a hill\n270,0\n\n90,10.5 # east\n0,5\n360,5\n",
        "azimuth,elevation,what\n0,5,wood\n90,10.5,barn\n270,0,\n",
    ],
)
def test_reads_a_profile(tmp_path, text):
    path = written(tmp_path, text)
    found = read_horizon(path)
    assert found.azimuth_deg == (0.0, 90.0, 270.0)
    assert found.elevation_deg == (5.0, 10.5, 0.0)
    assert found.source == str(path)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "holds 0 directions"),
        ("azimuth,elevation\n", "holds 0 directions"),
        ("azimuth,height\n0,1\n", "needs the columns azimuth and elevation"),
        ("0,5\n400,5\n", "line 2: got 400 as azimuth; must lie from 0 to 360"),
        ("0,5\n10,-1\n", "line 2: got -1 as elevation; must lie from 0 to 90"),
        ("0,5\n10,95\n", "line 2: got 95 as elevation"),
        ("0,5\n10\n", "line 2: got '' as elevation"),
        ("0,5\n10,nan\n", "line 2: got 'nan' as elevation"),
        ("0,5\nten,5\n", "line 2: got 'ten' as azimuth"),
        ("0,5\n10,5\n10,6\n", "line 3: azimuth 10 is given already in line 2"),
        ("0,5\n10,5\n10,5\n", "line 3: azimuth 10 is given already in line 2"),
        ("0,5\n360,6\n", "line 2: azimuth 360 is given already in line 1"),
        ("0;5\n", "found ';'"),
    ],
)
def test_refuses_what_is_no_profile(tmp_path, text, said):
    path = written(tmp_path, text)
    with pytest.raises(InputError) as caught:
        read_horizon(path)
    assert said in str(caught.value)
    assert str(path) in str(caught.value)


@pytest.mark.parametrize(
    ("azimuth_deg", "elevation_deg"),
    [
        ((), ()),
        ((10.0, 5.0), (0.0, 0.0)),
        ((360.0,), (0.0,)),
        ((0.0,), (91.0,)),
        ((0.0, 0.0), (1, 1)),
    ],
)
def test_refuses_directions_out_of_order(azimuth_deg, elevation_deg):
    with pytest.raises(InputError):
        Horizon(azimuth_deg, elevation_deg)


def test_what_is_written_reads_back(tmp_path):
    ring = Horizon((0.0, 12.3456789, 359.5), (0.0, 41.25, 90.0))
    found = read_horizon(written(tmp_path, horizon_text(ring)))
    assert (found.azimuth_deg, found.elevation_deg) == (ring.azimuth_deg, ring.elevation_deg)
