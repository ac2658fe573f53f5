"""How warm the bank is: it follows the air around it, slowly."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.compiled.machine_code import MachineCode, row_of, step, table_of

__all__ = ["BANK_TIME_CONSTANT_H", "CODE", "bank_temperature_c"]

# Some 12 to 25 kg a unit in a cabinet: common practice, no source.
BANK_TIME_CONSTANT_H = 8.0


@step
def _follow(surrounding_c: Any, bank_c: Any, start_c: float, keep: float) -> None:
    """Follow one run's air."""
    state_c = start_c
    for hour in range(len(bank_c)):
        state_c = keep * state_c + (1.0 - keep) * surrounding_c[hour]
        bank_c[hour] = state_c


def _entry(arrays: Any, shapes: Any, whole: Any, real: Any) -> None:
    surrounding_c, bank_c = table_of(arrays, shapes, 0), table_of(arrays, shapes, 1)
    start_c = row_of(arrays, shapes, 2)
    for run in range(len(start_c)):
        _follow(surrounding_c[run], bank_c[run], start_c[run], real[0])


CODE = MachineCode("bank_temperature", _entry, [Path(__file__)])


def bank_temperature_c(
    surrounding_c: FloatArray, *, time_constant_h: float = BANK_TIME_CONSTANT_H
) -> FloatArray:
    """Temperature of a body that follows its surroundings with one time constant.

    Parameters
    ----------
    surrounding_c : ndarray
        ``(runs, hours)`` air around the bank, degrees C; it starts at the first day's mean.
    time_constant_h : float
        Hours in which 63 % of a step is followed.
    """
    start_c = surrounding_c[:, :24].mean(axis=1)
    bank_c = np.empty(surrounding_c.shape)
    arrays = [np.ascontiguousarray(surrounding_c, dtype=np.float64), bank_c, start_c]
    CODE(arrays, real=[math.exp(-1.0 / time_constant_h)])
    return bank_c
