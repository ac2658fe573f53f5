"""A log's days, and what the model says of each of them when it starts from the measurement."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.power.design import Design
from solarsim.power.dispatch import Chargers, dispatch

__all__ = ["ABOVE_FLOOR_SOC", "FitInput", "day_ahead_soc", "pieces_of"]

# Near the floor the bank may be cut off, and then the log shows no load.
ABOVE_FLOOR_SOC = 0.03
# A piece starts from the measured state of charge; longer ones let errors of the load add up.
_PIECE_HOURS = 24
_SHORTEST_PIECE_HOURS = 6


@dataclasses.dataclass(frozen=True)
class FitInput:
    """What a fit looks at; arrays are ``(hours,)``.

    Attributes
    ----------
    soc : ndarray
        Measured mean state of charge of the hour, NaN in gaps.
    light_w : ndarray
        What the panels would give at a yield factor of 1, W.
    load_shape : ndarray
        ``(hours, loads)``: the load is this times the fitted watts.
    bank_temp_c : ndarray
        Bank temperature.
    design : Design
        The bank as the van's file has it; its panel count is 1, `light_w` is the whole array's.
    fit_yield : bool
        Whether the yield is free; else it is 1.
    """

    soc: FloatArray
    light_w: FloatArray
    load_shape: FloatArray
    bank_temp_c: FloatArray
    design: Design
    fit_yield: bool


def pieces_of(given: FitInput) -> list[tuple[int, int]]:
    """First hour and hour after the last of stretches up to a day, without gaps or cut-offs."""
    known = given.soc > given.design.floor_soc + ABOVE_FLOOR_SOC
    found = []
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(np.int8)))
    for begin, end in edges.reshape(-1, 2):
        for start in range(int(begin), int(end), _PIECE_HOURS):
            stop = min(start + _PIECE_HOURS, int(end))
            if stop - start >= _SHORTEST_PIECE_HOURS:
                found.append((start, stop))
    return found


def day_ahead_soc(given: FitInput, load_w: FloatArray, *, yield_factor: float) -> FloatArray:
    """State of charge of every hour when each day starts from the measured one; NaN in gaps."""
    out = np.full(len(given.soc), np.nan)
    for start, stop in pieces_of(given):
        hours = slice(start, stop)
        nothing = np.zeros((1, stop - start))
        outcome = dispatch(
            panel_w=yield_factor * given.light_w[np.newaxis, hours],
            dc_w=load_w[np.newaxis, hours],
            ac_w=nothing,
            inverter_loss_w=nothing,
            chargers=Chargers(nothing, nothing, nothing),
            bank_temp_c=given.bank_temp_c[np.newaxis, hours],
            designs=[given.design],
            start_soc=_start_soc(given.soc, start),
            ledger_hours=stop - start,
            soc_designs=1,
        )
        soc = outcome.soc[0, :, 0]
        out[hours] = 0.5 * (soc[:-1] + soc[1:])
    return out


def _start_soc(soc: FloatArray, hour: int) -> float:
    """Measured state of charge at an hour's start, between the means on both sides of it."""
    here = float(soc[hour])
    before = float(soc[hour - 1]) if hour > 0 else float("nan")
    if not np.isfinite(before):
        after = float(soc[hour + 1]) if hour + 1 < len(soc) else here
        before = 2.0 * here - after if np.isfinite(after) else here
    return min(max(0.5 * (before + here), 0.0), 1.0)
