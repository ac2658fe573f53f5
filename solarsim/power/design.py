"""Designs side by side: the bank, the panels' count and the controller as rows of numbers."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

import numpy as np

from solarsim.power.chemistry import (
    Chemistry,
    charging_voltage_v,
    load_chemistry,
    resting_voltage_v,
    tank_total_ah,
)
from solarsim.power.kernel import EFFICIENCY_KNOTS, LANES, VOLTAGE_KNOTS, Column
from solarsim.spec.van import Van
from solarsim.weather.record import FloatArray

__all__ = ["Design", "design_blocks", "design_of", "usable_wh"]

_HOURS_PER_MONTH = 730.5
# A floor set by hand keeps this much between cut-off and reconnection.
_RECONNECT_RISE = 0.1


@dataclasses.dataclass(frozen=True)
class Design:
    """What one candidate differs in; ``panel_variant`` points at a panel power series."""

    chemistry: str
    capacity_ah: float
    system_voltage_v: float
    panel_count: int
    controller_max_a: float
    floor_soc: float
    heater_w: float = 0.0
    panel_variant: int = 0


def design_of(van: Van, *, units: int | None = None, panel_count: int | None = None) -> Design:
    """Return the van's own design, or the same with another bank or number of panels."""
    battery = van.battery
    parallel = (battery.units if units is None else units) // van.units_in_series
    floor = battery.floor_soc
    return Design(
        chemistry=battery.chemistry,
        capacity_ah=battery.unit_capacity_ah * parallel,
        system_voltage_v=float(van.van.system_voltage_v),
        panel_count=van.panels.count if panel_count is None else panel_count,
        controller_max_a=van.controller.max_output_a,
        floor_soc=load_chemistry(battery.chemistry).floor_soc if floor is None else floor,
        heater_w=battery.heater_w if battery.self_heating else 0.0,
    )


def design_blocks(designs: Sequence[Design]) -> FloatArray:
    """Turn designs of one chemistry into the kernel's blocks; constants are worked out once.

    Returns
    -------
    ndarray
        ``(blocks, columns, lanes)``; lanes past the last design repeat it.

    Raises
    ------
    ValueError
        Designs of more than one chemistry, or none.
    """
    if len({design.chemistry for design in designs}) != 1:
        raise ValueError("a block holds designs of exactly one chemistry")
    padded = [*designs, *[designs[-1]] * (-len(designs) % LANES)]
    columns = np.array([_column(design) for design in padded])
    return np.ascontiguousarray(columns.reshape(-1, LANES, columns.shape[1]).transpose(0, 2, 1))


def usable_wh(design: Design) -> float:
    """Energy of a rested 25 C bank between full and its floor, Wh at open-circuit voltage."""
    chemistry = load_chemistry(design.chemistry)
    soc = np.linspace(design.floor_soc, 1.0, 401)
    mean_v = float(np.interp(soc, chemistry.open_circuit_soc, chemistry.open_circuit_v).mean())
    scale = design.system_voltage_v / 12.0
    return mean_v * scale * design.capacity_ah * (1.0 - design.floor_soc)


def _column(design: Design) -> FloatArray:
    chemistry = load_chemistry(design.chemistry)
    scale = design.system_voltage_v / 12.0
    c, k = chemistry.tank_share, chemistry.tank_rate_per_h
    tanks_ah = tank_total_ah(chemistry, design.capacity_ah)
    keep = math.exp(-k)
    gain_h = ((1.0 - keep) + c * (k - 1.0 + keep)) / k
    discharge_ohm = chemistry.discharge_ohm_ah * scale / design.capacity_ah
    charge_ohm = chemistry.charge_ohm_ah * scale / design.capacity_ah
    month_kept = 1.0 - chemistry.self_discharge_share_per_month
    column = np.zeros(Column.DESIGN_END)
    column[Column.TANKS_AH] = tanks_ah
    column[Column.TANKS_INVERSE] = 1.0 / tanks_ah
    column[Column.TANK_KEEP] = keep
    column[Column.TANK_MIX] = c * (1.0 - keep)
    column[Column.TANK_GAIN_H] = gain_h
    column[Column.TANK_GAIN_INVERSE] = 1.0 / gain_h
    column[Column.AVAILABLE_AH] = c * tanks_ah
    column[Column.DISCHARGE_OHM] = discharge_ohm
    column[Column.DISCHARGE_INVERSE] = 1.0 / discharge_ohm
    column[Column.CHARGE_OHM] = charge_ohm
    column[Column.CHARGE_INVERSE] = 1.0 / charge_ohm
    column[Column.ABSORPTION_V] = chemistry.absorption_v * scale
    column[Column.CUTOFF_V] = chemistry.cutoff_v * scale
    column[Column.CHARGE_A] = chemistry.charge_c_rate * design.capacity_ah
    column[Column.DISCHARGE_A] = chemistry.discharge_c_rate * design.capacity_ah
    column[Column.FLOOR_DEPTH] = 1.0 - design.floor_soc
    column[Column.RECONNECT_DEPTH] = 1.0 - _reconnect_soc(chemistry, design.floor_soc)
    column[Column.KEEP_PER_H] = month_kept ** (1.0 / _HOURS_PER_MONTH)
    column[Column.CONTROLLER_A] = design.controller_max_a
    column[Column.PANELS] = design.panel_count
    column[Column.HEATER_W] = design.heater_w
    column[Column.HEATER_INVERSE] = 1.0 / design.heater_w if design.heater_w > 0.0 else 0.0
    column[Column.CHARGING_V] = charging_voltage_v(chemistry, design.system_voltage_v)
    column[Column.NOMINAL_INVERSE] = 1.0 / (scale * resting_voltage_v(chemistry))
    _put_curve(
        column,
        Column.VOLTAGE_AT_EMPTY,
        VOLTAGE_KNOTS,
        chemistry.open_circuit_soc,
        scale * chemistry.open_circuit_v,
    )
    _put_curve(
        column,
        Column.EFFICIENCY_AT_EMPTY,
        EFFICIENCY_KNOTS,
        chemistry.coulombic_soc,
        chemistry.coulombic_share,
    )
    return column


def _put_curve(
    column: FloatArray, start: int, knots: int, soc: FloatArray, value: FloatArray
) -> None:
    # A broken line as the value at empty plus hinges: each knot adds the change of slope.
    slope = np.diff(value) / np.diff(soc)
    used = len(slope)
    if used > knots:
        raise ValueError(f"a curve has {used} segments; the kernel takes {knots}")
    column[start] = value[0]
    column[start + 1 : start + 1 + used] = soc[:-1]
    column[start + 1 + knots : start + 1 + knots + used] = np.diff(slope, prepend=0.0)


def _reconnect_soc(chemistry: Chemistry, floor_soc: float) -> float:
    if floor_soc == chemistry.floor_soc:
        return chemistry.reconnect_soc
    return min(floor_soc + _RECONNECT_RISE, 1.0)
