"""What a measured current tells: capacity by counting charge, loads and light by balance of power.

Beside a current the bank needs no model: the kernel turns power into the charge that the log holds
already. What it stores over what its state of charge gains is its capacity; what the sun gives less
what it stores is the load.
"""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np
import numpy.typing as npt

from solarsim.answers.calibrate_fit import (
    ABOVE_FLOOR_SOC,
    OUTLIER,
    Fit,
    FitInput,
    sandwich,
    scatter,
)
from solarsim.power.chemistry import load_chemistry, tank_total_ah
from solarsim.weather.record import FloatArray

__all__ = ["BankFit", "fit_bank", "fit_flow"]

IntArray = npt.NDArray[np.int64]

# Above these a bank takes less than the sun gives. Monitors set themselves to full well before it.
_FULL_SOC = 0.97
_COUNTED_SOC = 0.95
_DAY_HOURS = 24
_LEAST_HOURS = 6
_LEAST_SCALE_SOC = 0.002
_ROUNDS = 8
_LOAD_LIMIT_W = 5000.0
_YIELD_LIMITS = (0.02, 3.0)
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
class BankFit:
    """Capacity over that of the van's file and what the state of charge gains beyond what flows.

    Attributes
    ----------
    capacity_factor : float
        Of both, the charge at the 20-hour rate and the total.
    capacity_error_share : float
        One standard error, as a share.
    drift_soc_per_h : float
        Gain of the measured state of charge an hour.
    """

    capacity_factor: float
    capacity_error_share: float
    drift_soc_per_h: float


def fit_bank(given: FitInput, net_a: FloatArray) -> BankFit | None:
    """Capacity and drift by counting the charge; None where no day tells either.

    Within every day the state of charge rises by the charge over the capacity, and by the drift;
    hours near full are left out, where a monitor sets itself.

    Parameters
    ----------
    given : FitInput
        State of charge and bank.
    net_a : ndarray
        ``(hours,)`` mean current into the bank, A, NaN in gaps.
    """
    from scipy import optimize

    chemistry = load_chemistry(given.design.chemistry)
    known = np.isfinite(given.soc) & np.isfinite(net_a)
    kept = np.interp(given.soc, chemistry.coulombic_soc, chemistry.coulombic_share)
    stored_ah = np.where(known & (net_a > 0.0), kept * net_a, net_a)
    edge_ah = np.concatenate([[0.0], np.cumsum(np.where(known, stored_ah, 0.0))])
    # The hour's mean state of charge is that of its middle.
    middle_ah = 0.5 * (edge_ah[1:] + edge_ah[:-1])
    gap = np.cumsum(~known)
    stretch = np.arange(len(known)) // _DAY_HOURS + gap * len(known)
    used = known & (given.soc < _COUNTED_SOC)
    rows, soc_rows, sizes = [], [], []
    for one in np.unique(stretch[used]):
        here = np.flatnonzero(used & (stretch == one))
        if len(here) < _LEAST_HOURS:
            continue
        terms = np.column_stack([middle_ah[here], here.astype(np.float64)])
        rows.append(terms - terms.mean(axis=0))
        soc_rows.append(given.soc[here] - given.soc[here].mean())
        sizes.append(len(here))
    if not rows:
        return None
    terms, soc = np.vstack(rows), np.concatenate(soc_rows)
    day = np.repeat(np.arange(len(sizes)), sizes)
    slope = np.linalg.lstsq(terms, soc, rcond=None)[0]
    scale = scatter(terms @ slope - soc, _LEAST_SCALE_SOC)
    scaled, target = terms / scale, soc / scale
    result: Any = optimize.least_squares(
        lambda theta: scaled @ theta - target,
        slope,
        jac=lambda _: scaled,
        x_scale=np.maximum(np.abs(slope), 1e-6),
        loss="soft_l1",
        f_scale=OUTLIER,
    )
    slope = np.asarray(result.x, dtype=np.float64)
    if slope[0] <= 0.0:
        return None
    covariance = sandwich(scaled, scaled @ slope - target, day)
    total_ah = tank_total_ah(chemistry, given.design.capacity_ah)
    return BankFit(
        capacity_factor=float(1.0 / slope[0] / total_ah),
        capacity_error_share=float(np.sqrt(covariance[0, 0]) / slope[0]),
        drift_soc_per_h=float(slope[1]),
    )


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
        low, high = _YIELD_LIMITS
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
            f_scale=OUTLIER,
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
        apart2 = np.minimum(apart2, (OUTLIER * self.scatter_w) ** 2)
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
        return np.asarray(np.linalg.pinv(jacobian.T @ jacobian, hermitian=True), dtype=np.float64)

    def flattened(self) -> FloatArray:
        """What a light that is off by chance may have taken from each parameter."""
        own = self.covariance()[:, self.loads]
        noise = self.light_share2 * float(((self.light_w / self.scatter_w) ** 2).sum())
        return _FLATTENED_SHARE * noise * float(self.theta[self.loads]) * own

    def outcome(self) -> Fit:
        """Loads averaged over the log's hours, with their errors."""
        covariance, flattened = self.covariance(), self.flattened()
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
