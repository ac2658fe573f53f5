"""Charging from the alternator or from shore in a log, told apart from the sun."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.calibrate.log import BankLog
from solarsim.arrays import BoolArray, FloatArray

__all__ = ["OtherCharging", "other_charging"]

# What a shunt's noise may show as charge in an hour without any: an estimate, no source.
_MARGIN_W = 15.0
# Panels in cold clear air may give so much more than the model of them: an estimate, no source.
_MOST_YIELD = 1.25
# A bank that gives less than this share of its usual draw at night has its loads carried for it.
_CARRIED_SHARE = 0.3
_FULL_SOC = 0.9
_LEAST_HOURS = 3
# A charger is plugged in and out within the hour, and holds a full bank up after dawn.
_BESIDE_HOURS = 2


@dataclasses.dataclass(frozen=True)
class OtherCharging:
    """What came from elsewhere than the sun; arrays are ``(hours,)``.

    Attributes
    ----------
    other_w : ndarray
        Mean power by the log's own columns, 0 where it has none.
    left_out : ndarray of bool
        Hours in which something else than the sun charged by an unknown power.
    sun_held : ndarray of bool
        Hours in which another charger may have kept the bank from taking all of the sun.
    """

    other_w: FloatArray
    left_out: BoolArray
    sun_held: BoolArray


def other_charging(
    log: BankLog, net_w: FloatArray, light_w: FloatArray, dark: BoolArray
) -> OtherCharging:
    """Find alternator and shore by their columns, else by the hours in which the sun cannot be it.

    Parameters
    ----------
    log : BankLog
        What was measured.
    net_w : ndarray
        ``(hours,)`` power into the bank, NaN in gaps.
    light_w : ndarray
        ``(hours,)`` the most that the panels would give by the model.
    dark : ndarray of bool
        ``(hours,)`` whether there is no light.
    """
    if log.has_other:
        missing = ~np.isfinite(log.other_w)
        other_w = np.nan_to_num(log.other_w)
        return OtherCharging(other_w, missing, missing | _beside(other_w > _MARGIN_W))
    known = np.isfinite(net_w)
    most_w = _MOST_YIELD * light_w
    if log.has_solar:
        most_w = np.where(np.isfinite(log.solar_w), log.solar_w, most_w)
    found = known & (net_w > np.where(dark, 0.0, most_w) + _MARGIN_W)
    drawn = -net_w[known & dark & (net_w < 0.0)]
    if len(drawn):
        carried = known & dark & (net_w > -_CARRIED_SHARE * float(np.median(drawn)))
        found |= _long_rows(carried & (log.soc > _FULL_SOC))
        found = _grown(found, carried)
    left_out = _beside(found)
    return OtherCharging(np.zeros(len(net_w)), left_out, left_out)


def _long_rows(hours: BoolArray) -> BoolArray:
    """Those of `hours` that stand in rows of at least `_LEAST_HOURS`."""
    out = np.zeros(len(hours), dtype=bool)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], hours, [False]]).astype(np.int8)))
    for begin, end in edges.reshape(-1, 2):
        out[begin:end] = end - begin >= _LEAST_HOURS
    return out


def _grown(found: BoolArray, into: BoolArray) -> BoolArray:
    """Rows of `into` that touch what was found, with it."""
    out = found.copy()
    both = found | into
    edges = np.flatnonzero(np.diff(np.concatenate([[False], both, [False]]).astype(np.int8)))
    for begin, end in edges.reshape(-1, 2):
        if found[begin:end].any():
            out[begin:end] = True
    return out


def _beside(found: BoolArray) -> BoolArray:
    wide = np.convolve(found, np.ones(2 * _BESIDE_HOURS + 1), mode="same") > 0.5
    return np.asarray(wide, dtype=bool)
