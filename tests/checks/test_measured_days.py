"""Measured January days at 39.74 N 105.18 W, 1,829 m, against the light, the panels and the snow.

The data come with pvanalytics 0.2.2 (MIT); `data/measured_*.csv` say from which files. What a file
does not tell of its array (tilt, azimuth, rating, mounting) is named where it is used.
"""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from solarsim.inputs.panels import Panels
from solarsim.inputs.parts import part_table
from solarsim.solar.cell_temperature import MOUNTINGS, OPEN_RACK, cell_temperature
from solarsim.solar.light import plane_light
from solarsim.solar.module import fit_panels
from solarsim.solar.parking import parking_named
from solarsim.solar.single_diode import curve_parameters, max_power_point
from solarsim.solar.snow_cover import snow_cover
from solarsim.weather.record import Place
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.synthesis.hourly_light import diffuse_share

DATA = Path(__file__).parent / "data"
SITE = Place("a measuring station", 39.742, -105.18, 1829.0, "Etc/GMT+7", -7.0)


def read(name):
    frame = pd.read_csv(DATA / name, comment="#", parse_dates=["time"], index_col="time")
    return frame.set_axis(frame.index.tz_localize("Etc/GMT+7"))


@pytest.fixture(scope="module")
def light():
    return read("measured_light.csv")


@pytest.fixture(scope="module")
def sun(light):
    return sun_at_mid_hour(SITE, light.index)


def test_the_instruments_agree_with_each_other(light, sun):
    # Global against diffuse and beam: 1.015 to 1.033 a day, so nothing below is surer than 3 %.
    closure = light.dhi_w_m2 + light.dni_w_m2 * np.cos(np.radians(sun.zenith_deg))
    by_day = closure.groupby(light.index.day).sum() / light.ghi_w_m2.groupby(light.index.day).sum()
    assert by_day.to_numpy() == pytest.approx(1.025, abs=0.012)


@pytest.mark.parametrize("tilt_deg", [35.0, 40.0])
def test_light_on_the_plane_from_the_three_components(light, sun, tilt_deg):
    # Tilt and azimuth are not in the file: the data themselves say 35 to 40 degrees south.
    made = plane_light(
        ghi_w_m2=light.ghi_w_m2.to_numpy(),
        dni_w_m2=light.dni_w_m2.to_numpy(),
        dhi_w_m2=light.dhi_w_m2.to_numpy(),
        dni_extra_w_m2=sun.dni_extra_w_m2,
        albedo=np.full(len(light), 0.2),
        zenith_deg=sun.zenith_deg,
        sun_azimuth_deg=sun.azimuth_deg,
        tilt_deg=tilt_deg,
        azimuth_deg=180.0,
        parking=parking_named("open field"),
    ).poa_w_m2
    own = light.poa_w_m2.to_numpy()
    assert made.sum() / own.sum() == pytest.approx(1.0, abs=0.035)
    # Of hours that have 570 to 780 W/m2 on the mean of a day.
    assert np.sqrt(((made - own) ** 2).mean()) < 35.0


def test_diffuse_light_split_from_the_global(light, sun):
    cosine = np.cos(np.radians(sun.zenith_deg))
    clearness = light.ghi_w_m2 / (sun.dni_extra_w_m2 * np.maximum(cosine, 0.065))
    made = diffuse_share(clearness.to_numpy()) * light.ghi_w_m2
    day = light.index.day
    ratio = made.groupby(day).sum() / light.dhi_w_m2.groupby(day).sum()
    # A clear day and one with some cloud agree within the 15 % that such models are good for.
    assert ratio[2] == pytest.approx(1.10, abs=0.03)
    assert ratio[4] == pytest.approx(0.90, abs=0.03)
    # The 3rd has bright thin cloud: the global light is nearly a clear day's and half of it is
    # diffuse. An hourly clearness cannot tell that from a clear sky: twice the diffuse light.
    assert ratio[3] == pytest.approx(0.47, abs=0.03)


@pytest.mark.parametrize(
    ("array", "mounting", "bias_c", "error_c"),
    # The mountings are not in the files: the rack's panels are as cool as on an open rack, those
    # on the roof as warm as in a close mount.
    [("rack", OPEN_RACK, 2.5, 6.0), ("roof", MOUNTINGS["close"], 2.5, 6.0)],
)
def test_module_temperature(array, mounting, bias_c, error_c):
    hours = read("measured_modules.csv")
    hours = hours[(hours.array == array) & (hours.poa_w_m2 > 300.0)].dropna()
    assert len(hours) >= 15
    poa, wind = hours.poa_w_m2.to_numpy(), hours.wind_m_s.to_numpy()
    cell_c = cell_temperature(poa, hours.air_c.to_numpy(), wind, mounting)
    back_c = cell_c - mounting.rise_c * poa / 1000.0
    error = back_c - hours.module_c.to_numpy()
    # The panels are 17 to 20 C warmer than the air; the rack's are colder than the model in the
    # morning and warmer in the afternoon, by up to 9 C.
    assert abs(error.mean()) < bias_c
    assert np.sqrt((error**2).mean()) < error_c


def test_power_follows_light_and_cell_temperature():
    # The array's rating is not in the file: it is set by the 4th and tried on the days beside it.
    # On the morning of the 2nd and on the 6th snow lies on the panels: 2 % of the power and less.
    hours = read("measured_modules.csv")
    hours = hours[(hours.array == "rack") & (hours.poa_w_m2 > 150.0)].dropna(subset=["dc_w"])
    snowed = hours.index.day == 6
    assert (hours.dc_w / hours.poa_w_m2)[snowed].max() < 0.03 * 5.8
    hours = hours[np.isin(hours.index.day, (3, 4, 5))]
    module = fit_panels(Panels(**part_table("panels", "200 W rigid"), count=1))
    poa = hours.poa_w_m2.to_numpy()
    # The sensor sits on the panel's back.
    cell_c = hours.module_c.to_numpy() + OPEN_RACK.rise_c * poa / 1000.0
    made_w, _ = max_power_point(curve_parameters(module, poa, cell_c))
    first = hours.index.day == 4
    rating = (hours.dc_w[first].sum()) / made_w[first].sum()
    error = rating * made_w[~first] / hours.dc_w[~first].to_numpy() - 1.0
    assert len(error) >= 12
    # Hours from 166 to 1,002 W/m2 and from 2 to 47 C on the panel's back. In the afternoons the
    # array gives a tenth more of the sensor's light than in the mornings: they do not face alike.
    assert abs(error.mean()) < 0.08
    assert error.std() < 0.1


def test_snow_leaves_the_panels_as_the_rule_has_it_or_earlier():
    hours = read("measured_snow.csv")
    # The snow's hours are not in the file: nothing passes in the mornings of the 7th and the 8th,
    # so it is put into the nights before; 1 cm of snow as 1 mm of water.
    fall = np.zeros(len(hours))
    fall[(hours.index.day == 7) & (hours.index.hour == 3)] = 3.8
    fall[(hours.index.day == 8) & (hours.index.hour == 3)] = 2.5

    def covered(tilt_deg):
        return snow_cover(
            snowfall_mm=fall[None],
            temp_air_c=hours.air_c.to_numpy()[None],
            poa_w_m2=hours.poa_w_m2.to_numpy()[None],
            times=hours.index,
            tilt_deg=tilt_deg,
            brush_snow="never",
        )[0]

    lit = hours.poa_w_m2 > 60.0
    clean = (hours.current_a / hours.poa_w_m2)[lit & (hours.index.day >= 9)].median()
    seen = 1.0 - (hours.current_a / hours.poa_w_m2 / clean).clip(upper=1.0)
    on = {day: lit & (hours.index.day == day) for day in (7, 8, 10)}
    # The sun's angles of incidence in the file are those of a panel that leans by some 30 degrees.
    rule = pd.Series(covered(30.0), index=hours.index)
    # Half the panel was free by the noon of the 7th and most of it on the 8th; the rule keeps
    # more of it covered on both days: it waits for air that is mild for the light.
    assert 0.4 < seen[on[7]].mean() < rule[on[7]].mean()
    assert 0.3 < seen[on[8]].mean() < rule[on[8]].mean()
    assert seen[on[10]].mean() < 0.1
    assert rule[on[10]].mean() < 0.35
    # A flat panel, which sheds nothing, stays covered while the air is colder than +2 C.
    assert covered(0.0)[hours.index.day >= 9].min() == 1.0
