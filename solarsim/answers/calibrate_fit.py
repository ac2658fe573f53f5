"""Least squares on the dispatch kernel: the loads and light that states of charge show."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np
import numpy.typing as npt

from solarsim.power.design import Design
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.weather.record import FloatArray

__all__ = [
    "ABOVE_FLOOR_SOC",
    "OUTLIER",
    "Fit",
    "FitInput",
    "day_ahead_soc",
    "fit_soc",
    "pieces_of",
    "sandwich",
    "scatter",
    "weights_of",
]

# Near the floor the bank may be cut off, and then the log shows no load.
ABOVE_FLOOR_SOC = 0.03
# Residuals beyond so many times the usual scatter count less and less. A load's own scatter is
# skewed: a tighter limit would find its median and not its mean.
OUTLIER = 4.0

# A piece starts from the measured state of charge; longer ones let errors of the load add up.
_PIECE_HOURS = 24
_SHORTEST_PIECE_HOURS = 6
_STEP = 1e-3
_LOAD_LIMIT_W = 5000.0
_YIELD_LIMITS = (0.02, 3.0)
_SLIVER = 1e-6
_LEAST_SCALE_SOC = 0.002
# From the median of absolute deviations to a standard deviation.
_MAD = 1.4826
_ROUNDS = 3
# Above these a bank takes less than the sun gives, and the charge tells nothing of either.
_FULL_SOC = 0.95
_MODEL_FULL_SOC = 0.97
# One hour's load differs from the next one's by so much: a weak prior, without which a log of
# states of charge alone cannot tell neighbouring hours apart. An estimate, no source.
_HOUR_TO_HOUR_W = 15.0


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


def fit_soc(given: FitInput) -> Fit:
    """Fit loads and yield to states of charge by robust least squares.

    Every piece of a day is dispatched by the same kernel as all answers, from the state of charge
    that was measured at its start; residuals are the state of charge of every hour. Standard errors
    let all hours of a day err together.

    Parameters
    ----------
    given : FitInput
        Log, light and bank.

    References
    ----------
    .. [1] M. A. Branch, T. F. Coleman and Y. Li, "A subspace, interior, and conjugate gradient
       method for large-scale bound-constrained minimization problems", SIAM Journal on Scientific
       Computing 21, 1999 (the method behind scipy's ``trf``).
    """
    from scipy import optimize

    problem = _Problem(given)
    theta = np.concatenate([np.full(problem.loads, 50.0), [1.0]])
    for _ in range(_ROUNDS):
        result: Any = optimize.least_squares(
            problem.residuals,
            theta,
            jac=problem.jacobian,
            bounds=problem.bounds(),
            x_scale=problem.sizes(),
            tr_solver="lsmr",
            loss="soft_l1",
            f_scale=OUTLIER,
            max_nfev=15,
            ftol=1e-4,
            xtol=1e-4,
        )
        theta = np.asarray(result.x, dtype=np.float64)
        problem.leave_out_full(theta)
        problem.learn_scale(theta)
    covariance = problem.covariance(theta)
    error = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    loads = problem.loads
    hours_share = given.load_shape[np.isfinite(given.soc)].mean(axis=0)
    return Fit(
        loads_w=theta[:loads],
        loads_error_w=error[:loads],
        load_mean_w=float(hours_share @ theta[:loads]),
        load_mean_error_w=float(np.sqrt(hours_share @ covariance[:loads, :loads] @ hours_share)),
        yield_factor=float(theta[loads]),
        yield_error_share=float(error[loads] / theta[loads]),
        days=len(problem.pieces),
    )


def day_ahead_soc(given: FitInput, load_w: FloatArray, *, yield_factor: float) -> FloatArray:
    """State of charge of every hour when each day starts from the measured one; NaN in gaps."""
    out = np.full(len(given.soc), np.nan)
    for start, stop in pieces_of(given):
        hours = slice(start, stop)
        light_w = yield_factor * given.light_w[np.newaxis, hours]
        soc = _dispatched(given, hours, load_w[np.newaxis, hours], light_w)[0]
        out[hours] = 0.5 * (soc[:-1] + soc[1:])
    return out


class _Problem:
    """Residuals and derivatives over all pieces, for loads and yield."""

    def __init__(self, given: FitInput) -> None:
        self.given = given
        self.pieces = pieces_of(given)
        self.loads = given.load_shape.shape[1]
        self.scale = 0.02
        # Which hours' state of charge counts.
        self.counts = np.full(len(given.soc), True)

    def bounds(self) -> tuple[FloatArray, FloatArray]:
        """Lower and upper limits; a yield that is not free is held in a sliver."""
        low, high = _YIELD_LIMITS if self.given.fit_yield else (1.0 - _SLIVER, 1.0 + _SLIVER)
        none, most = np.zeros(self.loads), np.full(self.loads, _LOAD_LIMIT_W)
        return np.concatenate([none, [low]]), np.concatenate([most, [high]])

    def sizes(self) -> FloatArray:
        """Typical size of each parameter."""
        return np.concatenate([np.full(self.loads, 50.0), [0.3]])

    def residuals(self, theta: FloatArray) -> FloatArray:
        """Differences of model and log, in units of their scatter."""
        row: FloatArray = self._batch(theta[np.newaxis])[0]
        return row

    def jacobian(self, theta: FloatArray) -> FloatArray:
        """Forward differences, every parameter's piece dispatched in one call."""
        step = _STEP * self.sizes()
        # Steps turn inwards at an upper limit.
        step = np.where(theta + step > self.bounds()[1], -step, step)
        rows = self._batch(np.vstack([theta, theta + np.diag(step)]))
        derivative: FloatArray = ((rows[1:] - rows[0]) / step[:, np.newaxis]).T
        return derivative

    def learn_scale(self, theta: FloatArray) -> None:
        """Take the residuals' own scatter as their unit."""
        hours = np.concatenate([np.arange(start, stop) for start, stop in self.pieces])
        apart = self.scale * self.residuals(theta)[: len(hours)]
        self.scale = scatter(apart[self.counts[hours]], _LEAST_SCALE_SOC)

    def leave_out_full(self, theta: FloatArray) -> None:
        """Let hours near full count no more, nor states of charge that come after them."""
        given = self.given
        for start, stop in self.pieces:
            hours = slice(start, stop)
            load_w = (given.load_shape[hours] @ theta[: self.loads])[np.newaxis]
            light_w = theta[self.loads] * given.light_w[np.newaxis, hours]
            soc = _dispatched(given, hours, load_w, light_w)[0, 1:]
            full = (soc > _MODEL_FULL_SOC) | (given.soc[hours] > _FULL_SOC)
            # By night nothing is refused; a piece that starts full is told by what it loses before
            # it fills again.
            lit = full & (given.light_w[hours] > 0.0)
            self.counts[hours] = ~np.maximum.accumulate(lit)

    def covariance(self, theta: FloatArray) -> FloatArray:
        """Sandwich estimate with a day's residuals as one cluster."""
        jacobian, row = self.jacobian(theta), self.residuals(theta)
        day = np.concatenate(
            [np.full(stop - start, k) for k, (start, stop) in enumerate(self.pieces)]
        )
        # The prior's rows belong to no day: they hold the fit and have no scatter.
        day = np.concatenate([day, np.full(len(row) - len(day), -1)])
        low, high = self.bounds()
        free = (high - low) > 10.0 * _SLIVER
        size = self.sizes()[free]
        out = np.zeros((len(theta), len(theta)))
        found = sandwich(jacobian[:, free] * size, row, day)
        out[np.ix_(free, free)] = found * np.outer(size, size)
        return out

    def _batch(self, thetas: FloatArray) -> FloatArray:
        """Residuals of several parameter vectors, ``(vectors, residuals)``."""
        given = self.given
        loads, factors = thetas[:, : self.loads], thetas[:, self.loads, np.newaxis]
        rows = []
        for start, stop in self.pieces:
            hours = slice(start, stop)
            load_w = loads @ given.load_shape[hours].T
            soc = _dispatched(given, hours, load_w, factors * given.light_w[hours])
            apart = (0.5 * (soc[:, :-1] + soc[:, 1:]) - given.soc[hours]) / self.scale
            rows.append(np.where(self.counts[hours], apart, 0.0))
        if self.loads > 1:
            rows.append((np.roll(loads, -1, axis=1) - loads) / _HOUR_TO_HOUR_W)
        return np.hstack(rows)


def scatter(values: FloatArray, least: float) -> float:
    """Robust standard deviation, from the median of absolute deviations; at least `least`."""
    return max(_MAD * float(np.median(np.abs(values))), least) if len(values) else least


def weights_of(row: FloatArray) -> FloatArray:
    """What ``soft_l1`` makes of each residual's weight."""
    weight: FloatArray = 1.0 / np.sqrt(1.0 + (row / OUTLIER) ** 2)
    return weight


def sandwich(jacobian: FloatArray, row: FloatArray, day: npt.NDArray[np.int64]) -> FloatArray:
    """Covariance of parameters where the residuals of a day err together.

    Parameters
    ----------
    jacobian, row : ndarray
        ``(residuals, parameters)`` and ``(residuals,)`` at the best fit.
    day : ndarray of int
        ``(residuals,)`` number of the day; below 0 for what scatters with none.

    References
    ----------
    .. [1] K.-Y. Liang and S. L. Zeger, "Longitudinal data analysis using generalized linear
       models", Biometrika 73, 1986.
    """
    weighted = weights_of(row)[:, np.newaxis] * jacobian
    bread = np.linalg.pinv(jacobian.T @ weighted, hermitian=True)
    scores = weighted * row[:, np.newaxis]
    meat = np.zeros_like(bread)
    for one in np.unique(day[day >= 0]):
        total = scores[day == one].sum(axis=0)
        meat += np.outer(total, total)
    covariance: FloatArray = bread @ meat @ bread
    return covariance


def _dispatched(
    given: FitInput, hours: slice, load_w: FloatArray, light_w: FloatArray
) -> FloatArray:
    """State of charge ``(runs, hours + 1)`` of one piece."""
    nothing = np.zeros((1, load_w.shape[1]))
    outcome = dispatch(
        panel_w=light_w,
        dc_w=load_w,
        ac_w=nothing,
        inverter_loss_w=nothing,
        chargers=Chargers(nothing, nothing, nothing),
        bank_temp_c=given.bank_temp_c[np.newaxis, hours],
        designs=[given.design],
        start_soc=_start_soc(given.soc, hours.start),
        ledger_hours=load_w.shape[1],
        soc_designs=1,
    )
    soc: FloatArray = outcome.soc[:, :, 0]
    return soc


def _start_soc(soc: FloatArray, hour: int) -> float:
    """Measured state of charge at an hour's start, between the means on both sides of it."""
    here = float(soc[hour])
    before = float(soc[hour - 1]) if hour > 0 else float("nan")
    if not np.isfinite(before):
        after = float(soc[hour + 1]) if hour + 1 < len(soc) else here
        before = 2.0 * here - after if np.isfinite(after) else here
    return min(max(0.5 * (before + here), 0.0), 1.0)
