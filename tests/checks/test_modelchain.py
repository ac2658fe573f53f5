"""A typical year through our chain and through pvlib's, piece by piece the same physics.

What differs on purpose, and how the tests remove it:

- pvlib's chain applies the incidence-angle loss to the beam alone. Its ``FD`` takes one factor for
  all diffuse light, so it gets ours of the even sky; left is that we count the light around the
  sun with the beam. The last test puts the light together by parts, so that nothing is left.
- pvlib's chain has no soiling: it is run on from the effective irradiance, less the soiling.
- A flat panel's beam is GHI - DHI here and DNI cos(zenith) there; the file's columns do not add up
  in each hour. The last test takes ours on the flat panel.
- Our power is interpolated from a table. Snow and the controller's loss are switched off.
"""

import pathlib

import numpy as np
import pandas as pd
import pvlib
import pytest
from pvlib import iam, irradiance, location, modelchain, pvsystem

from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.parts import part_table
from solarsim.solar.cell_temperature import MOUNTINGS
from solarsim.solar.glass import diffuse_iam
from solarsim.solar.module import fit_panels
from solarsim.solar.output import panel_output
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.record import Weather

pytestmark = [
    # pvlib 0.16 asks pandas 3.1 for the day of year by its old name.
    pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear is deprecated"),
    # pvlib's search for the maximum divides nothing by nothing in dark hours.
    pytest.mark.filterwarnings("ignore:invalid value encountered in divide:RuntimeWarning"),
]

GREENSBORO = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
SOILING_SHARE = 0.04


@pytest.fixture(scope="module")
def weather():
    year = read_weather_file(GREENSBORO)
    return Weather(
        place=year.place,
        times=year.times,
        **{
            name: getattr(year, name)[None, :]
            for name in (
                "ghi_w_m2",
                "dni_w_m2",
                "dhi_w_m2",
                "temp_air_c",
                "wind_speed_m_s",
                "relative_humidity",
                "albedo",
            )
        },
        # Snow has no counterpart in the other chain.
        snowfall_mm=np.zeros((1, 1)),
        zenith_deg=year.sun.zenith_deg[None, :],
        azimuth_deg=year.sun.azimuth_deg[None, :],
        dni_extra_w_m2=year.sun.dni_extra_w_m2[None, :],
        source=year.source,
    )


@pytest.fixture(scope="module")
def panels():
    return Panels(**(part_table("panels", "200 W rigid") | {"soiling_share": SOILING_SHARE}))


def our_kwh(weather, panels, **changes):
    chosen = Panels(**(panels.model_dump() | changes))
    settings = {"bus_voltage_v": 13.5, "parking": "open field", "brush_snow": "never"}
    found = panel_output(weather, chosen, Controller(efficiency=1.0), **settings)
    return float(found.power_w.sum()) / 1000.0


def chain(weather, panels, *, tilt_deg=0.0, azimuth_deg=180.0):
    """Pvlib's chain up to the light, temperature and power of one panel at mid-hour sun."""
    module = fit_panels(panels)
    mounting = MOUNTINGS[panels.mounting]
    array = pvsystem.Array(
        pvsystem.FixedMount(tilt_deg, azimuth_deg),
        albedo=pd.Series(weather.albedo[0], index=weather.times + pd.Timedelta(minutes=30)),
        module_parameters={
            "alpha_sc": module.alpha_isc_a_k,
            "a_ref": module.modified_ideality_v,
            "I_L_ref": module.light_current_a,
            "I_o_ref": module.saturation_current_a,
            "R_sh_ref": module.shunt_ohm,
            "R_s": module.series_ohm,
            "EgRef": 1.121,
            "dEgdT": -0.0002677,
            "FD": diffuse_iam(tilt_deg)[0],
        },
        temperature_model_parameters={
            "a": mounting.intercept,
            "b": mounting.wind_slope,
            "deltaT": mounting.rise_c,
        },
    )
    place = weather.place
    whole = modelchain.ModelChain(
        pvsystem.PVSystem(arrays=[array]),
        location.Location(place.latitude_deg, place.longitude_deg, altitude=place.elevation_m),
        transposition_model="haydavies",
        dc_model="desoto",
        ac_model=lambda _: None,
        aoi_model="physical",
        spectral_model="no_loss",
        temperature_model="sapm",
    )
    hours = pd.DataFrame(
        {
            "ghi": weather.ghi_w_m2[0],
            "dni": weather.dni_w_m2[0],
            "dhi": weather.dhi_w_m2[0],
            "temp_air": weather.temp_air_c[0],
            "wind_speed": weather.wind_speed_m_s[0],
        },
        index=weather.times + pd.Timedelta(minutes=30),
    )
    return whole.run_model(hours), hours


def chain_kwh(whole):
    return float(np.nansum(whole.results.dc["p_mp"])) / 1000.0


def soiled_kwh(whole, hours, effective_w_m2):
    """Run pvlib's chain on from a given effective irradiance, less the soiling."""
    table = hours.assign(
        effective_irradiance=effective_w_m2 * (1.0 - SOILING_SHARE),
        poa_global=whole.results.total_irrad["poa_global"],
    )
    return chain_kwh(whole.run_model_from_effective_irradiance(table))


def report(capsys, label, ours, theirs):
    with capsys.disabled():
        print(f"\n{label}: ours {ours:.2f} kWh, pvlib {theirs:.2f} kWh, {ours / theirs - 1:+.3%}")


def test_flat_panel_without_soiling(weather, panels, capsys):
    whole, _ = chain(weather, panels)
    ours, theirs = our_kwh(weather, panels, soiling_share=0.0), chain_kwh(whole)
    report(capsys, "flat, clean", ours, theirs)
    assert ours == pytest.approx(theirs, rel=0.01)


def test_flat_panel_with_soiling(weather, panels, capsys):
    whole, hours = chain(weather, panels)
    theirs = soiled_kwh(whole, hours, whole.results.effective_irradiance)
    ours = our_kwh(weather, panels)
    report(capsys, "flat, soiled", ours, theirs)
    assert ours == pytest.approx(theirs, rel=0.01)


@pytest.mark.parametrize(("tilt_deg", "azimuth_deg"), [(0.0, 180.0), (30.0, 120.0)])
def test_the_same_light_to_the_last_watt(weather, panels, capsys, tilt_deg, azimuth_deg):
    """With the light put together from pvlib's own parts only rounding and the table are left."""
    whole, hours = chain(weather, panels, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)
    sun = whole.results.solar_position
    parts = irradiance.haydavies(
        tilt_deg,
        azimuth_deg,
        hours["dhi"],
        hours["dni"],
        irradiance.get_extra_radiation(hours.index),
        sun["apparent_zenith"],
        sun["azimuth"],
        return_components=True,
    )
    sky_iam, ground_iam = diffuse_iam(tilt_deg)
    around_sun = whole.results.total_irrad["poa_direct"] + parts["poa_circumsolar"]
    ground = whole.results.total_irrad["poa_ground_diffuse"]
    if tilt_deg == 0.0:
        around_sun = hours["ghi"] - parts["poa_isotropic"]
    effective = (
        around_sun * iam.physical(whole.results.aoi.clip(upper=90.0)).fillna(0.0)
        + parts["poa_isotropic"] * sky_iam
        + ground * ground_iam
    )
    theirs = soiled_kwh(whole, hours, effective)
    ours = our_kwh(weather, panels, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)
    report(capsys, f"tilt {tilt_deg:g}, same light", ours, theirs)
    assert ours == pytest.approx(theirs, rel=1e-3)
