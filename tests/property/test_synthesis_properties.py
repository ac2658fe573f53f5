"""What every drawn weather must satisfy, wherever and whenever it is asked for."""

import datetime as dt

import numpy as np
import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import brightest_sky
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.synthesis.daily import mean_ghi_wh_m2
from solarsim.weather.synthesis.hourly_light import hourly_light, profile_weights
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.synthesis.temperature import hour_weights


@st.composite
def places(draw):
    latitude = draw(st.floats(-57.0, 72.0))
    longitude = draw(st.floats(-180.0, 180.0))
    # Legal time lies up to three hours from the sun's, in half hours.
    offset = round(2.0 * (longitude / 15.0 + draw(st.floats(-1.5, 3.0)))) / 2.0
    elevation = draw(st.floats(-400.0, 4500.0))
    return Place("somewhere", latitude, longitude, elevation, "UTC", offset)


@st.composite
def climates(draw, place):
    low = draw(st.floats(0.01, 0.5))
    high = draw(st.floats(low + 0.02, 0.85))
    shape = draw(st.floats(0.3, 3.0))
    quantiles = np.tile(low + (high - low) * ((np.arange(64) + 0.5) / 64) ** shape, (12, 1))
    mean_c = draw(st.floats(-25.0, 28.0))
    half_range_c = draw(st.floats(0.0, 25.0))
    months = np.arange(12) * np.pi / 6.0
    return SiteClimate(
        kt_quantiles=quantiles,
        ghi_kwh_m2_day=quantiles.mean(axis=1)
        * monthly_extraterrestrial_kwh_m2(place.latitude_deg)[0],
        temp_mean_c=mean_c - half_range_c * np.cos(months),
        temp_low_c=mean_c - half_range_c - draw(st.floats(0.0, 30.0)),
        temp_high_c=mean_c + half_range_c + draw(st.floats(0.0, 25.0)),
        wind_m_s=draw(st.floats(0.0, 12.0)),
        precip_mm_day=np.full(12, draw(st.floats(0.0, 15.0))),
        coast_share=draw(st.floats(0.0, 1.0)),
        source="a made-up place",
    )


@st.composite
def questions(draw):
    place = draw(places())
    start = dt.datetime(2026, 1, 1) + dt.timedelta(hours=draw(st.integers(0, 8759)))
    offset = dt.timezone(dt.timedelta(hours=place.utc_offset_h))
    times = pd.date_range(
        start.replace(tzinfo=offset), periods=draw(st.integers(1, 200)), freq="h", unit="us"
    )
    return place, draw(climates(place)), times, draw(st.integers(0, 2**63 - 1))


@settings(max_examples=60, deadline=None)
@given(questions())
def test_weather_is_physical(question):
    place, climate, times, seed = question
    made = synthesise(place, climate, times, runs=3, seed=seed)
    cosine = np.maximum(np.cos(np.radians(made.zenith_deg)), 0.0)
    assert made.ghi_w_m2.shape == (3, len(times))
    assert (made.ghi_w_m2 >= 0.0).all()
    assert (made.dhi_w_m2 >= 0.0).all()
    assert (made.dni_w_m2 >= 0.0).all()
    assert not made.ghi_w_m2[:, made.zenith_deg[0] >= 90.0].any()
    assert np.allclose(made.ghi_w_m2, made.dhi_w_m2 + made.dni_w_m2 * cosine, rtol=0.0, atol=1e-9)
    sun = sun_at_mid_hour(place, times)
    clear = brightest_sky(place, sun, times.day_of_year.to_numpy())
    # Where the climate's own mean is as bright as a clear day, the clear sky may be raised.
    assert (made.ghi_w_m2 <= clear.ghi_w_m2 * 1.25 * (1.0 + 1e-9)).all()
    raised = any("turbidity" in note for note in made.notes)
    if not raised:
        assert (made.ghi_w_m2 <= clear.ghi_w_m2 * (1.0 + 1e-9)).all()
        assert (made.dni_w_m2 <= clear.dni_w_m2 * (1.0 + 1e-9)).all()
    assert ((made.relative_humidity > 0.0) & (made.relative_humidity <= 1.0)).all()
    assert (made.wind_speed_m_s >= 0.0).all()
    assert (made.snowfall_mm >= 0.0).all()
    assert not made.snowfall_mm[made.temp_air_c > 0.5].any()
    assert set(np.unique(made.albedo)) <= {0.2, 0.65}


@settings(max_examples=25, deadline=None)
@given(questions(), st.integers(0, 3), st.integers(1, 200))
def test_a_run_is_the_same_in_any_company(question, first, hours):
    place, climate, times, seed = question
    hours = min(hours, len(times))
    whole = synthesise(place, climate, times, runs=4, seed=seed)
    part = synthesise(place, climate, times[:hours], runs=1, first_run=first, seed=seed)
    for name in (
        "ghi_w_m2",
        "dni_w_m2",
        "dhi_w_m2",
        "temp_air_c",
        "wind_speed_m_s",
        "relative_humidity",
        "snowfall_mm",
        "albedo",
    ):
        assert np.array_equal(getattr(whole, name)[first, :hours], getattr(part, name)[0]), name


@settings(max_examples=40, deadline=None)
@given(
    st.integers(0, 2**32),
    st.floats(0.3, 2.9),
    st.floats(0.3, 1.0),
    st.floats(0.0, 1.0),
)
def test_days_keep_their_totals(seed, sunset, steepness, brightness):
    rng = np.random.default_rng(seed)
    angle = (np.arange(24) + 0.5 - 12.0) * np.pi / 12.0
    cosine = np.maximum(0.8 * (np.cos(angle) - np.cos(sunset)) / (1.0 - np.cos(sunset)), 0.0)
    clear = np.tile(1000.0 * cosine ** (1.0 + 0.3 * steepness), (5, 1))
    share = np.clip(brightness + 0.2 * rng.standard_normal((4, 5)), 0.0, 1.0)
    total = share * clear.sum(axis=1)
    light = hourly_light(
        total,
        rng.uniform(0.0, 0.8, (4, 5)),
        rng.standard_normal((4, 5, 24)),
        profile=np.tile(profile_weights(angle, np.array([sunset])) * cosine, (5, 1)),
        cosine=np.tile(cosine, (5, 1)),
        extra_w_m2=np.full((5, 24), 1361.0),
        clear_ghi_w_m2=clear,
        clear_dni_w_m2=np.full((5, 24), 900.0),
    )
    assert np.allclose(light.ghi_w_m2.sum(axis=-1), total, rtol=1e-9, atol=1e-9)
    assert (light.ghi_w_m2 <= clear * (1.0 + 1e-9)).all()
    assert (light.ghi_w_m2 >= 0.0).all()


@settings(max_examples=60, deadline=None)
@given(st.floats(-4.0, 4.0), st.floats(0.0, np.pi))
def test_temperature_weights_share_out_one_and_are_smooth(shift_h, sunset):
    weights = hour_weights((np.arange(24) + 0.5 + shift_h)[None, :], np.array([sunset]))
    assert np.allclose(weights.sum(axis=0), 1.0)
    assert (weights >= -1e-12).all()
    warm = (weights[0] + weights[2])[0]
    # Of like days the warm share runs round the clock without a jump.
    assert np.abs(np.diff(np.append(warm, warm[0]))).max() < 0.4


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_mean_light_by_day_keeps_the_months(data):
    place = data.draw(places())
    if abs(place.latitude_deg) > 60.0:
        return
    climate = data.draw(climates(place))
    daily = mean_ghi_wh_m2(climate, place.latitude_deg, np.arange(1, 366)) / 1000.0
    assert (daily >= 0.0).all()
    ends = np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    for month, end in enumerate(ends):
        days = daily[end - [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month] : end]
        assert np.isclose(days.mean(), climate.ghi_kwh_m2_day[month], rtol=1e-6)
