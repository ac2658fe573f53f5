"""What holds for any load and any weather."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.inputs.profile import profile_from_data, read_profile
from solarsim.power.appliance import local_clock, window_share
from solarsim.power.demand import build_demand
from tests.power.weather_by_hand import changing_weather, weather_by_hand

WINDOW = st.tuples(
    st.integers(0, 95).map(lambda quarter: quarter / 4.0),
    st.integers(0, 96).map(lambda quarter: quarter / 4.0),
).filter(lambda window: window[0] != window[1])
WEEKDAYS = st.lists(
    st.sampled_from(["mon", "tue", "wed", "thu", "fri", "sat", "sun"]), min_size=1, unique=True
)


@st.composite
def loads(draw, name="x"):
    window = draw(WINDOW)
    length_h = (window[1] - window[0]) % 24.0 or 24.0
    return {
        "name": name,
        "power_w": draw(st.floats(1.0, 3000.0)),
        "current": draw(st.sampled_from(["dc", "ac"])),
        "count": draw(st.integers(1, 4)),
        "windows": [list(window)],
        "hours_per_day": length_h * draw(st.floats(0.01, 1.0)),
        "weekdays": draw(WEEKDAYS),
        "variation_share": draw(st.sampled_from([0.0, 0.3, 1.5])),
    }


def profile(*appliances):
    return profile_from_data({"profile": {"name": "x"}, "appliances": list(appliances)}, source="x")


@settings(max_examples=40, deadline=None)
@given(window=WINDOW, days=WEEKDAYS, shift=st.sampled_from([0.0, 5.5, 5.75]))
def test_windows_cover_their_length_on_every_day_of_use(window, days, shift):
    zone = {0.0: "UTC", 5.5: "Asia/Kolkata", 5.75: "Asia/Kathmandu"}[shift]
    weather = weather_by_hand(hours=24 * 21, timezone=zone, utc_offset_h=float(int(shift)))
    shares = window_share([window], local_clock(weather.times, zone), days)
    covered_h = sum(share.sum() for share in shares.values())
    length_h = (window[1] - window[0]) % 24.0 or 24.0
    # The first and the last day may be cut.
    assert abs(covered_h - 3 * len(days) * length_h) <= 2 * length_h
    assert all((share <= 1.0).all() for share in shares.values())


@settings(max_examples=40, deadline=None)
@given(load=loads())
def test_fixed_loads_use_watts_times_hours_on_their_days(load):
    load = load | {"variation_share": 0.0, "weekdays": ["wed"]}
    # Monday to Sunday twice: no window of a Wednesday is cut.
    demand = build_demand(profile(load), weather_by_hand(hours=24 * 14), seed=1)
    total_wh = demand.dc_w.sum() + demand.ac_w.sum()
    expected_wh = 2 * load["count"] * load["power_w"] * load["hours_per_day"]
    assert np.isclose(total_wh, expected_wh, rtol=1e-9)


@settings(max_examples=40, deadline=None)
@given(items=st.lists(loads(), min_size=1, max_size=4), seed=st.integers(0, 2**62))
def test_bounds_within_the_hour(items, seed):
    items = [item | {"name": f"load {number}"} for number, item in enumerate(items)]
    demand = build_demand(profile(*items), weather_by_hand(runs=3, hours=24 * 8), seed=seed)
    tolerance = 1.0 + 1e-9
    assert (demand.dc_w >= 0.0).all()
    assert (demand.dc_w <= demand.dc_peak_w * tolerance).all()
    assert (demand.ac_w <= demand.ac_peak_w * tolerance).all()
    # Mean of squares lies between the square of the mean and peak times mean.
    assert (demand.ac_square_w2 * tolerance >= demand.ac_w**2).all()
    assert (demand.ac_square_w2 <= demand.ac_peak_w * demand.ac_w * tolerance + 1e-9).all()
    assert (demand.ac_on_share >= 0.0).all()
    assert (demand.ac_on_share <= 1.0).all()
    assert ((demand.ac_on_share > 0.0) == (demand.ac_w > 0.0)).all()
    assert (demand.ac_on_share * demand.ac_peak_w * tolerance >= demand.ac_w).all()


@settings(max_examples=25, deadline=None)
@given(items=st.lists(loads(), min_size=2, max_size=4))
def test_loads_add_up(items):
    items = [
        item | {"name": f"load {number}", "variation_share": 0.0}
        for number, item in enumerate(items)
    ]
    weather = weather_by_hand(hours=24 * 8)
    every = build_demand(profile(*items), weather, seed=1)
    each = [build_demand(profile(item), weather, seed=1) for item in items]
    for name in ("dc_w", "ac_w", "dc_peak_w", "ac_peak_w"):
        total = sum(getattr(demand, name) for demand in each)
        np.testing.assert_allclose(getattr(every, name), total, rtol=1e-9, atol=1e-9)


@settings(max_examples=25, deadline=None)
@given(
    name=st.sampled_from(["weekend-couple", "remote-workers", "ski-trip"]),
    mean_c=st.floats(-30.0, 40.0),
    seed=st.integers(0, 1000),
)
def test_any_climate_gives_a_finite_demand_and_a_bounded_cabin(name, mean_c, seed):
    loads = read_profile(name)
    weather = changing_weather(runs=2, hours=24 * 5, mean_c=mean_c, seed=seed)
    demand = build_demand(loads, weather, seed=seed)
    gain_w = loads.cabin.people * loads.cabin.person_gain_w + weather.ghi_w_m2.max()
    hottest_c = weather.temp_air_c.max() + gain_w / loads.cabin.loss_w_k
    set_c = loads.cabin.heater_set_point_c
    assert (demand.cabin_temp_c <= max(hottest_c, set_c) + 1e-9).all()
    assert (demand.cabin_temp_c >= weather.temp_air_c.min() - 1e-9).all()
    assert np.isfinite(demand.dc_w).all()
    assert (demand.dc_w > 0.0).all()


@settings(max_examples=25, deadline=None)
@given(mean_c=st.floats(-20.0, 15.0), colder_k=st.floats(0.5, 10.0))
def test_colder_weather_never_takes_less_heat(mean_c, colder_k):
    from solarsim.power.cabin import cabin_hours

    loads = read_profile("ski-trip")
    heaters = [appliance for appliance in loads.appliances if appliance.response == "heater"]
    heat_w = []
    for shift_k in (0.0, colder_k):
        weather = changing_weather(runs=2, hours=24 * 4, mean_c=mean_c - shift_k)
        clock = local_clock(weather.times, weather.place.timezone)
        heat_w.append(cabin_hours(loads.cabin, weather, clock, heaters=heaters).heat_w.sum())
    assert heat_w[1] >= heat_w[0]
