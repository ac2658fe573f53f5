"""Loads and light by balance of power: the load is what the sun gives less what the bank stores.

The flow into the bank is measured, or follows from the state of charge as the kernel has it.
"""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np

from solarsim.answers.calibrate.ahead import ABOVE_FLOOR_SOC, FitInput
from solarsim.arrays import FloatArray, IntArray
from solarsim.power.chemistry import load_chemistry, tank_total_ah

__all__ = ["Fit", "fit_flow", "flow_of_soc"]


# Above this a bank takes less than the sun gives.
_FULL_SOC = 0.97
# Residuals beyond so many times the usual scatter count less and less. A load's own scatter is
# skewed: a tighter limit would find its median and not its mean.
_OUTLIER = 4.0
_ROUNDS = 8
_LOAD_LIMIT_W = 5000.0
_YIELD_LIMITS = (0.02, 3.0)
_SLIVER = 1e-6
_DAY_LIMITS = (0.05, 20.0)
# Where the learning of the scatters begins, and how small they may become.
_FIRST_SCATTER_W = 10.0
_FIRST_STEP_W = 20.0
_FIRST_DAY_SHARE = 0.2
_LEAST_SCATTER_W = 1.0
_DAY_SHARE_LIMITS = (0.02, 1.0)
# What is lost where the record scatters about the truth, over the first-order figure for an error
# in a regressor: as found on logs with known truth, whose light was off by a fifth.
_FLATTENED_SHARE = 0.5


@dataclasses.dataclass(frozen=True)
class Fit:
    """The best parameters with one standard error each; see `FitInput`."""

    loads_w: FloatArray
    loads_error_w: FloatArray
    load_mean_w: float
    load_mean_error_w: float
    yield_factor: float
    yield_error_share: float
    days: int


def flow_of_soc(given: FitInput) -> tuple[FitInput, FloatArray]:
    """Power into the bank by its states of charge, and what is fitted seen through the same blur.

    Means of hours differ by a half of each hour's flow, so that the difference of an hour's
    neighbours holds a half of its own and a quarter of theirs; light and loads are taken so, too.

    Parameters
    ----------
    given : FitInput
        State of charge, light, shape of the loads and bank.

    Returns
    -------
    blurred : FitInput
        The state of charge is the highest of the three hours.
    net_w : ndarray
        ``(hours,)``, NaN in gaps and beside them.
    """
    chemistry, design, soc = load_chemistry(given.design.chemistry), given.design, given.soc
    flow_a = np.full(len(soc), np.nan)
    flow_a[1:-1] = 0.5 * (soc[2:] - soc[:-2]) * tank_total_ah(chemistry, design.capacity_ah)
    kept = np.interp(soc, chemistry.coulombic_soc, chemistry.coulombic_share)
    net_a = np.where(flow_a > 0.0, flow_a / kept, flow_a)
    ohm_ah = np.where(net_a > 0.0, chemistry.charge_ohm_ah, chemistry.discharge_ohm_ah)
    unit_v = np.interp(soc, chemistry.open_circuit_soc, chemistry.open_circuit_v)
    unit_v = unit_v + ohm_ah / design.capacity_ah * net_a
    highest = soc.copy()
    highest[1:-1] = np.maximum(np.maximum(soc[:-2], soc[1:-1]), soc[2:])
    blurred = dataclasses.replace(
        given,
        soc=highest,
        light_w=_blurred(given.light_w),
        load_shape=_blurred(given.load_shape),
    )
    return blurred, net_a * unit_v * design.system_voltage_v / 12.0


def _blurred(values: FloatArray) -> FloatArray:
    out = values.copy()
    out[1:-1] = 0.25 * values[:-2] + 0.5 * values[1:-1] + 0.25 * values[2:]
    return out


def fit_flow(given: FitInput, net_w: FloatArray, day: IntArray) -> Fit:
    """Loads and yield by the balance of power of the hours in which the bank takes all.

    The load of an hour is its hour's usual one times its day's factor. How far days differ, how far
    an hour's load scatters, how smooth the day is, and how far the light is off are all learnt from
    the log; the standard errors rest on them. Light that is off by chance flattens the fit where
    the record scatters about the truth, and does not where the truth scatters about the record.
    Which of both it is no log tells: the parameters are moved half-way, and the whole way is one
    more standard error.

    Parameters
    ----------
    given : FitInput
        Light, the shape of the loads, state of charge and bank.
    net_w : ndarray
        ``(hours,)`` mean power into the bank, W, NaN in gaps.
    day : ndarray of int
        ``(hours,)`` number of the local day, from 0.

    References
    ----------
    .. [1] N. M. Laird and J. H. Ware, "Random-effects models for longitudinal data", Biometrics 38,
       1982 (days that differ, and their spread by expectation and maximisation).
    .. [2] R. J. Carroll, D. Ruppert, L. A. Stefanski and C. M. Crainiceanu, "Measurement Error in
       Nonlinear Models", 2006 (both kinds of error in a regressor).
    """
    flow = _Flow(given, net_w, day)
    for _ in range(_ROUNDS):
        flow.fit()
        flow.learn()
    return flow.outcome()


class _Flow:
    """The balance of power with its scatters; parameters are loads, yield and days' factors."""

    def __init__(self, given: FitInput, net_w: FloatArray, day: IntArray) -> None:
        self.counted = np.isfinite(given.soc) & np.isfinite(net_w)
        takes_all = (given.soc < _FULL_SOC) | (given.light_w <= 0.0)
        above_floor = given.soc > given.design.floor_soc + ABOVE_FLOOR_SOC
        used = self.counted & takes_all & above_floor
        self.given, self.all_days = given, day
        self.shape, self.light_w = given.load_shape[used], given.light_w[used]
        self.net_w, self.day = net_w[used], day[used]
        self.loads, self.days = given.load_shape.shape[1], int(day.max()) + 1
        self.scatter_w = np.full(len(self.net_w), _FIRST_SCATTER_W)
        self.light_share2 = 0.0
        self.step_w, self.day_share = _FIRST_STEP_W, _FIRST_DAY_SHARE
        dark = self.net_w[self.light_w <= 0.0]
        first_w = max(-float(dark.mean()), 1.0) if len(dark) else 50.0
        one = np.ones(self.loads)
        self.theta = np.concatenate([first_w * one, [1.0], np.ones(self.days)])
        none, most = np.zeros(self.loads), np.full(self.loads, _LOAD_LIMIT_W)
        low_day, high_day = (np.full(self.days, limit) for limit in _DAY_LIMITS)
        low, high = _YIELD_LIMITS if given.fit_yield else (1.0 - _SLIVER, 1.0 + _SLIVER)
        self.bounds = (
            np.concatenate([none, [low], low_day]),
            np.concatenate([most, [high], high_day]),
        )
        # How one load differs from the next; a single one has no neighbour.
        neighbours = np.roll(np.eye(self.loads), 1, axis=1) - np.eye(self.loads)
        self.steps = neighbours if self.loads > 1 else np.empty((0, 1))

    def parts(self, theta: FloatArray) -> tuple[FloatArray, float, FloatArray]:
        """Loads, yield and days' factors."""
        return theta[: self.loads], float(theta[self.loads]), theta[self.loads + 1 :]

    def residuals(self, theta: FloatArray) -> FloatArray:
        """Model less log, then what is believed of days and of neighbouring hours."""
        loads, factor, days = self.parts(theta)
        load_w = (self.shape @ loads) * days[self.day]
        apart = (factor * self.light_w - load_w - self.net_w) / self.scatter_w
        row: FloatArray = np.concatenate(
            [apart, (days - 1.0) / self.day_share, self.steps @ loads / self.step_w]
        )
        return row

    def jacobian(self, theta: FloatArray) -> FloatArray:
        """Derivatives of `residuals`."""
        loads, _, days = self.parts(theta)
        hours, at = len(self.net_w), np.arange(len(self.net_w))
        out = np.zeros((hours + self.days + len(self.steps), len(theta)))
        out[:hours, : self.loads] = -self.shape * days[self.day, np.newaxis]
        out[:hours, self.loads] = self.light_w
        out[at, self.loads + 1 + self.day] = -self.shape @ loads
        out[:hours] /= self.scatter_w[:, np.newaxis]
        out[hours : hours + self.days, self.loads + 1 :] = np.eye(self.days) / self.day_share
        out[hours + self.days :, : self.loads] = self.steps / self.step_w
        return out

    def fit(self) -> None:
        """Best parameters at the scatters known so far."""
        from scipy import optimize

        result: Any = optimize.least_squares(
            self.residuals,
            self.theta,
            jac=self.jacobian,
            bounds=self.bounds,
            x_scale=np.concatenate([np.full(self.loads, 50.0), [0.3], np.full(self.days, 0.2)]),
            loss="soft_l1",
            f_scale=_OUTLIER,
            max_nfev=50,
            ftol=1e-5,
            xtol=1e-5,
        )
        self.theta = np.asarray(result.x, dtype=np.float64)

    def learn(self) -> None:
        """Scatters of hours, days and steps, from what is left over and how sure that is."""
        from scipy import optimize

        loads, factor, days = self.parts(self.theta)
        covariance = self.covariance()
        load_w, sun_w = (self.shape @ loads) * days[self.day], factor * self.light_w
        apart2 = (sun_w - load_w - self.net_w) ** 2
        apart2 = np.minimum(apart2, (_OUTLIER * self.scatter_w) ** 2)
        # A share of the load, a share of the light, and a constant.
        terms = np.column_stack([load_w**2, sun_w**2, np.ones(len(load_w))])
        weight = self.scatter_w**-2
        shares2, _ = optimize.nnls(terms * weight[:, np.newaxis], apart2 * weight)
        self.scatter_w = np.sqrt(np.maximum(terms @ shares2, _LEAST_SCATTER_W**2))
        self.light_share2 = float(shares2[1])
        spread2 = (days - 1.0) ** 2 + np.diag(covariance)[self.loads + 1 :]
        self.day_share = float(np.clip(np.sqrt(spread2.mean()), *_DAY_SHARE_LIMITS))
        if len(self.steps):
            own = self.steps @ covariance[: self.loads, : self.loads] @ self.steps.T
            step2 = (self.steps @ loads) ** 2 + np.diag(own)
            self.step_w = max(float(np.sqrt(step2.mean())), _LEAST_SCATTER_W)

    def covariance(self) -> FloatArray:
        """Of all parameters, at the scatters known so far."""
        jacobian = self.jacobian(self.theta)
        if not self.given.fit_yield:
            jacobian[:, self.loads] = 0.0
        # What no hour tells is known no better than its limit.
        known = np.diag(self.bounds[1] ** -2.0)
        return np.asarray(np.linalg.inv(jacobian.T @ jacobian + known), dtype=np.float64)

    def flattened(self, covariance: FloatArray) -> FloatArray:
        """What a light that is off by chance may have taken from each parameter."""
        if not self.given.fit_yield:
            return np.zeros(len(self.theta))
        own = covariance[:, self.loads]
        noise = self.light_share2 * float(((self.light_w / self.scatter_w) ** 2).sum())
        return _FLATTENED_SHARE * noise * float(self.theta[self.loads]) * own

    def outcome(self) -> Fit:
        """Loads averaged over the log's hours, with their errors."""
        covariance = self.covariance()
        flattened = self.flattened(covariance)
        loads, factor, days = self.parts(np.maximum(self.theta + 0.5 * flattened, 0.0))
        shape = self.given.load_shape[self.counted]
        day = self.all_days[self.counted]
        each_w = shape @ loads
        by_day = np.bincount(day, each_w, self.days) / len(day)
        slope = np.concatenate([(shape * days[day, np.newaxis]).mean(axis=0), [0.0], by_day])
        error = np.sqrt(np.maximum(np.diag(covariance), 0.0) + flattened**2)
        usual = float(days[day].mean())
        return Fit(
            loads_w=usual * loads,
            loads_error_w=usual * error[: self.loads],
            load_mean_w=float((each_w * days[day]).mean()),
            load_mean_error_w=float(np.sqrt(slope @ covariance @ slope + (slope @ flattened) ** 2)),
            yield_factor=factor,
            yield_error_share=float(error[self.loads] / factor)
            if self.light_w.any()
            else float("inf"),
            days=len(np.unique(self.day)),
        )
