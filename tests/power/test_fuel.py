"""Fuel for a heat, warm water, and who burns what."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.fuel import Fuel
from solarsim.inputs.profile import read_profile
from solarsim.power.fuel import (
    burnt_per_day,
    cooked_on_electricity_wh,
    fuel_for_heat,
    warm_water_wh,
)
from tests.power.demand_by_hand import load, profile

NOTHING = np.zeros(1)


def burnt(fuel, people, *, heat_wh=0.0, cabin_c=15.0, demand=None):
    return burnt_per_day(
        fuel,
        people,
        heat_wh_per_day=np.array([heat_wh]),
        cabin_temp_c=np.array([cabin_c]),
        demand_wh_per_day=demand or {},
    )


def people_of(count, **habits):
    found = profile(load(hours_per_day=1.0), cabin={"people": count})
    return (
        found
        if not habits
        else type(found).model_validate(found.model_dump(exclude_unset=True) | {"habits": habits})
    )


def test_each_use_burns_its_own_fuel_and_electricity_burns_none():
    fuel = Fuel(heat="diesel", hot_water="electricity", cooking="propane")
    found = burnt(fuel, people_of(2), heat_wh=8000.0)
    assert set(found) == {"heat", "cooking"}
    # 8 kWh / 0.8 is 10 kWh, of 9.944 kWh a litre.
    assert found["heat"][0] == pytest.approx(10_000.0 / 9944.4, rel=1e-4)
    # 2 x 300 Wh / 0.5, of 12.89 kWh a kg.
    assert found["cooking"][0] == pytest.approx(1200.0 / 12_888.9, rel=1e-4)


def test_a_tank_is_never_colder_than_just_not_frozen():
    # 40 K of a litre of water, 4.186 kJ each.
    assert warm_water_wh(1.0, -10.0, 41.0) == pytest.approx(40.0 * 4186.0 / 3600.0)


def test_habits_and_people_set_the_hot_water():
    fuel = Fuel(hot_water="propane", hot_water_efficiency=0.5)
    found = burnt(fuel, people_of(3, hot_water_l_per_day=10.0, hot_water_c=45.0), cabin_c=15.0)
    # 30 L x 4.186 kJ x 30 K = 3767 kJ at the tap; 46.4 MJ/kg.
    assert found["hot_water"][0] == pytest.approx(3.7674 / 0.5 / 46.4, rel=1e-4)
    warm = burnt(fuel, people_of(3, hot_water_l_per_day=10.0), cabin_c=50.0)
    assert warm["hot_water"][0] == 0.0
    frozen, just = (burnt(fuel, people_of(3), cabin_c=c)["hot_water"][0] for c in (-20.0, 1.0))
    assert frozen == just


def test_what_is_cooked_on_electricity_is_not_burnt():
    hob = load("hob", 1000.0, current="ac", cooking=True, minutes_per_day=30)
    off = load("old hob", 1000.0, current="ac", cooking=True, minutes_per_day=30, enabled=False)
    people, demand = profile(hob, off, cabin={"people": 2}), {"hob": 400.0, "old hob": 900.0}
    assert cooked_on_electricity_wh(people, demand) == pytest.approx(340.0)
    found = burnt(Fuel(cooking="propane"), people, demand=demand)
    assert found["cooking"][0] == pytest.approx(fuel_for_heat(600.0 - 340.0, "propane", 0.5))
    much = burnt(Fuel(cooking="propane"), people, demand={"hob": 2000.0})
    assert much["cooking"][0] == 0.0


@pytest.mark.parametrize(
    ("setting", "said"),
    [
        ("fuel.heat=coal", "fuel.heat"),
        ("fuel.heat_efficiency=0", "fuel.heat_efficiency"),
        ("fuel.diesel_tank_l=nan", "fuel.diesel_tank_l"),
        ("fuel.propane_kg=-1", "fuel.propane_kg"),
        ("fuel.heet=diesel", "did you mean 'heat'"),
        ("fuel.cooking_efficiency=0.4", "needs one of heat, hot_water, cooking"),
    ],
)
def test_what_cannot_be_is_refused(setting, said):
    with pytest.raises(InputError, match=said):
        read_van("weekender", settings=[setting])


def test_a_tank_that_nothing_burns_from_is_refused():
    with pytest.raises(InputError, match="propane_kg is given, but nothing runs on propane"):
        read_van("weekender", settings=["fuel.heat=diesel", "fuel.propane_kg=5"])


def test_habits_are_checked_and_reached_by_settings():
    changed = read_profile("typical", settings=["habits.hot_water_l_per_day=5"])
    assert changed.habits is not None
    assert changed.habits.hot_water_l_per_day == 5.0
    with pytest.raises(InputError, match=r"habits\.hot_water_c"):
        read_profile("typical", settings=["habits.hot_water_c=99"])
