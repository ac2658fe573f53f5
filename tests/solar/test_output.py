"""The whole chain from weather to one panel's power."""

import dataclasses

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.panels import Controller
from solarsim.solar.cell_temperature import MOUNTINGS, cell_temperature
from solarsim.solar.module import fit_panels
from solarsim.solar.output import panel_output
from solarsim.solar.parking import PARKINGS
from solarsim.solar.single_diode import curve_parameters, max_power_point


def output(weather, panels, controller=None, **changes):
    settings = {"bus_voltage_v": 13.5, "parking": "open field", "brush_snow": "never"} | changes
    return panel_output(weather, panels, controller or Controller(), **settings)


def test_standard_conditions_give_the_datasheet(make_weather, make_panels):
    weather = make_weather(runs=1, days=1)
    noon = {
        "ghi_w_m2": np.full((1, 24), 1000.0),
        "dni_w_m2": np.full((1, 24), 1000.0),
        "dhi_w_m2": np.zeros((1, 24)),
        "zenith_deg": np.zeros((1, 1)),
        # Air so cold that the cells of a panel with an air gap stand at 25 C.
        "temp_air_c": np.full((1, 1), 25.0 - 1000.0 * np.exp(-3.27) - 2.0),
        "wind_speed_m_s": np.zeros((1, 1)),
    }
    found = output(dataclasses.replace(weather, **noon), make_panels(soiling_share=0.0))
    np.testing.assert_allclose(found.temp_cell_c, 25.0, atol=1e-9)
    np.testing.assert_allclose(found.power_w, 20.4 * 9.8 * 0.96, rtol=1e-4)


def test_chain_equals_its_parts_in_the_open(make_weather, make_panels):
    weather, panels = make_weather(), make_panels(soiling_share=0.0, mounting="close")
    found = output(weather, panels)
    lit = weather.ghi_w_m2 > 0.0
    np.testing.assert_allclose(found.poa_w_m2, weather.ghi_w_m2, rtol=1e-12)
    cells = cell_temperature(
        weather.ghi_w_m2, weather.temp_air_c, weather.wind_speed_m_s, MOUNTINGS["close"]
    )
    np.testing.assert_allclose(found.temp_cell_c, cells, rtol=1e-12)
    upper_w, _ = max_power_point(
        curve_parameters(fit_panels(panels), np.maximum(weather.ghi_w_m2, 1e-3), cells)
    )
    assert (found.power_w[lit] < upper_w[lit] * 0.96).all()
    assert found.power_w.sum() > 0.9 * 0.96 * upper_w[lit].sum()
    assert (found.power_w[~lit] == 0.0).all()
    assert found.notes == ()


def test_dirt_age_and_efficiency(make_weather, make_panels):
    weather = make_weather()
    clean = output(weather, make_panels(soiling_share=0.0)).power_w
    aged = output(weather, make_panels(soiling_share=0.0, age_years=10.0)).power_w
    np.testing.assert_allclose(aged, clean * 0.95, rtol=1e-12)
    ancient = make_panels(age_years=40.0, degradation_share_per_year=0.05)
    assert (output(weather, ancient).power_w == 0.0).all()
    lossless = output(weather, make_panels(soiling_share=0.0), Controller(efficiency=1.0)).power_w
    np.testing.assert_allclose(clean, lossless * 0.96, rtol=1e-12)
    dirty = output(weather, make_panels(soiling_share=0.3)).power_w
    share = dirty.sum() / clean.sum()
    assert 0.68 < share < 0.705


def test_mounting_orders_the_yield(make_weather, make_panels):
    weather = make_weather()
    energy = {name: output(weather, make_panels(mounting=name)).power_w.sum() for name in MOUNTINGS}
    assert energy["gap"] > energy["close"] > energy["glued"]


def test_every_parking_takes_light(make_weather, make_panels):
    weather, panels = make_weather(), make_panels()
    energy = {name: output(weather, panels, parking=name).power_w.sum() for name in PARKINGS}
    assert max(energy, key=energy.__getitem__) == "open field"
    assert energy["street canyon"] < energy["scattered trees"]
    assert energy["forest edge"] < energy["scattered trees"]
    notes = output(weather, panels, parking="forest edge").notes
    assert any("common practice, no source" in note for note in notes)


def test_pwm_gives_less_than_mppt_and_series_follow_the_bank(make_weather, make_panels):
    weather = make_weather()
    pwm = Controller(kind="pwm")
    one = output(weather, make_panels(), pwm).power_w
    assert (one <= output(weather, make_panels()).power_w + 1e-9).all()
    two = output(weather, make_panels(count=2, series=2), pwm, bus_voltage_v=27.0).power_w
    np.testing.assert_allclose(two, one, rtol=1e-12)
    assert (output(weather, make_panels(), pwm, bus_voltage_v=27.0).power_w == 0.0).all()


def test_count_changes_nothing(make_weather, make_panels):
    weather = make_weather()
    np.testing.assert_array_equal(
        output(weather, make_panels(count=1)).power_w, output(weather, make_panels(count=4)).power_w
    )


def test_unknown_heading_is_close_to_the_mean_power_over_headings(make_weather, make_panels):
    weather = make_weather(month=2)
    unknown = output(weather, make_panels(tilt_deg=30.0))
    each = [
        output(weather, make_panels(tilt_deg=30.0, azimuth_deg=float(heading))).power_w.sum()
        for heading in range(0, 360, 45)
    ]
    # Light is averaged, not power: a panel is a little worse than proportional to its light.
    assert unknown.power_w.sum() == pytest.approx(np.mean(each), rel=0.01)
    assert any("heading" in note for note in unknown.notes)


def test_snow_leaves_a_twentieth_of_the_light(make_weather, make_panels):
    fall = np.zeros((3, 120))
    fall[1, 0] = 5.0
    winter = {"snowfall_mm": fall, "temp_air_c": np.full((1, 1), -4.0)}
    weather = make_weather(month=1, **winter)
    found = output(weather, make_panels())
    bare = output(make_weather(month=1, temp_air_c=np.full((1, 1), -4.0)), make_panels())
    np.testing.assert_allclose(found.power_w[[0, 2]], bare.power_w[[0, 2]], rtol=1e-12)
    assert 0.02 < found.power_w[1].sum() / bare.power_w[1].sum() < 0.05
    assert (found.temp_cell_c[1] <= bare.temp_cell_c[1]).all()
    brushed = output(weather, make_panels(), brush_snow="morning")
    assert brushed.power_w[1].sum() > 0.9 * bare.power_w[1].sum()
    assert any("brushed" in note for note in found.notes)


def test_one_run_of_many_is_the_run_alone(make_weather, make_panels):
    weather = make_weather(month=1, snowfall_mm=np.random.default_rng(1).gamma(0.02, 4, (3, 120)))
    panels = make_panels(tilt_deg=20.0)
    together = output(weather, panels, parking="scattered trees")
    alone = {
        field.name: getattr(weather, field.name)[1:2]
        for field in dataclasses.fields(weather)
        if isinstance(getattr(weather, field.name), np.ndarray)
        and getattr(weather, field.name).shape[0] == 3
    }
    single = output(dataclasses.replace(weather, **alone), panels, parking="scattered trees")
    for name in ("power_w", "poa_w_m2", "temp_cell_c"):
        np.testing.assert_allclose(getattr(single, name)[0], getattr(together, name)[1], rtol=1e-12)


def test_sun_of_each_run_own_dates(make_weather, make_panels):
    weather = make_weather()
    each = {
        "zenith_deg": np.broadcast_to(weather.zenith_deg, (3, 120)).copy(),
        "azimuth_deg": np.broadcast_to(weather.azimuth_deg, (3, 120)).copy(),
    }
    for panels in (make_panels(), make_panels(tilt_deg=20.0, azimuth_deg=90.0)):
        np.testing.assert_allclose(
            output(dataclasses.replace(weather, **each), panels).power_w,
            output(weather, panels).power_w,
            rtol=1e-12,
        )


def test_polar_night_gives_nothing(make_weather, make_panels):
    dark = dict.fromkeys(("ghi_w_m2", "dni_w_m2", "dhi_w_m2"), np.zeros((3, 120)))
    found = output(make_weather(**dark), make_panels())
    assert (found.power_w == 0.0).all()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"parking": "car park"}, "stay.parking"),
        ({"brush_snow": "noon"}, "stay.brush_snow"),
        ({"bus_voltage_v": 0.0}, "bus_voltage_v"),
        ({"bus_voltage_v": float("nan")}, "bus_voltage_v"),
    ],
)
def test_refuses_unknown_settings(changes, field, make_weather, make_panels):
    with pytest.raises(InputError) as caught:
        output(make_weather(), make_panels(), **changes)
    assert caught.value.field == field
