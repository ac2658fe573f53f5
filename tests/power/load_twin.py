"""Loads hour by hour in NumPy, a step of arithmetic at a time: written to be read."""

from __future__ import annotations

import numpy as np


def add_load_twin(on_share, above_w, rows, sums, mean_w):
    """Do what `solarsim.power.load_loop.add_load` does."""
    mean_w[:] = on_share * above_w
    sums[0][rows] += mean_w
    sums[1][rows] += (on_share > 0.0) * above_w
    if len(sums) > 2:
        sums[2][rows] += mean_w * above_w * (1.0 - on_share)
        sums[3][rows] *= 1.0 - on_share


def run_heater_twin(heat_w, part, *, count, least_w, most_w, lowest_power_w, power_w):
    """Return what `solarsim.power.load_loop.run_heater` gives."""
    own_w = heat_w * part / count
    if least_w > 0.0:
        on_share = np.minimum(own_w * (1.0 / least_w), 1.0)
    else:
        on_share = np.where(own_w > 0.0, 1.0, 0.0)
    above = np.clip((own_w - least_w) / (most_w - least_w), 0.0, 1.0)
    return on_share, lowest_power_w + above * (power_w - lowest_power_w)


def glow_share_twin(on_share, *, most_starts, minutes):
    """Return what `solarsim.power.load_loop.glow_share` gives."""
    starts = most_starts * on_share * (1.0 - on_share)
    starts[0] += on_share[0] > 0.0
    starts[1:] += (on_share[1:] > 0.0) & (on_share[:-1] == 0.0)
    return np.minimum(starts * minutes / 60.0, 1.0)


def scheduled_hours_twin(factors, days, weights):
    """Return what `solarsim.power.load_loop.scheduled_hours` gives."""
    share = np.zeros((len(days), factors.shape[1]))
    for days_before in (0, 1, -1):
        share += weights[:, days_before, np.newaxis] * factors[days + 1 - days_before]
    return np.minimum(share, 1.0)
