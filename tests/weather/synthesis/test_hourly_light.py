import numpy as np
import pvlib
import pytest

from solarsim.weather.synthesis.hourly_light import diffuse_share, hourly_light, profile_weights

HOURS = np.arange(24) + 0.5
ANGLES = (HOURS - 12.0) * np.pi / 12.0


def ratio_to_total(angle_deg, sunset_deg):
    """r_t of Collares-Pereira and Rabl from our weights and the extraterrestrial profile."""
    angle, sunset = np.radians(angle_deg), np.radians(sunset_deg)
    beyond = (np.cos(angle) - np.cos(sunset)) / (np.sin(sunset) - sunset * np.cos(sunset))
    weight = profile_weights(np.array([angle]), np.array([sunset]))[0]
    return np.pi / 24.0 * weight * beyond


@pytest.mark.parametrize(
    ("angle_deg", "sunset_deg", "expected"),
    [
        # Rabl, Active Solar Collectors: 31 N, day 45.
        (7.5, 81.7, 0.153),
        (22.5, 81.7, 0.135),
        (37.5, 81.7, 0.106),
        # Duffie and Beckman, examples 2.13.2 (43 N, 23 August) and 2.13.1 (38 S, January).
        (22.5, 100.5, 0.118),
        (-52.5, 107.4, 0.076),
    ],
)
def test_profile_is_the_published_one(angle_deg, sunset_deg, expected):
    assert ratio_to_total(angle_deg, sunset_deg) == pytest.approx(expected, abs=0.0012)


@pytest.mark.parametrize(
    ("sunset_deg", "integral"),
    [(60, 1.002), (70, 0.995), (80, 0.991), (90, 0.992), (100, 0.995), (110, 1.001), (120, 1.007)],
)
def test_profile_closes_over_the_day(sunset_deg, integral):
    # A wrong sign in b would give 1.00 to 1.55.
    angles = np.linspace(-sunset_deg, sunset_deg, 4001)
    values = [ratio_to_total(angle, sunset_deg) for angle in angles]
    assert np.trapezoid(values, angles / 15.0) == pytest.approx(integral, abs=0.001)


def test_profile_never_turns_negative():
    for sunset in np.linspace(0.0, np.pi, 50):
        assert (profile_weights(ANGLES, np.array([sunset])) >= 0.0).all()


def test_diffuse_share_is_erbs():
    clearness = np.array([0.0, 0.1, 0.22, 0.35, 0.5, 0.65, 0.80, 0.9])
    expected = [1.0, 0.9910, 0.9802, 0.9043, 0.6591, 0.3336, 0.1653, 0.1650]
    assert diffuse_share(clearness) == pytest.approx(expected, abs=5e-4)


def test_diffuse_share_agrees_with_pvlib():
    rng = np.random.default_rng(3)
    zenith_deg = rng.uniform(0.0, 84.0, 500)
    ghi = rng.uniform(0.0, 1.0, 500) * 1361.0 * np.cos(np.radians(zenith_deg))
    theirs = pvlib.irradiance.erbs(ghi, zenith_deg, np.full(500, 172))
    share = diffuse_share(theirs["kt"])
    assert share * ghi == pytest.approx(theirs["dhi"], abs=1e-9)


def sample(days=20, runs=30, seed=4, scale=None):
    """Light of days at 47 N around midsummer, with a plain clear sky."""
    rng = np.random.default_rng(seed)
    cosine = np.maximum(0.27 + 0.63 * np.cos(ANGLES), 0.0)
    clear = np.tile(950.0 * cosine**1.15, (days, 1))
    kt = rng.uniform(0.02, 0.78, (runs, days))
    total = np.minimum(kt * 11500.0, clear.sum(axis=1)) if scale is None else scale * clear.sum(1)
    total = np.broadcast_to(total, (runs, days))
    arrays = {
        "profile": np.tile(profile_weights(ANGLES, np.array([2.0])) * cosine, (days, 1)),
        "cosine": np.tile(cosine, (days, 1)),
        "extra_w_m2": np.full((days, 24), 1325.0),
        "clear_ghi_w_m2": clear,
        "clear_dni_w_m2": np.tile(np.where(cosine > 0.0, 880.0 * cosine**0.2, 0.0), (days, 1)),
    }
    return total, kt, rng.standard_normal((runs, days, 24)), arrays


def test_days_keep_their_total_under_the_clear_sky():
    total, kt, normals, arrays = sample()
    light = hourly_light(total, kt, normals, **arrays)
    assert light.ghi_w_m2.sum(axis=-1) == pytest.approx(total, rel=1e-9)
    assert (light.ghi_w_m2 <= arrays["clear_ghi_w_m2"] * (1.0 + 1e-12)).all()
    assert (light.ghi_w_m2 >= 0.0).all()


def test_global_is_diffuse_and_beam_and_the_beam_is_bounded():
    total, kt, normals, arrays = sample()
    light = hourly_light(total, kt, normals, **arrays)
    closed = light.dhi_w_m2 + light.dni_w_m2 * arrays["cosine"]
    assert closed == pytest.approx(light.ghi_w_m2, abs=1e-9)
    assert (light.dhi_w_m2 >= 0.0).all()
    assert (light.dni_w_m2 >= 0.0).all()
    assert (light.dni_w_m2 <= arrays["clear_dni_w_m2"]).all()


@pytest.mark.parametrize("scale", [1.0, 1.0 - 1e-9, 0.999])
def test_a_day_as_bright_as_the_clear_sky_is_the_clear_sky(scale):
    total, kt, normals, arrays = sample(scale=scale)
    light = hourly_light(total, kt, normals, **arrays)
    assert light.ghi_w_m2.sum(axis=-1) == pytest.approx(total, rel=1e-9)
    near = (1.0 - scale) * arrays["clear_ghi_w_m2"].sum(axis=1).max() + 1e-6
    assert np.abs(light.ghi_w_m2 - arrays["clear_ghi_w_m2"]).max() <= near


def test_no_draw_no_scatter():
    total, kt, normals, arrays = sample(scale=0.3)
    light = hourly_light(total, kt, np.zeros_like(normals), **arrays)
    smooth = arrays["profile"] / arrays["profile"].sum(axis=1, keepdims=True)
    assert light.ghi_w_m2[0] == pytest.approx(smooth * total[0][:, None], rel=1e-12)


def test_scatter_is_largest_under_broken_cloud():
    def spread(clearness):
        total, kt, normals, arrays = sample(days=60, runs=40, scale=clearness)
        light = hourly_light(total, np.full_like(kt, clearness), normals, **arrays)
        smooth = arrays["profile"][0] / arrays["profile"][0].sum() * total[0, 0]
        return (light.ghi_w_m2[..., 12] / smooth[12]).std()

    # Relative spread of hours in two typical years: about 0.2, 0.4 and 0.1.
    assert 0.15 < spread(0.1) < 0.35
    assert 0.25 < spread(0.4) < 0.45
    assert spread(0.72) < 0.12


def test_dark_days_stay_dark():
    _, _, normals, arrays = sample(days=3, runs=2)
    dark = {name: np.zeros_like(value) for name, value in arrays.items()}
    dark["extra_w_m2"] = arrays["extra_w_m2"]
    light = hourly_light(np.zeros((2, 3)), np.full((2, 3), 0.4), normals, **dark)
    assert not light.ghi_w_m2.any()
    assert not light.dni_w_m2.any()
    assert not light.dhi_w_m2.any()
