"""Fuel that heat, hot water and cooking burn."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.fuel import BurntFor, Fuel, FuelKind, Habits
from solarsim.inputs.profile import Profile

__all__ = [
    "FUEL_UNITS",
    "HEATING_VALUE_WH",
    "burnt_per_day",
    "cooked_on_electricity_wh",
    "fuel_for_heat",
    "warm_water_wh",
]

FUEL_UNITS: Mapping[FuelKind, str] = {"diesel": "L", "propane": "kg", "petrol": "L"}
# Lower heating values, of a litre of diesel and of a kilogram of propane: 35.8 MJ and 46.4 MJ
# (engineering handbooks, from memory; directive (EU) 2018/2001, annex III, has 36 MJ/L and
# 46 MJ/kg, from memory). Petrol is burnt by generators alone, which tell their own use.
HEATING_VALUE_WH: Mapping[str, float] = {"diesel": 35.8e6 / 3600.0, "propane": 46.4e6 / 3600.0}
# 4.186 kJ/(kg K), as in the library's kettle; a litre is taken as a kilogram.
_WATER_WH_L_K = 4186.0 / 3600.0
# Water from a tank that is just not frozen.
_COLDEST_WATER_C = 1.0
# Induction hobs and kettles alike, about; common practice, no source.
_ELECTRIC_COOKING_EFFICIENCY = 0.85


def fuel_for_heat(
    heat_wh: FloatArray | float, kind: FuelKind, efficiency: float
) -> FloatArray | float:
    """Return what must be burnt for a heat, litres of diesel or kg of propane.

    Parameters
    ----------
    heat_wh : ndarray or float
        Heat that arrives, Wh.
    kind : str
        ``"diesel"`` or ``"propane"``.
    efficiency : float
        Heat that arrives over the lower heating value, above 0 up to 1.

    Examples
    --------
    >>> round(fuel_for_heat(1000.0, "diesel", 0.8), 3)
    0.126
    >>> round(fuel_for_heat(1000.0, "propane", 0.5), 3)
    0.155
    """
    return heat_wh / (HEATING_VALUE_WH[kind] * efficiency)


def warm_water_wh(litres: float, cold_c: FloatArray | float, warm_c: float) -> FloatArray:
    """Return the heat that warms so many litres from a tank's temperature, Wh.

    Parameters
    ----------
    litres : float
        Of warm water.
    cold_c : ndarray or float
        Temperature of the tank; below 1 C it is taken as 1 C.
    warm_c : float
        Temperature at the tap; what is warmer in the tank needs nothing.

    Examples
    --------
    >>> round(float(warm_water_wh(1.0, 15.0, 100.0)), 1)
    98.8
    """
    warmed_k = np.maximum(warm_c - np.maximum(cold_c, _COLDEST_WATER_C), 0.0)
    return np.asarray(litres * _WATER_WH_L_K * warmed_k)


def cooked_on_electricity_wh(profile: Profile, demand_wh_per_day: Mapping[str, float]) -> float:
    """Return the heat a day that electric appliances marked as cooking give to food, Wh."""
    names = [one.name for one in profile.appliances if one.cooking and one.enabled]
    return _ELECTRIC_COOKING_EFFICIENCY * sum(demand_wh_per_day.get(name, 0.0) for name in names)


def burnt_per_day(
    fuel: Fuel,
    profile: Profile,
    *,
    heat_wh_per_day: FloatArray,
    cabin_temp_c: FloatArray,
    demand_wh_per_day: Mapping[str, float],
) -> dict[BurntFor, FloatArray]:
    """Return what is burnt a day for each use, in the unit of its fuel.

    Parameters
    ----------
    fuel : Fuel
        What runs on what.
    profile : Profile
        People, habits and electric cooking.
    heat_wh_per_day : ndarray
        ``(runs,)`` heat that the heaters give, mean over the days, Wh.
    cabin_temp_c : ndarray
        ``(runs,)`` mean temperature inside, which the water's tank has as well.
    demand_wh_per_day : mapping
        Energy of each electric appliance.

    Returns
    -------
    dict
        ``(runs,)`` litres of diesel or kg of propane a day by use.
    """
    habits, people = profile.habits or Habits(), profile.cabin.people
    cooked_wh = habits.cooking_wh_per_day * people
    on_electricity_wh = cooked_on_electricity_wh(profile, demand_wh_per_day)
    wanted_wh: dict[BurntFor, FloatArray] = {
        "heat": heat_wh_per_day,
        "hot_water": warm_water_wh(
            habits.hot_water_l_per_day * people, cabin_temp_c, habits.hot_water_c
        ),
        "cooking": np.full_like(heat_wh_per_day, max(cooked_wh - on_electricity_wh, 0.0)),
    }
    return {
        use: np.asarray(fuel_for_heat(wanted_wh[use], kind, fuel.efficiency(use)))
        for use, kind in fuel.burnt.items()
    }
