"""Fuel against the physics of combustion, of water and of degree-days."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.inputs.fuel import Fuel
from solarsim.power.demand import build_demand
from solarsim.power.fuel import HEATING_VALUE_WH, burnt_per_day, warm_water_wh
from tests.power.demand_by_hand import NO_GAINS, load, profile
from tests.power.weather_by_hand import weather_by_hand

# Standard enthalpies of formation at 298.15 K, kJ/mol: propane -104.7, CO2 -393.51, water vapour
# -241.83 (NIST chemistry tables, from memory); 44.096 g of propane a mole.
PROPANE_KJ_G = (3 * 393.51 + 4 * 241.83 - 104.7) / 44.096


def test_propane_gives_what_its_enthalpies_of_formation_tell():
    assert HEATING_VALUE_WH["propane"] * 3.6 / 1000.0 == pytest.approx(PROPANE_KJ_G, rel=0.003)


@pytest.mark.parametrize(
    ("kind", "mj", "tolerance", "source"),
    [
        ("diesel", 36.0, 0.01, "directive (EU) 2018/2001 annex III, from memory"),
        # 128,488 Btu a US gallon.
        ("diesel", 128_488 * 1055.06e-6 / 3.78541, 0.005, "US low-sulfur diesel, from memory"),
        ("diesel", 42.8 * 0.8375, 0.005, "42.8 MJ/kg at 0.82 to 0.845 kg/L (EN 590), from memory"),
        ("propane", 46.0, 0.01, "directive (EU) 2018/2001 annex III, from memory"),
        ("propane", 12.9 * 3.6, 0.005, "engineering handbooks, from memory"),
    ],
)
def test_heating_values_are_those_of_tables(kind, mj, tolerance, source):
    assert HEATING_VALUE_WH[kind] * 3600.0 / 1e6 == pytest.approx(mj, rel=tolerance), source


def test_water_takes_its_specific_heat():
    # 4.186 kJ/(kg K): one calorie a gram and kelvin; 1 L from 15 to 100 C takes 0.110 kWh at 90 %.
    assert warm_water_wh(1.0, 15.0, 100.0) / 0.9 == pytest.approx(110.0, abs=0.5)
    # A British thermal unit warms a pound by a degree Fahrenheit: 1055.06 J.
    one_btu_wh = warm_water_wh(0.453592, 10.0, 10.0 + 5.0 / 9.0)
    assert one_btu_wh * 3600.0 == pytest.approx(1055.06, rel=0.001)


def test_a_heated_van_burns_what_degree_days_tell():
    """UA x degree-days x 24 / (efficiency x heating value): ASHRAE Fundamentals, from memory."""
    days, loss_w_k, efficiency = 10, 60.0, 0.8
    outside_c = np.repeat(np.linspace(-12.0, 6.0, days), 24)
    heater = load("heater", 30.0, response="heater", heat_w=6000.0)
    cabin = NO_GAINS | {
        "heater_set_point_c": 18.0,
        "heat_loss_w_k": loss_w_k,
        "heat_capacity_wh_k": 10.0,
    }
    people = profile(heater, cabin=cabin)
    demand = build_demand(people, weather_by_hand(outside_c, hours=24 * days), seed=1)
    heat_wh = demand.cabin.heat_w.mean(axis=0) * 24.0
    found = burnt_per_day(
        Fuel(heat="diesel", heat_efficiency=efficiency),
        people,
        heat_wh_per_day=heat_wh,
        cabin_temp_c=demand.cabin.temp_c.mean(axis=0),
        demand_wh_per_day={},
    )["heat"]
    degree_days = sum(18.0 - outside_c[::24])
    litres = loss_w_k * degree_days * 24.0 / (efficiency * 35.8e6 / 3600.0)
    assert found[0] * days == pytest.approx(litres, rel=0.002)


def test_a_heater_burns_what_the_trade_counts_with():
    """2 kW takes 0.24 to 0.28 L/h and 4 kW 0.46 to 0.55 L/h (common practice, no source)."""
    for heat_w, low_l, high_l in ((2000.0, 0.24, 0.28), (4000.0, 0.46, 0.55)):
        found = burnt_per_day(
            Fuel(heat="diesel"),
            profile(load(hours_per_day=1.0)),
            heat_wh_per_day=np.array([24.0 * heat_w]),
            cabin_temp_c=np.array([18.0]),
            demand_wh_per_day={},
        )["heat"][0]
        assert low_l < found / 24.0 < high_l
