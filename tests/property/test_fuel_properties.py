"""What holds for any fuel, any people and any weather."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.inputs.fuel import BURNT_FOR, Fuel
from solarsim.power.demand import build_demand
from solarsim.power.fuel import HEATING_VALUE_WH, burnt_per_day
from tests.power.demand_by_hand import load, profile
from tests.power.weather_by_hand import changing_weather

FUELS = st.builds(
    Fuel,
    heat=st.just("diesel"),
    hot_water=st.sampled_from(["diesel", "propane", "electricity", None]),
    cooking=st.sampled_from(["diesel", "propane", "electricity", None]),
    heat_efficiency=st.floats(0.3, 1.0),
    hot_water_efficiency=st.floats(0.3, 1.0),
    cooking_efficiency=st.floats(0.3, 1.0),
)
CABINS = st.fixed_dictionaries(
    {
        "people": st.integers(0, 6),
        "heat_loss_w_k": st.floats(20.0, 200.0),
        "heat_capacity_wh_k": st.floats(50.0, 800.0),
        "heater_set_point_c": st.floats(14.0, 23.0),
        "night_set_point_c": st.floats(3.0, 14.0),
        "solar_gain_m2": st.floats(0.0, 2.0),
    }
)
WINDOWS = st.sampled_from([[[0, 24]], [[16, 10]], [[20, 23]]])


def burnt(fuel, people, weather):
    demand = build_demand(people, weather, seed=1)
    heat_wh = 24.0 * demand.cabin.heat_w.mean(axis=0)
    found = burnt_per_day(
        fuel,
        people,
        heat_wh_per_day=heat_wh,
        cabin_temp_c=demand.cabin.temp_c.mean(axis=0),
        demand_wh_per_day=demand.wh_per_day,
    )
    return found, heat_wh


@settings(max_examples=25, deadline=None)
@given(
    fuel=FUELS,
    cabin=CABINS,
    windows=WINDOWS,
    heat_w=st.floats(500.0, 5000.0),
    mean_c=st.floats(-15.0, 15.0),
    colder_k=st.floats(0.1, 15.0),
)
def test_colder_never_burns_less_and_all_heat_is_paid_for(
    fuel, cabin, windows, heat_w, mean_c, colder_k
):
    heater = load("heater", 30.0, response="heater", heat_w=heat_w, windows=windows)
    people = profile(heater, cabin=cabin)
    runs = {"runs": 3, "hours": 24 * 4}
    mild, heat_wh = burnt(fuel, people, changing_weather(mean_c=mean_c, **runs))
    cold, _ = burnt(fuel, people, changing_weather(mean_c=mean_c - colder_k, **runs))
    assert set(mild) == set(cold) == set(fuel.burnt)
    for use in fuel.burnt:
        assert (cold[use] >= mild[use] - 1e-12).all()
        assert np.isfinite(mild[use]).all()
        assert (mild[use] >= 0.0).all()
    given_wh = mild["heat"] * HEATING_VALUE_WH["diesel"] * fuel.heat_efficiency
    np.testing.assert_allclose(given_wh, heat_wh, rtol=1e-12)
    assert all(use in mild or getattr(fuel, use) in {"electricity", None} for use in BURNT_FOR)


@settings(max_examples=25, deadline=None)
@given(fuel=FUELS, more=st.floats(1.0, 2.0), people=st.integers(0, 5))
def test_a_better_burner_burns_less_and_more_people_more(fuel, more, people):
    def of(count, one):
        found = profile(load(hours_per_day=1.0), cabin={"people": count})
        return burnt_per_day(
            one,
            found,
            heat_wh_per_day=np.array([5000.0]),
            cabin_temp_c=np.array([12.0]),
            demand_wh_per_day={},
        )

    better = fuel.model_copy(update={"heat_efficiency": min(fuel.heat_efficiency * more, 1.0)})
    assert of(people, better)["heat"][0] <= of(people, fuel)["heat"][0]
    for use in fuel.burnt:
        assert of(people + 1, fuel)[use][0] >= of(people, fuel)[use][0]
