"""Least squares on the dispatch kernel: the loads, light and capacity that a log shows."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np

from solarsim.power.chemistry import load_chemistry, tank_total_ah
from solarsim.power.design import Design
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.weather.record import FloatArray

__all__ = ["Fit", "FitInput", "day_ahead_soc", "fit_log", "pieces_of"]

# A piece starts from the measured state of charge; longer ones let errors of the load add up.
_PIECE_HOURS = 24
_SHORTEST_PIECE_HOURS = 6
_ABOVE_FLOOR_SOC = 0.03
_STEP = 1e-3
_LOAD_LIMIT_W = 5000.0
_YIELD_LIMITS = (0.02, 3.0)
_CAPACITY_LIMITS = (0.3, 1.5)
_DRIFT_LIMIT = 0.02  # per hour
_LEAST_SCALE_SOC = 0.002
_LEAST_SCALE_AH = 0.02
# From the median of absolute deviations to a standard deviation.
_MAD = 1.4826
_ROUNDS = 3
# Residuals beyond so many times the usual scatter count less and less. A load's own scatter is
# skewed: a tighter limit would find its median and not its mean.
_OUTLIER = 4.0
# Above these a bank takes less than the sun gives, and the charge tells nothing of either.
_FULL_SOC = 0.95
_MODEL_FULL_SOC = 0.97
# One hour's load differs from the next one's by so much: a weak prior, without which a log of
# states of charge alone cannot tell neighbouring hours apart. An estimate, no source.
_HOUR_TO_HOUR_W = 15.0


@dataclasses.dataclass(frozen=True)
class FitInput:
    """What the fit looks at; arrays are ``(hours,)``, NaN in gaps.

    Attributes
    ----------
    soc : ndarray
        Measured mean state of charge of the hour.
    net_a : ndarray or None
        Measured mean current into the bank, A; None where the log has none.
    light_w : ndarray
        What the panels would give at a yield factor of 1, W.
    load_shape : ndarray
        ``(hours, loads)``: the load is this times the fitted watts.
    bank_temp_c : ndarray
        Bank temperature.
    design : Design
        The bank as the van's file has it; its panel count is 1, `light_w` is the whole array's.
    fit_loads, fit_yield, fit_capacity : bool
        Whether these are free.
    """

    soc: FloatArray
    net_a: FloatArray | None
    light_w: FloatArray
    load_shape: FloatArray
    bank_temp_c: FloatArray
    design: Design
    fit_loads: bool
    fit_yield: bool
    fit_capacity: bool


@dataclasses.dataclass(frozen=True)
class Fit:
    """The best parameters with one standard error each; see `FitInput`.

    ``drift_soc_per_h`` is what the measured state of charge gains an hour beyond what flows.
    Standard errors let all hours of a day err together.
    """

    loads_w: FloatArray
    loads_error_w: FloatArray
    load_mean_w: float
    load_mean_error_w: float
    yield_factor: float
    yield_error_share: float
    capacity_factor: float
    capacity_error_share: float
    drift_soc_per_h: float
    pieces: int


def pieces_of(given: FitInput) -> list[tuple[int, int]]:
    """First hour and hour after the last of stretches up to a day, without gaps or cut-offs."""
    # Near the floor the bank may be cut off, and then the log shows no load.
    known = given.soc > given.design.floor_soc + _ABOVE_FLOOR_SOC
    if given.net_a is not None:
        known &= np.isfinite(given.net_a)
    found = []
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(np.int8)))
    for begin, end in edges.reshape(-1, 2):
        for start in range(int(begin), int(end), _PIECE_HOURS):
            stop = min(start + _PIECE_HOURS, int(end))
            if stop - start >= _SHORTEST_PIECE_HOURS:
                found.append((start, stop))
    return found


def fit_log(given: FitInput) -> Fit:
    """Fit loads, yield, capacity and drift by robust least squares.

    Every piece of a day is dispatched by the same kernel as all answers, from the state of charge
    that was measured at its start. Residuals are the state of charge of every hour and, where
    there is a current, the charge that each hour stores.

    Parameters
    ----------
    given : FitInput
        Log, light and bank.

    References
    ----------
    .. [1] M. A. Branch, T. F. Coleman and Y. Li, "A subspace, interior, and conjugate gradient
       method for large-scale bound-constrained minimization problems", SIAM Journal on Scientific
       Computing 21, 1999 (the method behind scipy's ``trf``).
    .. [2] K.-Y. Liang and S. L. Zeger, "Longitudinal data analysis using generalized linear
       models", Biometrika 73, 1986 (standard errors that let a day's hours err together).
    """
    from scipy import optimize

    problem = _Problem(given)
    theta = problem.start()
    scale = (0.02, 1.0)
    result: Any = None
    for _ in range(_ROUNDS):
        problem.scale = scale
        result = optimize.least_squares(
            problem.residuals,
            theta,
            jac=problem.jacobian,
            bounds=problem.bounds(),
            x_scale=problem.sizes(),
            tr_solver="lsmr",
            loss="soft_l1",
            f_scale=_OUTLIER,
            max_nfev=15,
            ftol=1e-4,
            xtol=1e-4,
        )
        theta = np.asarray(result.x, dtype=np.float64)
        problem.leave_out_full(theta)
        scale = problem.scales(theta)
    problem.scale = scale
    covariance = problem.covariance(theta)
    error = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    loads = problem.loads
    hours_share = given.load_shape[np.isfinite(given.soc)].mean(axis=0)
    mean_w = float(hours_share @ theta[:loads])
    mean_error = float(np.sqrt(hours_share @ covariance[:loads, :loads] @ hours_share))
    return Fit(
        loads_w=theta[:loads],
        loads_error_w=error[:loads],
        load_mean_w=mean_w,
        load_mean_error_w=mean_error,
        yield_factor=float(theta[loads]),
        yield_error_share=float(error[loads] / theta[loads]),
        capacity_factor=float(theta[loads + 1]),
        capacity_error_share=float(error[loads + 1] / theta[loads + 1]),
        drift_soc_per_h=float(theta[loads + 2]),
        pieces=len(problem.pieces),
    )


def day_ahead_soc(given: FitInput, load_w: FloatArray, *, yield_factor: float) -> FloatArray:
    """State of charge of every hour when each day starts from the measured one; NaN in gaps."""
    out = np.full(len(given.soc), np.nan)
    for start, stop in pieces_of(given):
        hours = slice(start, stop)
        soc = _dispatched(
            given,
            hours,
            load_w[np.newaxis, hours],
            yield_factor * given.light_w[np.newaxis, hours],
            [1.0],
        )[0, :, 0]
        out[hours] = 0.5 * (soc[:-1] + soc[1:])
    return out


class _Problem:
    """Residuals and derivatives over all pieces, for loads, yield, capacity and drift."""

    def __init__(self, given: FitInput) -> None:
        self.given = given
        self.pieces = pieces_of(given)
        self.loads = given.load_shape.shape[1]
        self.scale = (0.02, 1.0)
        # Errors of the load add up in the state of charge: beside a current it tells the capacity
        # alone.
        self.with_soc = given.net_a is None or given.fit_capacity
        # Which hours' state of charge and charge count.
        self.soc_counts = np.full(len(given.soc), self.with_soc)
        self.charge_counts = given.soc < _FULL_SOC
        chemistry = load_chemistry(given.design.chemistry)
        self._tanks_ah = tank_total_ah(chemistry, given.design.capacity_ah)
        self._charged = float(np.interp(0.7, chemistry.coulombic_soc, chemistry.coulombic_share))

    def start(self) -> FloatArray:
        """Loads from the hours without light, or a guess; the van's own figures otherwise."""
        given = self.given
        if not given.fit_loads:
            return np.array([*[1.0] * self.loads, 1.0, 1.0, 0.0])
        if given.net_a is None:
            return np.array([*[50.0] * self.loads, 1.0, 1.0, 0.0])
        # A straight line through the hours in which the bank takes all: near enough to start from.
        told = np.isfinite(given.net_a) & (given.soc < _FULL_SOC)
        volts = 1.07 * given.design.system_voltage_v
        terms = np.hstack([-given.load_shape[told], given.light_w[told, np.newaxis]])
        found = np.linalg.lstsq(terms, volts * given.net_a[told], rcond=None)[0]
        least, most = _YIELD_LIMITS
        return np.array(
            [
                *np.clip(found[: self.loads], 1.0, 0.5 * _LOAD_LIMIT_W),
                np.clip(found[-1], 2.0 * least, 0.5 * most) if given.fit_yield else 1.0,
                1.0,
                0.0,
            ]
        )

    def bounds(self) -> tuple[FloatArray, FloatArray]:
        """Lower and upper limits; a parameter that is not free is held in a sliver."""
        sliver = 1e-6
        low, high = [0.0] * self.loads, [_LOAD_LIMIT_W] * self.loads
        if not self.given.fit_loads:
            low, high = [1.0 - sliver] * self.loads, [1.0 + sliver] * self.loads
        for free, (least, most) in (
            (self.given.fit_yield, _YIELD_LIMITS),
            (self.given.fit_capacity, _CAPACITY_LIMITS),
        ):
            low.append(least if free else 1.0 - sliver)
            high.append(most if free else 1.0 + sliver)
        drift = _DRIFT_LIMIT if self.given.net_a is not None else sliver
        return np.array([*low, -drift]), np.array([*high, drift])

    def sizes(self) -> FloatArray:
        """Typical size of each parameter."""
        return np.array([*[50.0] * self.loads, 0.3, 0.3, 0.001])

    def residuals(self, theta: FloatArray) -> FloatArray:
        """Differences of model and log, in units of their scatter."""
        row: FloatArray = self._batch(theta[np.newaxis])[0]
        return row

    def jacobian(self, theta: FloatArray) -> FloatArray:
        """Forward differences, every parameter's piece dispatched in one call."""
        step = _STEP * self.sizes()
        # Steps turn inwards at an upper limit.
        step = np.where(theta + step > self.bounds()[1], -step, step)
        moved = np.vstack([theta, theta + np.diag(step)])
        rows = self._batch(moved)
        derivative: FloatArray = ((rows[1:] - rows[0]) / step[:, np.newaxis]).T
        return derivative

    def scales(self, theta: FloatArray) -> tuple[float, float]:
        """Robust scatter of both kinds of residuals."""
        before, self.scale = self.scale, (1.0, 1.0)
        row = self._batch(theta[np.newaxis])[0]
        self.scale = before
        hours = np.concatenate([np.arange(start, stop) for start, stop in self.pieces])
        soc = _scatter(row[: len(hours)][self.soc_counts[hours]], _LEAST_SCALE_SOC)
        if self.given.net_a is None:
            return soc, 1.0
        charge = row[len(hours) : 2 * len(hours)]
        return soc, _scatter(charge[self.charge_counts[hours]], _LEAST_SCALE_AH)

    def leave_out_full(self, theta: FloatArray) -> None:
        """Let hours near full count no more, nor states of charge that come after them."""
        given = self.given
        for start, stop in self.pieces:
            hours = slice(start, stop)
            soc = _dispatched(
                given,
                hours,
                (given.load_shape[hours] @ theta[: self.loads])[np.newaxis],
                theta[self.loads] * given.light_w[np.newaxis, hours],
                [float(theta[self.loads + 1])],
            )[0, 1:, 0]
            full = (soc > _MODEL_FULL_SOC) | (given.soc[hours] > _FULL_SOC)
            # By night nothing is refused.
            self.charge_counts[hours] = ~full | (given.light_w[hours] <= 0.0)
            # A piece that starts full is told by what it loses before it fills again.
            lit = full & (given.light_w[hours] > 0.0)
            self.soc_counts[hours] = self.with_soc & ~np.maximum.accumulate(lit)

    def covariance(self, theta: FloatArray) -> FloatArray:
        """Sandwich estimate with a day's residuals as one cluster."""
        jacobian, row = self.jacobian(theta), self.residuals(theta)
        # What soft_l1 makes of each residual's weight.
        weight = 1.0 / np.sqrt(1.0 + (row / _OUTLIER) ** 2)
        day = np.concatenate(
            [np.full(stop - start, k) for k, (start, stop) in enumerate(self.pieces)]
        )
        if self.given.net_a is not None:
            day = np.concatenate([day, day])
        # The prior's rows belong to no day: they hold the fit and have no scatter.
        day = np.concatenate([day, np.full(len(row) - len(day), -1)])
        free = (self.bounds()[1] - self.bounds()[0]) > 1e-5
        size = self.sizes()[free]
        used = jacobian[:, free] * size
        bread = np.linalg.pinv(used.T @ (weight[:, np.newaxis] * used), hermitian=True)
        scores = weight[:, np.newaxis] * used * row[:, np.newaxis]
        meat = np.zeros((used.shape[1], used.shape[1]))
        for k in range(len(self.pieces)):
            total = scores[day == k].sum(axis=0)
            meat += np.outer(total, total)
        out = np.zeros((len(theta), len(theta)))
        out[np.ix_(free, free)] = bread @ meat @ bread * np.outer(size, size)
        return out

    def _batch(self, thetas: FloatArray) -> FloatArray:
        """Residuals of several parameter vectors, ``(vectors, residuals)``."""
        given, loads = self.given, self.loads
        capacities, which = np.unique(thetas[:, loads + 1], return_inverse=True)
        soc_rows, charge_rows = [], []
        for start, stop in self.pieces:
            hours = slice(start, stop)
            load_w = thetas[:, :loads] @ given.load_shape[hours].T
            light_w = thetas[:, loads, np.newaxis] * given.light_w[hours]
            soc = _dispatched(given, hours, load_w, light_w, list(capacities))
            soc = soc[np.arange(len(thetas)), :, which]
            since = np.arange(stop - start) + 0.5
            drifted = 0.5 * (soc[:, :-1] + soc[:, 1:]) + thetas[:, loads + 2, np.newaxis] * since
            apart = (drifted - given.soc[hours]) / self.scale[0]
            soc_rows.append(np.where(self.soc_counts[hours], apart, 0.0))
            if given.net_a is not None:
                stored = np.diff(soc, axis=1) * self._tanks_ah * thetas[:, loads + 1, np.newaxis]
                measured = given.net_a[hours]
                measured = np.where(measured > 0.0, measured * self._charged, measured)
                apart = (stored - measured) / self.scale[1]
                charge_rows.append(np.where(self.charge_counts[hours], apart, 0.0))
        return np.hstack([*soc_rows, *charge_rows, self._prior(thetas)])

    def _prior(self, thetas: FloatArray) -> FloatArray:
        if self.loads == 1:
            return np.empty((len(thetas), 0))
        loads = thetas[:, : self.loads]
        apart: FloatArray = (np.roll(loads, -1, axis=1) - loads) / _HOUR_TO_HOUR_W
        return apart


def _scatter(values: FloatArray, least: float) -> float:
    return max(_MAD * float(np.median(np.abs(values))), least) if len(values) else least


def _dispatched(
    given: FitInput,
    hours: slice,
    load_w: FloatArray,
    light_w: FloatArray,
    capacity_factors: list[float],
) -> FloatArray:
    """State of charge ``(runs, hours + 1, capacities)`` of one piece."""
    nothing = np.zeros((1, load_w.shape[1]))
    designs = [
        dataclasses.replace(given.design, capacity_ah=given.design.capacity_ah * factor)
        for factor in capacity_factors
    ]
    outcome = dispatch(
        panel_w=light_w,
        dc_w=load_w,
        ac_w=nothing,
        inverter_loss_w=nothing,
        chargers=Chargers(nothing, nothing, nothing),
        bank_temp_c=given.bank_temp_c[np.newaxis, hours],
        designs=designs,
        start_soc=_start_soc(given.soc, hours.start),
        ledger_hours=load_w.shape[1],
        soc_designs=len(designs),
    )
    return outcome.soc


def _start_soc(soc: FloatArray, hour: int) -> float:
    """Measured state of charge at an hour's start, between the means on both sides of it."""
    here = float(soc[hour])
    before = float(soc[hour - 1]) if hour > 0 else float("nan")
    if not np.isfinite(before):
        after = float(soc[hour + 1]) if hour + 1 < len(soc) else here
        before = 2.0 * here - after if np.isfinite(after) else here
    return min(max(0.5 * (before + here), 0.0), 1.0)
