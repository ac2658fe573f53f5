"""Designs: the bank, the panels' count and the controller as rows of numbers."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Sequence

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.van import Van
from solarsim.power.chemistry import (
    RATED_TEMP_C,
    Chemistry,
    capacity_share_at,
    load_chemistry,
    panels_bus_voltage_v,
    resting_voltage_v,
    tank_total_ah,
)
from solarsim.power.columns import EFFICIENCY_KNOTS, VOLTAGE_KNOTS, Column

__all__ = ["Design", "design_of", "design_rows", "floor_at", "reconnect_at", "usable_wh"]

_HOURS_PER_MONTH = 730.5
# A floor set by hand keeps this much between cut-off and reconnection.
_RECONNECT_RISE = 0.1


@dataclasses.dataclass(frozen=True)
class Design:
    """What one candidate differs in; ``panel_variant`` points at a panel power series.

    With `pwm` that series is the panel's current times the voltage of a bank under its panels
    (`solarsim.power.chemistry.panels_bus_voltage_v`): a PWM controller hands on that current.
    """

    chemistry: str
    capacity_ah: float
    system_voltage_v: float
    panel_count: int
    controller_max_a: float
    floor_soc: float
    heater_w: float = 0.0
    panel_variant: int = 0
    pwm: bool = False


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
        pwm=van.controller.kind == "pwm",
    )


def design_rows(designs: Sequence[Design]) -> FloatArray:
    """Turn designs into the kernel's rows of numbers, ``(designs, columns)``."""
    # What designs of one chemistry and voltage share is worked out once.
    kinds = [(design.chemistry, design.system_voltage_v) for design in designs]
    shared = {kind: _row_of_kind(*kind) for kind in dict.fromkeys(kinds)}
    rows = np.array([shared[kind] for kind in kinds])
    _put_sizes(rows, designs)
    return rows


def floor_at(design: Design, temp_c: float) -> float:
    """State of charge at which the loads go off, with the bank at a temperature, degrees C.

    In the cold it rises with the share of capacity that is left, as in the dispatch.
    """
    return _risen(design, design.floor_soc, temp_c)


def reconnect_at(design: Design, temp_c: float) -> float:
    """State of charge from which the loads are on again after a cut-off, as `floor_at`."""
    chemistry = load_chemistry(design.chemistry)
    return _risen(design, _reconnect_soc(chemistry, design.floor_soc), temp_c)


def _risen(design: Design, soc: float, temp_c: float) -> float:
    share = float(capacity_share_at(load_chemistry(design.chemistry), temp_c))
    return soc + (1.0 - share) * (1.0 - soc)


def usable_wh(design: Design, temp_c: float = RATED_TEMP_C) -> float:
    """Energy of a rested bank between full and its floor, Wh at open-circuit voltage.

    In the cold the floor rises with the share of capacity that is left, as in the dispatch.

    Parameters
    ----------
    design : Design
        The bank.
    temp_c : float
        Its temperature, degrees C; what it is rated at where left out.
    """
    chemistry = load_chemistry(design.chemistry)
    share = float(capacity_share_at(chemistry, temp_c))
    soc = np.linspace(floor_at(design, temp_c), 1.0, 401)
    mean_v = float(np.interp(soc, chemistry.open_circuit_soc, chemistry.open_circuit_v).mean())
    scale = design.system_voltage_v / 12.0
    return mean_v * scale * design.capacity_ah * (1.0 - design.floor_soc) * share


def _row_of_kind(name: str, system_voltage_v: float) -> FloatArray:
    chemistry = load_chemistry(name)
    scale = system_voltage_v / 12.0
    c, k = chemistry.tank_share, chemistry.tank_rate_per_h
    keep = math.exp(-k)
    gain_h = ((1.0 - keep) + c * (k - 1.0 + keep)) / k
    month_kept = 1.0 - chemistry.self_discharge_share_per_month
    row = np.zeros(Column.DESIGN_END)
    row[Column.TANK_KEEP] = keep
    row[Column.TANK_MIX] = c * (1.0 - keep)
    row[Column.TANK_GAIN_H] = gain_h
    row[Column.TANK_GAIN_INVERSE] = 1.0 / gain_h
    row[Column.ABSORPTION_V] = chemistry.absorption_v * scale
    row[Column.CUTOFF_V] = chemistry.cutoff_v * scale
    row[Column.KEEP_PER_H] = month_kept ** (1.0 / _HOURS_PER_MONTH)
    row[Column.CHARGING_V] = panels_bus_voltage_v(chemistry, system_voltage_v)
    row[Column.NOMINAL_INVERSE] = 1.0 / (scale * resting_voltage_v(chemistry))
    _put_curve(
        row,
        Column.VOLTAGE_AT_EMPTY,
        VOLTAGE_KNOTS,
        chemistry.open_circuit_soc,
        scale * chemistry.open_circuit_v,
    )
    _put_curve(
        row,
        Column.EFFICIENCY_AT_EMPTY,
        EFFICIENCY_KNOTS,
        chemistry.coulombic_soc,
        chemistry.coulombic_share,
    )
    return row


def _put_sizes(rows: FloatArray, designs: Sequence[Design]) -> None:
    chemistries = [load_chemistry(design.chemistry) for design in designs]

    def column(values: Iterable[float]) -> FloatArray:
        return np.fromiter(values, np.float64, len(designs))

    pairs = list(zip(designs, chemistries, strict=True))
    capacity_ah = column(d.capacity_ah for d in designs)
    scale = column(d.system_voltage_v for d in designs) / 12.0 / capacity_ah
    discharge_ohm = column(c.discharge_ohm_ah for c in chemistries) * scale
    charge_ohm = column(c.charge_ohm_ah for c in chemistries) * scale
    tanks_ah = column(tank_total_ah(c, d.capacity_ah) for d, c in pairs)
    heater_w = column(d.heater_w for d in designs)
    for at, values in {
        Column.TANKS_AH: tanks_ah,
        Column.TANKS_INVERSE: 1.0 / tanks_ah,
        Column.AVAILABLE_AH: column(c.tank_share for c in chemistries) * tanks_ah,
        Column.DISCHARGE_OHM: discharge_ohm,
        Column.DISCHARGE_INVERSE: 1.0 / discharge_ohm,
        Column.CHARGE_OHM: charge_ohm,
        Column.CHARGE_INVERSE: 1.0 / charge_ohm,
        Column.CHARGE_A: column(c.charge_c_rate for c in chemistries) * capacity_ah,
        Column.DISCHARGE_A: column(c.discharge_c_rate for c in chemistries) * capacity_ah,
        Column.FLOOR_DEPTH: 1.0 - column(d.floor_soc for d in designs),
        Column.RECONNECT_DEPTH: 1.0 - column(_reconnect_soc(c, d.floor_soc) for d, c in pairs),
        Column.CONTROLLER_A: column(d.controller_max_a for d in designs),
        Column.PANELS: column(d.panel_count for d in designs),
        Column.MPPT: column(not d.pwm for d in designs),
        Column.PWM_A_PER_W: column(d.pwm for d in designs) / rows[:, Column.CHARGING_V],
        Column.HEATER_W: heater_w,
        Column.HEATER_INVERSE: np.divide(
            1.0, heater_w, out=np.zeros(len(designs)), where=heater_w > 0.0
        ),
    }.items():
        rows[:, at] = values


def _put_curve(row: FloatArray, start: int, knots: int, soc: FloatArray, value: FloatArray) -> None:
    # A broken line as the value at empty plus hinges: each knot adds the change of slope.
    slope = np.diff(value) / np.diff(soc)
    used = len(slope)
    if used > knots:
        raise ValueError(f"a curve has {used} segments; the kernel takes {knots}")
    row[start] = value[0]
    row[start + 1 : start + 1 + used] = soc[:-1]
    row[start + 1 + knots : start + 1 + knots + used] = np.diff(slope, prepend=0.0)


def _reconnect_soc(chemistry: Chemistry, floor_soc: float) -> float:
    if floor_soc == chemistry.floor_soc:
        return chemistry.reconnect_soc
    return min(floor_soc + _RECONNECT_RISE, 1.0)
