"""Published figures and the trade's ranges for diesel and propane: what is in them, what burns."""

from __future__ import annotations

import datetime as dt
import functools

import numpy as np
import pandas as pd

from solarsim.data.accuracy.comparison import Comparison
from solarsim.inputs.fuel import Fuel, FuelKind
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.power.demand import build_demand
from solarsim.power.fuel import HEATING_VALUE_WH, burnt_per_day, warm_water_wh
from solarsim.weather.record import Place, Weather

__all__ = ["COMPARISONS"]

_DIRECTIVE = "directive (EU) 2018/2001, annex III, from memory"
_TRADE = "common practice, no source"
# Standard enthalpies of formation at 298.15 K, kJ/mol: propane -104.7, CO2 -393.51, water vapour
# -241.83; 44.096 g of propane a mole.
_PROPANE_MJ_KG = (3 * 393.51 + 4 * 241.83 - 104.7) / 44.096
_BTU_J, _US_GALLON_L, _POUND_KG = 1055.06, 3.78541, 0.453592
# A cabin held at one temperature while it is colder outside every day.
_DAYS, _LOSS_W_K, _INSIDE_C = 10, 60.0, 18.0
_OUTSIDE_C = np.linspace(-12.0, 6.0, _DAYS)
_DEGREE_DAYS = float((_INSIDE_C - _OUTSIDE_C).sum())


def _held_mj(kind: FuelKind) -> float:
    """Lower heating value of a litre of diesel or a kilogram of propane, MJ."""
    return HEATING_VALUE_WH[kind] * 3600.0 / 1e6


def _people() -> Profile:
    """Nobody but a heater in a cabin that holds next to no heat."""
    heater = {"name": "heater", "power_w": 30.0, "response": "heater", "heat_w": 6000.0}
    cabin = {
        "people": 0,
        "solar_gain_m2": 0.0,
        "heater_set_point_c": _INSIDE_C,
        "heat_loss_w_k": _LOSS_W_K,
        "heat_capacity_wh_k": 10.0,
    }
    data = {"profile": {"name": "heated"}, "appliances": [heater], "cabin": cabin}
    return profile_from_data(data, source="heated")


def _dark_weather() -> Weather:
    hours = 24 * _DAYS
    none = np.zeros((1, hours))
    return Weather(
        place=Place("field", 47.8, 13.0, 430.0, "UTC", 0.0),
        times=pd.date_range(dt.datetime(2026, 1, 12, tzinfo=dt.UTC), periods=hours, freq="h"),
        ghi_w_m2=none,
        dni_w_m2=none,
        dhi_w_m2=none,
        temp_air_c=np.repeat(_OUTSIDE_C, 24)[np.newaxis],
        wind_speed_m_s=none,
        relative_humidity=none + 0.6,
        snowfall_mm=none,
        albedo=none + 0.2,
        zenith_deg=none + 120.0,
        azimuth_deg=none + 180.0,
        dni_extra_w_m2=none + 1367.0,
        source="by hand",
    )


@functools.cache
def _heated_van_wh() -> float:
    """Heat of all days."""
    cabin = build_demand(_people(), _dark_weather(), seed=1).cabin
    assert cabin is not None
    return float(cabin.heat_w.sum())


def _diesel_l(heat_wh: float) -> float:
    """Diesel that a heater takes for a day of so much heat."""
    found = burnt_per_day(
        Fuel(heat="diesel"),
        _people(),
        heat_wh_per_day=np.array([heat_wh]),
        cabin_temp_c=np.array([_INSIDE_C]),
        demand_wh_per_day={},
    )
    return float(found["heat"][0])


_comparison = functools.partial(Comparison, "fuel")

_HELD: tuple[tuple[str, FuelKind, str, float, str, float], ...] = (
    ("a litre", "diesel", _DIRECTIVE, 36.0, "MJ/L", 0.36),
    (
        "a litre, of 128,488 Btu a US gallon",
        "diesel",
        "US low-sulfur diesel, from memory",
        128_488 * _BTU_J * 1e-6 / _US_GALLON_L,
        "MJ/L",
        0.18,
    ),
    (
        "a litre, of 42.8 MJ/kg at 0.8375 kg/L",
        "diesel",
        "EN 590's mean density, from memory",
        42.8 * 0.8375,
        "MJ/L",
        0.18,
    ),
    ("a kilogram", "propane", _DIRECTIVE, 46.0, "MJ/kg", 0.46),
    (
        "a kilogram, by its enthalpies of formation",
        "propane",
        "NIST chemistry tables, from memory",
        _PROPANE_MJ_KG,
        "MJ/kg",
        0.14,
    ),
)

COMPARISONS: tuple[Comparison, ...] = (
    *(
        _comparison(
            f"{kind}: lower heating value of {what}",
            source,
            expected,
            tolerance,
            unit,
            functools.partial(_held_mj, kind),
        )
        for what, kind, source, expected, unit, tolerance in _HELD
    ),
    _comparison(
        "water: a pound warmed by one degree F",
        "the British thermal unit",
        _BTU_J / 3600.0,
        0.0003,
        "Wh",
        lambda: float(warm_water_wh(_POUND_KG, 10.0, 10.0 + 5.0 / 9.0)),
    ),
    _comparison(
        "water: a litre from 15 to 100 C at 90 %",
        "4.186 kJ/(kg K), from memory",
        110.0,
        0.5,
        "Wh",
        lambda: float(warm_water_wh(1.0, 15.0, 100.0)) / 0.9,
    ),
    _comparison(
        f"heat of a van of 60 W/K over {_DEGREE_DAYS:.0f} degree-days",
        "degree-day method, ASHRAE Fundamentals, from memory",
        _DEGREE_DAYS * 24.0 * _LOSS_W_K / 1000.0,
        0.6,
        "kWh",
        lambda: _heated_van_wh() / 1000.0,
    ),
    _comparison(
        "diesel of the same at an efficiency of 0.8",
        _DIRECTIVE,
        _DEGREE_DAYS * 24.0 * _LOSS_W_K * 3600.0 / (0.8 * 36e6),
        0.38,
        "L",
        lambda: _diesel_l(_heated_van_wh()),
    ),
    _comparison(
        "diesel heater that gives 2 kW (0.24 to 0.28)",
        _TRADE,
        0.26,
        0.02,
        "L/h",
        lambda: _diesel_l(24.0 * 2000.0) / 24.0,
    ),
    _comparison(
        "diesel heater that gives 4 kW (0.46 to 0.55)",
        _TRADE,
        0.505,
        0.045,
        "L/h",
        lambda: _diesel_l(24.0 * 4000.0) / 24.0,
    ),
    # Ours is of pots without lids in a draught, the standard's of covered burners on a bench.
    _comparison(
        "hob: share of the burnt heat that reaches the pot",
        "EN 30-2-1's least on the bench, from memory",
        0.52,
        0.05,
        "",
        lambda: Fuel(cooking="propane").cooking_efficiency,
    ),
)
