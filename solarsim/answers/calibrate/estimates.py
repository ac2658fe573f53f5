"""What a log tells of load, light and bank, with its uncertainty, or why it does not tell it."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pandas as pd

from solarsim.answers.calibrate.bank import BankFit
from solarsim.answers.calibrate.flow import Fit
from solarsim.answers.calibrate.log import BankLog
from solarsim.arrays import FloatArray
from solarsim.inputs.percent import percent
from solarsim.power.chemistry import load_chemistry
from solarsim.power.design import Design

__all__ = [
    "Estimate",
    "Loads",
    "beside_shape",
    "capacity_estimate",
    "coulombic_estimate",
    "load_estimate",
    "measured_loads",
    "yield_estimate",
    "yield_of",
]

# Below the bend where a bank near full takes less than the sun gives.
_NOT_FULL_SOC = 0.92
_LEAST_RANGE_SOC = 0.25
_LEAST_CYCLES = 3.0
_MOST_ERROR = {"load": 0.15, "yield": 0.2, "capacity": 0.1, "coulombic": 0.02}
# How far a load by day may be off whose course is taken from the profile: as found on logs with
# known truth and another course.
_SHAPE_SHARE = 0.12
# What a load should be told to.
_CLOSE_SHARE = 0.05
# How far a meter's gain may be off, the chemistry's losses in charging among it: an estimate, no
# source.
_GAIN_SHARE = 0.02
# A shunt's zero may be off by so much: common practice, no source.
_OFFSET_A = 0.02
# How far a monitor's state of charge may be off at a moment: an estimate, no source.
_SOC_READING = 0.02
# Without a current, load and light are only told as shares of a capacity, which may be off by so
# much: common practice, no source.
_CAPACITY_SHARE = 0.1
_BY_CAPACITY = "; no current in it, so it stands and falls with the van's stated capacity"


@dataclasses.dataclass(frozen=True)
class Estimate:
    """One figure that the log tells, or why it does not.

    Attributes
    ----------
    name : str
        ``"base load"``, ``"solar yield"``, ``"usable capacity"`` or ``"coulombic efficiency"``.
    unit : str
        Of `value`; empty for a ratio.
    value, error : float or None
        The figure and one standard error, both None where the log does not tell it.
    assumed : float
        What the van and its profile said.
    reason : str
        Why it is not determined; else what it rests on.
    """

    name: str
    unit: str
    value: float | None
    error: float | None
    assumed: float
    reason: str


@dataclasses.dataclass(frozen=True)
class Loads:
    """Base load by hour of the local clock, ``(24,)`` W, and its mean, with standard errors."""

    by_hour_w: FloatArray
    by_hour_error_w: FloatArray
    mean_w: float
    mean_error_w: float
    days: int


def yield_of(
    fit: Fit | None, log: BankLog, ensemble_w: FloatArray, *, exact: bool
) -> tuple[float, float]:
    """Yield factor against the reference light, and its standard error as a share.

    Parameters
    ----------
    fit : Fit or None
        Of the light where the log has no solar power.
    log : BankLog
        What was measured.
    ensemble_w : ndarray
        ``(runs, hours)`` what the model expects, in one run of the true weather or in many of the
        climate's.
    exact : bool
        Whether it is the true weather.
    """
    if fit is not None and not log.has_solar:
        factor, error = fit.yield_factor, _beside_capacity(fit.yield_error_share, log)
        if exact:
            return factor, error
        counted = np.isfinite(log.soc)
    else:
        counted = np.isfinite(log.solar_w) & np.isfinite(log.soc) & (log.soc < _NOT_FULL_SOC)
        expected = ensemble_w[:, counted].sum(axis=1)
        harvest = float(log.solar_w[counted].sum())
        if not counted.any() or expected.min() <= 0.0 or harvest <= 0.0:
            return math.nan, math.inf
        factor, error = harvest / float(expected.mean()), _GAIN_SHARE
        if exact:
            days = pd.Series(log.solar_w[counted] - factor * ensemble_w[0, counted])
            by_day = days.groupby(log.times.normalize()[counted]).sum()
            return factor, math.hypot(by_day.std() * math.sqrt(len(by_day)) / harvest, error)
    # Not the weather of these days: runs of the climate differ by the sky and by its own data.
    total = ensemble_w[:, counted].sum(axis=1)
    return factor, math.hypot(error, float(total.std() / max(total.mean(), 1e-9)))


def _beside_capacity(error_share: float, log: BankLog) -> float:
    return error_share if log.has_current else math.hypot(error_share, _CAPACITY_SHARE)


def beside_shape(load: Loads) -> Loads:
    """Loads whose course over the day is the profile's, with what that may be off."""
    shape = _SHAPE_SHARE
    return dataclasses.replace(
        load,
        by_hour_error_w=np.hypot(load.by_hour_error_w, shape * load.by_hour_w),
        mean_error_w=math.hypot(load.mean_error_w, shape * load.mean_w),
    )


def measured_loads(drawn_w: FloatArray, log: BankLog, hour: np.ndarray) -> Loads:
    """Loads by hour from their own measurement; days differ, and a day's hours go together.

    Parameters
    ----------
    drawn_w : ndarray
        ``(hours,)`` what the loads took, NaN in gaps.
    log : BankLog
        For its days.
    hour : ndarray
        ``(hours,)`` hour of the local clock.
    """
    mean = np.zeros(24)
    error = np.zeros(24)
    for one in range(24):
        here = drawn_w[(hour == one) & np.isfinite(drawn_w)]
        if len(here) > 1:
            mean[one] = here.mean()
            error[one] = here.std(ddof=1) / math.sqrt(len(here))
    known = np.isfinite(drawn_w)
    apart = pd.Series(drawn_w - mean[hour])
    by_day = apart.groupby(log.times.normalize()).mean().dropna()
    days = len(by_day)
    mean_error = float(by_day.std(ddof=1)) / math.sqrt(days) if days > 1 else math.inf
    return Loads(mean, error, float(mean[hour][known].mean()), mean_error, days)


def load_estimate(load: Loads, log: BankLog, assumed_w: float) -> Estimate:
    """Mean base load over the hours of the log."""
    share = _beside_capacity(load.mean_error_w / max(load.mean_w, 1e-9), log)
    basis = f"{load.days} days of the log"
    if not log.has_current:
        basis += _BY_CAPACITY
    elif share > _CLOSE_SHARE:
        basis += "; more days would tell it closer"
    return _estimate(
        "base load",
        "W",
        load.mean_w,
        load.mean_w * share,
        assumed_w,
        told=share <= _MOST_ERROR["load"],
        basis=basis,
        why=f"its error would be {percent(share)}",
    )


def yield_estimate(
    factor: float, error: float, panels: int, measured: bool, exact: bool
) -> Estimate:
    """Light that arrives over what the model of the van expects: soiling, shade and all else."""
    basis = "the weather of these dates" if exact else "the embedded climate, not these days' sky"
    if measured:
        basis = f"measured solar power against {basis}"
    if not panels:
        why = "the van has no panels"
    elif math.isinf(error):
        why = f"no light to speak of in it, by {basis}"
    else:
        why = f"its error would be {percent(error)} against {basis}"
    return _estimate(
        "solar yield",
        "",
        factor,
        error * factor,
        1.0,
        told=bool(panels) and error <= _MOST_ERROR["yield"],
        basis=basis,
        why=why,
    )


def capacity_estimate(fit: BankFit | None, log: BankLog, assumed_ah: float) -> Estimate:
    """Charge of a full bank at the 20-hour rate, as the state of charge moves with it."""
    low, high = np.nanpercentile(log.soc, [1, 99])
    why = ""
    if not log.has_current:
        why = "the log has no current or power"
    elif log.soc_counted:
        why = "the log has no state of charge of its own"
    elif high - low < _LEAST_RANGE_SOC:
        why = f"the bank was only used between {percent(low)} and {percent(high)}"
    factor, error = (1.0, math.inf) if fit is None else _factor_of(fit)
    if not why and error > _MOST_ERROR["capacity"]:
        why = f"its error would be {percent(error)}"
    return _estimate(
        "usable capacity",
        "Ah",
        factor * assumed_ah,
        factor * error * assumed_ah,
        assumed_ah,
        told=not why,
        basis=f"charge that moved the state of charge between {percent(low)} and {percent(high)}; "
        "a monitor that counts with a capacity of its own shows that one",
        why=why,
    )


def _factor_of(fit: BankFit) -> tuple[float, float]:
    """Capacity over that of the van's file, and its standard error as a share."""
    return fit.capacity_factor, math.hypot(fit.capacity_error_share, _GAIN_SHARE)


def coulombic_estimate(log: BankLog, own_ah: float, design: Design) -> Estimate:
    """Charge out over charge in, by the whole log's balance."""
    chemistry = load_chemistry(design.chemistry)
    assumed = float(np.interp(0.7, chemistry.coulombic_soc, chemistry.coulombic_share))
    if not log.has_current or log.soc_counted:
        missing = "a state of charge of its own" if log.has_current else "current or power"
        return _estimate(
            "coulombic efficiency", "", 0.0, 0.0, assumed, told=False, basis="",
            why=f"the log has no {missing}",
        )  # fmt: skip
    both = np.isfinite(log.net_a) & np.isfinite(log.soc)
    charged = float(log.net_a[both & (log.net_a > 0.0)].sum())
    drawn = -float(log.net_a[both & (log.net_a < 0.0)].sum())
    edges = np.flatnonzero(np.diff(np.concatenate([[False], both, [False]]).astype(np.int8)))
    spans = edges.reshape(-1, 2)
    rise = sum(float(log.soc[end - 1] - log.soc[begin]) for begin, end in spans)
    if charged < _LEAST_CYCLES * own_ah:
        return _estimate(
            "coulombic efficiency", "", 0.0, 0.0, assumed, told=False, basis="",
            why=f"only {charged / own_ah:.1f} fills went through the bank; "
            f"{_LEAST_CYCLES:g} are needed",
        )  # fmt: skip
    value = (drawn + rise * own_ah) / charged
    reading = math.sqrt(2.0 * len(spans)) * _SOC_READING * own_ah
    error = math.hypot(reading, _OFFSET_A * float(both.sum())) / charged
    return _estimate(
        "coulombic efficiency",
        "",
        value,
        error,
        assumed,
        told=error <= _MOST_ERROR["coulombic"] and 0.5 < value <= 1.0 + 2.0 * error,
        basis=f"{charged / own_ah:.1f} fills; the error is that of a current zero off by "
        f"{_OFFSET_A * 1000:.0f} mA; not written to the van, whose chemistry sets it",
        why=f"the balance gives {value:.2f} with an error of {error:.2f}",
    )


def _estimate(
    name: str,
    unit: str,
    value: float,
    error: float,
    assumed: float,
    *,
    told: bool,
    basis: str,
    why: str,
) -> Estimate:
    if told and math.isfinite(value) and math.isfinite(error):
        return Estimate(name, unit, value, error, float(assumed), basis)
    return Estimate(name, unit, None, None, float(assumed), f"not determined by this log: {why}")
