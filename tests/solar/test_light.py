"""Light on the panel: worked examples, identities, and pvlib as the second opinion."""

import numpy as np
import pandas as pd
import pytest
from pvlib import iam, irradiance, solarposition

from solarsim.solar.glass import diffuse_iam
from solarsim.solar.light import beam_factors, plane_light
from solarsim.solar.parking import PARKINGS, Parking, sky_view_share

OPEN = PARKINGS["open field"]


def light_on(tilt_deg=0.0, azimuth_deg=180.0, parking=OPEN, **values):
    fields = {
        "ghi_w_m2": 0.0,
        "dni_w_m2": 0.0,
        "dhi_w_m2": 0.0,
        "dni_extra_w_m2": 1361.0,
        "albedo": 0.2,
        "zenith_deg": 45.0,
        "sun_azimuth_deg": 180.0,
    } | values
    arrays = {name: np.atleast_2d(np.asarray(value, float)) for name, value in fields.items()}
    return plane_light(**arrays, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg, parking=parking)


def sky(count=500, seed=4):
    """Consistent light under random suns above the horizon."""
    generator = np.random.default_rng(seed)
    zenith = generator.uniform(0.0, 89.5, count)
    cos_zenith = np.cos(np.radians(zenith))
    extra = generator.uniform(1320.0, 1415.0, count)
    dni = extra * generator.uniform(0.0, 0.75, count)
    dhi = extra * cos_zenith * generator.uniform(0.02, 0.4, count)
    return {
        "ghi_w_m2": dni * cos_zenith + dhi,
        "dni_w_m2": dni,
        "dhi_w_m2": dhi,
        "dni_extra_w_m2": extra,
        "albedo": generator.uniform(0.1, 0.8, count),
        "zenith_deg": zenith,
        "sun_azimuth_deg": generator.uniform(0.0, 360.0, count),
    }


def test_flat_panel_sees_the_ghi_itself():
    fields = sky()
    np.testing.assert_allclose(light_on(**fields).poa_w_m2[0], fields["ghi_w_m2"], rtol=1e-12)
    # Also where a file's three columns do not add up, and where mid-hour is already dark.
    odd = light_on(ghi_w_m2=[90.0, 20.0], dhi_w_m2=[120.0, 5.0], zenith_deg=[70.0, 90.4])
    np.testing.assert_allclose(odd.poa_w_m2[0], [90.0, 20.0], rtol=1e-12)


def test_worked_tilted_hour_with_an_even_sky():
    # Duffie and Beckman, example 2.15.1: 40 N, 20 February, 9 to 10 h, tilt 60 S, I 1.04 MJ/m2,
    # diffuse 0.796, albedo 0.6: beam 0.418, sky 0.597, ground 0.156.
    latitude, declination, hour = np.radians([40.0, -11.6, -37.5])
    cos_zenith = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(
        declination
    ) * np.cos(hour)
    zenith = np.degrees(np.arccos(cos_zenith))
    east = np.degrees(np.arcsin(np.cos(declination) * np.sin(hour) / np.sin(np.radians(zenith))))
    found = light_on(
        60.0,
        ghi_w_m2=1.04,
        dhi_w_m2=0.796,
        dni_w_m2=0.244 / cos_zenith,
        dni_extra_w_m2=1e12,  # makes the sky even
        albedo=0.6,
        zenith_deg=zenith,
        sun_azimuth_deg=180.0 + east,
    )
    assert found.poa_w_m2[0, 0] == pytest.approx(1.171, abs=0.005)


def test_even_sky_and_ground_terms():
    assert light_on(40.0, ghi_w_m2=100.0, dhi_w_m2=100.0, albedo=0.0).poa_w_m2[0, 0] == (
        pytest.approx(88.302, abs=1e-3)
    )
    assert light_on(45.0, ghi_w_m2=1000.0).poa_w_m2[0, 0] == pytest.approx(29.289, abs=1e-3)


def test_anisotropic_sky_of_a_published_day():
    times = pd.date_range("2014-06-24", periods=4, freq="6h", tz="America/Phoenix")
    sun = solarposition.get_solarposition(times, 32.2, -111.0, altitude=0.0)
    dni = np.array([0.0, 316.1949056, 939.95469881, 646.22886049])
    found = light_on(
        40.0,
        ghi_w_m2=[0.0, 79.73860422, 1042.48031487, 257.20751138],
        dni_w_m2=dni,
        dhi_w_m2=[0.0, 40.46149818, 118.45831879, 62.03376265],
        dni_extra_w_m2=1321.1655834833093,
        albedo=0.0,
        zenith_deg=sun["apparent_zenith"],
        sun_azimuth_deg=sun["azimuth"],
    )
    projection, _ = beam_factors(
        sun["apparent_zenith"].to_numpy(), sun["azimuth"].to_numpy(), 40.0, 180.0
    )
    np.testing.assert_allclose(
        found.poa_w_m2[0] - dni * projection, [0.0, 27.1775, 102.9949, 33.1909], atol=1e-4
    )


@pytest.mark.parametrize(("tilt_deg", "azimuth_deg"), [(10.0, 0.0), (30.0, 135.0), (90.0, 250.0)])
def test_tilted_light_equals_pvlib(tilt_deg, azimuth_deg):
    fields = sky()
    expected = irradiance.get_total_irradiance(
        tilt_deg,
        azimuth_deg,
        fields["zenith_deg"],
        fields["sun_azimuth_deg"],
        fields["dni_w_m2"],
        fields["ghi_w_m2"],
        fields["dhi_w_m2"],
        dni_extra=fields["dni_extra_w_m2"],
        albedo=fields["albedo"],
        model="haydavies",
    )["poa_global"]
    found = light_on(tilt_deg, azimuth_deg, **fields).poa_w_m2[0]
    np.testing.assert_allclose(found, expected, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize(
    ("aoi_deg", "share"), [(0, 1.0), (30, 0.9979), (45, 0.9880), (60, 0.9460), (75, 0.7741)]
)
def test_beam_through_the_glass(aoi_deg, share):
    # De Soto et al. (2006): Fresnel and Bouguer, index 1.526.
    zenith = np.array([float(aoi_deg)])
    beam = light_on(ghi_w_m2=500.0, zenith_deg=zenith)
    assert beam.absorbed_w_m2[0, 0] / 500.0 == pytest.approx(share, abs=1e-3)
    projection, passed = beam_factors(zenith, np.array([180.0]), 1e-9, 180.0)
    assert passed[0] / projection[0] == pytest.approx(share, abs=1e-3)


def test_beam_through_the_glass_equals_pvlib_between_nodes():
    zenith = np.linspace(0.0, 89.4, 2311)
    projection, passed = beam_factors(zenith, np.full(zenith.shape, 180.0), 1e-12, 180.0)
    np.testing.assert_allclose(passed, projection * iam.physical(zenith), atol=2e-6)


@pytest.mark.parametrize(
    "tilt_deg", [20.0, *(pytest.param(tilt, marks=pytest.mark.slow) for tilt in (0.0, 60.0))]
)
def test_sky_light_through_the_glass_is_the_integral(tilt_deg):
    step = np.pi / 1800
    zenith, azimuth = np.meshgrid(
        np.arange(step / 2, np.pi / 2, step), np.arange(step / 2, 2 * np.pi, step), indexing="ij"
    )
    tilt = np.radians(tilt_deg)
    cosine = np.cos(tilt) * np.cos(zenith) + np.sin(tilt) * np.sin(zenith) * np.cos(azimuth)
    weight = np.maximum(cosine, 0.0) * np.sin(zenith)
    share = iam.physical(np.degrees(np.arccos(np.clip(cosine, 0.0, 1.0))))
    expected = (weight * share).sum() / weight.sum()
    assert diffuse_iam(tilt_deg)[0] == pytest.approx(expected, abs=1e-3)


def test_flat_panel_loses_more_of_a_low_sun():
    winter = light_on(ghi_w_m2=200.0, zenith_deg=75.0)
    summer = light_on(ghi_w_m2=200.0, zenith_deg=25.0)
    assert winter.absorbed_w_m2[0, 0] < 0.8 * summer.absorbed_w_m2[0, 0]


def test_unknown_heading_is_the_mean_over_headings():
    fields = sky(200)
    mean = np.mean(
        [light_on(30.0, heading, **fields).poa_w_m2[0] for heading in np.arange(0.0, 360.0, 5.0)],
        axis=0,
    )
    unknown = light_on(30.0, None, **fields)
    np.testing.assert_allclose(unknown.poa_w_m2[0], mean, rtol=1e-3)
    eight = np.mean(
        [light_on(30.0, heading, **fields).absorbed_w_m2[0] for heading in np.arange(0, 360, 45)],
        axis=0,
    )
    assert unknown.absorbed_w_m2.sum() == pytest.approx(eight.sum(), rel=2e-3)


def test_unknown_heading_of_a_nearly_flat_panel_is_flat():
    fields = sky(200)
    # Below one degree Hay and Davies' ratio is held on a tilted panel only.
    fields["zenith_deg"] = np.minimum(fields["zenith_deg"], 88.0)
    fields["ghi_w_m2"] = fields["dhi_w_m2"] + fields["dni_w_m2"] * np.cos(
        np.radians(fields["zenith_deg"])
    )
    nearly = light_on(0.001, None, **fields)
    np.testing.assert_allclose(nearly.poa_w_m2, light_on(**fields).poa_w_m2, rtol=1e-3)


@pytest.mark.parametrize("tilt_deg", [0.0, 25.0])
def test_parking_hides_the_beam_and_its_share_of_the_sky(tilt_deg):
    canyon = Parking(sectors=((1.0, 40.0),), wind_share=1.0, source="test")
    fields = {"ghi_w_m2": 400.0, "dni_w_m2": 500.0, "dhi_w_m2": 100.0, "albedo": 0.0}
    fields |= {"sun_azimuth_deg": 120.0, "dni_extra_w_m2": 1e12}
    low = fields | {"zenith_deg": 53.130102}
    below = light_on(tilt_deg, parking=canyon, **low).poa_w_m2[0, 0]
    even_sky_w_m2 = 100.0 * (1.0 + np.cos(np.radians(tilt_deg))) / 2.0
    assert below == pytest.approx(even_sky_w_m2 * sky_view_share(canyon), rel=1e-9)
    high = fields | {"zenith_deg": 30.0}
    above = light_on(tilt_deg, parking=canyon, **high).poa_w_m2[0, 0]
    free = light_on(tilt_deg, **high).poa_w_m2[0, 0]
    assert free - above == pytest.approx(even_sky_w_m2 * (1 - sky_view_share(canyon)), rel=1e-9)


@pytest.mark.parametrize("parking", list(PARKINGS.values()))
@pytest.mark.parametrize("tilt_deg", [0.0, 15.0, 60.0])
def test_the_glass_and_the_surroundings_only_take(parking, tilt_deg):
    fields = sky()
    found = light_on(tilt_deg, None, parking, **fields)
    free = light_on(tilt_deg, None, **fields)
    assert (found.poa_w_m2 <= free.poa_w_m2 + 1e-9).all()
    assert (found.absorbed_w_m2 <= found.poa_w_m2 + 1e-9).all()
    assert (found.absorbed_w_m2 >= 0.0).all()
