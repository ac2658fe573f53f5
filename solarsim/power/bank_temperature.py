"""How warm the bank is: it follows the air around it, slowly."""

from __future__ import annotations

import math

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["BANK_TIME_CONSTANT_H", "bank_temperature_c"]

# Some 12 to 25 kg a unit in a cabinet: common practice, no source.
BANK_TIME_CONSTANT_H = 8.0


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
    keep = math.exp(-1.0 / time_constant_h)
    bank = np.empty_like(surrounding_c)
    state = surrounding_c[:, :24].mean(axis=1)
    for hour in range(surrounding_c.shape[1]):
        state = keep * state + (1.0 - keep) * surrounding_c[:, hour]
        bank[:, hour] = state
    return bank
