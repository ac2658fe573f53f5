"""Battery chemistries as data: curves and limits of a nominal 12 V bank, per Ah."""

from __future__ import annotations

import dataclasses
import functools
import math
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.files.toml import read_toml

__all__ = [
    "CHEMISTRY_NAMES",
    "RATED_TEMP_C",
    "Chemistry",
    "capacity_share_at",
    "charge_share_at",
    "charging_voltage_v",
    "lead_acid_open_circuit_v",
    "load_chemistry",
    "panels_bus_voltage_v",
    "resting_voltage_v",
    "tank_total_ah",
]

CHEMISTRY_NAMES = ("lfp", "agm", "gel", "flooded")
# 77 F, to which IEEE 485 corrects and banks are rated.
RATED_TEMP_C = 25.0
_RATED_HOURS = 20.0
_CHARGING_C_RATE = 0.2
# What panels give for most of a day: common practice, no source. With it the energy of PWM on hot
# panels is within half a percent of minute-by-minute steps; with a fifth it is 2 to 10 % short.
_PANELS_C_RATE = 0.05


@dataclasses.dataclass(frozen=True)
class Chemistry:
    """One chemistry; voltages are those of a 12 V bank, resistances in ohm times Ah."""

    name: str
    label: str
    tank_share: float
    tank_rate_per_h: float
    open_circuit_soc: FloatArray
    open_circuit_v: FloatArray
    discharge_ohm_ah: float
    charge_ohm_ah: float
    absorption_v: float
    charge_c_rate: float
    coulombic_soc: FloatArray
    coulombic_share: FloatArray
    discharge_c_rate: float
    cutoff_v: float
    floor_soc: float
    reconnect_soc: float
    self_discharge_share_per_month: float
    capacity_temp_c: FloatArray
    capacity_share: FloatArray
    charge_temp_c: FloatArray
    charge_share: FloatArray
    sources: tuple[str, ...]


@functools.cache
def load_chemistry(name: str) -> Chemistry:
    """Return one of the four chemistries, ``"lfp"``, ``"agm"``, ``"gel"`` or ``"flooded"``.

    Raises
    ------
    KeyError
        No such chemistry (the van's record refuses it before).
    """
    return _tables()[name]


def lead_acid_open_circuit_v(acid_mol_kg: FloatArray) -> FloatArray:
    """Open-circuit voltage of one lead-acid cell from its acid's molality, mol/kg.

    References
    ----------
    .. [1] H. Bode, "Lead-Acid Batteries", Wiley, 1977: potentials of both electrodes as
       polynomials in the logarithm of the molality.
    """
    x = np.log10(acid_mol_kg)
    positive = 1.628 + 0.074 * x + 0.033 * x**2 + 0.043 * x**3 + 0.022 * x**4
    negative = -0.294 - 0.074 * x - 0.030 * x**2 - 0.031 * x**3 - 0.012 * x**4
    return np.asarray(positive - negative, dtype=np.float64)


def tank_total_ah(chemistry: Chemistry, rated_ah: float) -> float:
    """Charge in both tanks of a full bank that delivers `rated_ah` in 20 hours.

    The rated capacity is what a 20-hour discharge delivers before the available tank is empty; a
    slower one delivers more, so both tanks together hold more.

    References
    ----------
    .. [1] J. F. Manwell and J. G. McGowan, "Lead acid battery storage model for hybrid energy
       systems", Solar Energy 50(5), 1993.
    """
    c, k = chemistry.tank_share, chemistry.tank_rate_per_h
    emptied = 1.0 - math.exp(-k * _RATED_HOURS)
    share = k * c * _RATED_HOURS / (emptied + c * (k * _RATED_HOURS - emptied))
    return rated_ah / share


def capacity_share_at(chemistry: Chemistry, temp_c: FloatArray | float) -> FloatArray:
    """Share of the capacity that can be had at a bank temperature, 0 to 1."""
    return np.asarray(np.interp(temp_c, chemistry.capacity_temp_c, chemistry.capacity_share))


def charge_share_at(chemistry: Chemistry, temp_c: FloatArray) -> FloatArray:
    """Share of the charge-current limit that a bank temperature allows, 0 to 1."""
    return np.interp(temp_c, chemistry.charge_temp_c, chemistry.charge_share)


def resting_voltage_v(chemistry: Chemistry) -> float:
    """Open-circuit voltage of a 12 V bank at 70 %, where a van's bank mostly stands."""
    return float(np.interp(0.7, chemistry.open_circuit_soc, chemistry.open_circuit_v))


def charging_voltage_v(chemistry: Chemistry, system_voltage_v: float) -> float:
    """Where a bank sits while it takes a fifth of its capacity an hour, V.

    Chargers are limited in current; this is the voltage that turns their amperes into watts.
    """
    return _voltage_at_rate(chemistry, system_voltage_v, _CHARGING_C_RATE)


def panels_bus_voltage_v(chemistry: Chemistry, system_voltage_v: float) -> float:
    """Where a bank sits under its panels: while it takes a twentieth of its capacity an hour, V.

    A PWM controller's current is tabulated at this voltage: on hot panels it falls steeply with
    the voltage, and most of it flows while the bank is far from absorption.
    """
    return _voltage_at_rate(chemistry, system_voltage_v, _PANELS_C_RATE)


def _voltage_at_rate(chemistry: Chemistry, system_voltage_v: float, c_rate: float) -> float:
    charged_v = resting_voltage_v(chemistry) + c_rate * chemistry.charge_ohm_ah
    return min(charged_v, chemistry.absorption_v) * system_voltage_v / 12.0


@functools.cache
def _tables() -> dict[str, Chemistry]:
    data = read_toml(Path(__file__).with_name("chemistries.toml"))
    return {name: _chemistry(name, data[name]) for name in CHEMISTRY_NAMES}


def _chemistry(name: str, table: dict[str, Any]) -> Chemistry:
    circuit, charge, discharge = table["open_circuit"], table["charge"], table["discharge"]
    temperature = table["temperature"]
    soc = np.array(circuit["soc"])
    if "acid_mol_kg" in circuit:
        empty, full = circuit["acid_mol_kg"]
        voltage_v = 6.0 * lead_acid_open_circuit_v(empty + (full - empty) * soc)
    else:
        voltage_v = np.array(circuit["voltage_v"])
    return Chemistry(
        name=name,
        label=table["label"],
        tank_share=table["kinetics"]["c"],
        tank_rate_per_h=table["kinetics"]["k_per_h"],
        open_circuit_soc=soc,
        open_circuit_v=voltage_v,
        discharge_ohm_ah=table["resistance"]["discharge_ohm_ah"],
        charge_ohm_ah=table["resistance"]["charge_ohm_ah"],
        absorption_v=charge["absorption_v"],
        charge_c_rate=charge["max_c_rate"],
        coulombic_soc=np.array(charge["coulombic_soc"]),
        coulombic_share=np.array(charge["coulombic_share"]),
        discharge_c_rate=discharge["max_c_rate"],
        cutoff_v=discharge["cutoff_v"],
        floor_soc=discharge["floor_soc"],
        reconnect_soc=discharge["reconnect_soc"],
        self_discharge_share_per_month=discharge["self_discharge_share_per_month"],
        capacity_temp_c=np.array(temperature["capacity_c"]),
        capacity_share=np.array(temperature["capacity_share"]),
        charge_temp_c=np.array(temperature["charge_c"]),
        charge_share=np.array(temperature["charge_share"]),
        sources=tuple(part["source"] for part in table.values() if isinstance(part, dict)),
    )
