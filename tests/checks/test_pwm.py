"""PWM controllers: a panel held at the bank's voltage, against the single-diode equation elsewhere.

The current is solved by pvlib (Lambert's W, Jain and Kapoor 2004) from the fitted five parameters.
"""

import dataclasses
import datetime as dt

import numpy as np
import pandas as pd
import pytest
from pvlib import pvsystem

from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.parts import part_table
from solarsim.solar.module import fit_panels
from solarsim.solar.output import panel_output
from solarsim.weather.record import Place, Weather

BANK_V = 13.0
ONE = np.ones((1, 1))


def standard_hour():
    """One hour of 1000 W/m2 from overhead, so cold that the cells of a gap mounting are at 25 C."""
    times = pd.date_range(dt.datetime(2026, 6, 21, 12, tzinfo=dt.UTC), periods=1, freq="h")
    # SAND2004-3535, eqs. 11 and 12, open rack, glass/cell/polymer: a -3.56, dT 3.
    rise_c = 1000.0 * np.exp(-3.56) + 3.0
    return Weather(
        place=Place("a meadow", 23.4, 0.0, 0.0, "Etc/UTC", 0.0),
        times=times,
        ghi_w_m2=1000.0 * ONE,
        dni_w_m2=1000.0 * ONE,
        dhi_w_m2=0.0 * ONE,
        temp_air_c=(25.0 - rise_c) * ONE,
        wind_speed_m_s=0.0 * ONE,
        relative_humidity=0.5 * ONE,
        snowfall_mm=0.0 * ONE,
        albedo=0.2 * ONE,
        zenith_deg=0.0 * ONE,
        azimuth_deg=180.0 * ONE,
        dni_extra_w_m2=1361.0 * ONE,
        source="made by hand",
    )


def at_25_c(panels, kind):
    """Output of an hour in which the cells stand at 25 C."""
    weather = standard_hour()
    controller = Controller(kind=kind, efficiency=1.0)
    settings = {"bus_voltage_v": BANK_V, "parking": "open field", "brush_snow": "never"}
    first = panel_output(weather, panels, controller, **settings)
    air_c = weather.temp_air_c + (25.0 - first.temp_cell_c)
    found = panel_output(
        dataclasses.replace(weather, temp_air_c=air_c), panels, controller, **settings
    )
    assert found.temp_cell_c[0, 0] == pytest.approx(25.0, abs=1e-9)
    return found.power_w[0, 0]


def panels_named(name, **changes):
    return Panels(**(part_table("panels", name) | {"soiling_share": 0.0} | changes))


def current_elsewhere(panels, voltage_v):
    module = fit_panels(panels)
    return float(
        pvsystem.i_from_v(
            voltage_v,
            module.light_current_a,
            module.saturation_current_a,
            module.series_ohm,
            module.shunt_ohm,
            module.modified_ideality_v,
            method="lambertw",
        )
    )


@pytest.mark.parametrize(
    "name", ["100 W rigid", "100 W rigid low voltage", "160 W rigid", "200 W rigid"]
)
def test_36_cells_on_a_12_v_bank_give_the_current_at_its_voltage(name):
    panels = panels_named(name)
    assert panels.cells_in_series == 36
    current_a = at_25_c(panels, "pwm") / BANK_V
    assert current_a == pytest.approx(current_elsewhere(panels, BANK_V), rel=0.02)
    # Far left of the knee that is almost the short-circuit current.
    assert current_a == pytest.approx(panels.isc_a, rel=0.03)


def test_60_cells_on_a_12_v_bank_lose_about_the_ratio_of_voltages():
    panels = panels_named("330 W residential 60 cells")
    assert panels.cells_in_series == 60
    share = at_25_c(panels, "pwm") / at_25_c(panels, "mppt")
    # Bank over Vmp, times what Isc is above Imp (5 to 8 % for crystalline silicon).
    assert share == pytest.approx(BANK_V / panels.vmp_v, rel=0.10)
    assert share == pytest.approx(BANK_V / panels.vmp_v * panels.isc_a / panels.imp_a, rel=0.02)


def test_36_cells_lose_far_less_than_60():
    small, large = panels_named("200 W rigid"), panels_named("330 W residential 60 cells")
    kept = [at_25_c(panels, "pwm") / at_25_c(panels, "mppt") for panels in (small, large)]
    assert kept[0] > 0.64 > 0.45 > kept[1]


def test_two_36_cell_panels_in_series_suit_a_24_v_bank_as_one_does_12_v():
    weather = standard_hour()
    settings = {"parking": "open field", "brush_snow": "never"}
    one = panel_output(
        weather, panels_named("200 W rigid"), Controller(kind="pwm"), bus_voltage_v=13.0, **settings
    )
    two = panel_output(
        weather,
        panels_named("200 W rigid", count=2, series=2),
        Controller(kind="pwm"),
        bus_voltage_v=26.0,
        **settings,
    )
    np.testing.assert_allclose(two.power_w, one.power_w, rtol=1e-12)
