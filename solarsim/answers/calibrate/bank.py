"""What a current tells of the bank: its capacity, by counting the charge.

Beside a current the bank needs no model: what it stores over what its state of charge gains is its
capacity.
"""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np

from solarsim.answers.calibrate.ahead import FitInput
from solarsim.arrays import FloatArray, IntArray
from solarsim.power.chemistry import load_chemistry, tank_total_ah

__all__ = ["BankFit", "fit_bank"]

# Monitors set themselves to full well before the bank is.
_COUNTED_SOC = 0.95
_DAY_HOURS = 24
_LEAST_HOURS = 6
_LEAST_SCALE_SOC = 0.002
# From the median of absolute deviations to a standard deviation.
_MAD = 1.4826
# Residuals beyond so many times the usual scatter count less and less.
_OUTLIER = 4.0


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
    scale = _scatter(terms @ slope - soc)
    scaled, target = terms / scale, soc / scale
    result: Any = optimize.least_squares(
        lambda theta: scaled @ theta - target,
        slope,
        jac=lambda _: scaled,
        x_scale=np.maximum(np.abs(slope), 1e-6),
        loss="soft_l1",
        f_scale=_OUTLIER,
    )
    slope = np.asarray(result.x, dtype=np.float64)
    if slope[0] <= 0.0:
        return None
    covariance = _sandwich(scaled, scaled @ slope - target, day)
    total_ah = tank_total_ah(chemistry, given.design.capacity_ah)
    return BankFit(
        capacity_factor=float(1.0 / slope[0] / total_ah),
        capacity_error_share=float(np.sqrt(covariance[0, 0]) / slope[0]),
        drift_soc_per_h=float(slope[1]),
    )


def _scatter(values: FloatArray) -> float:
    """Robust standard deviation, from the median of absolute deviations."""
    return max(_MAD * float(np.median(np.abs(values))), _LEAST_SCALE_SOC)


def _sandwich(jacobian: FloatArray, row: FloatArray, day: IntArray) -> FloatArray:
    """Covariance of parameters where the residuals of a day err together.

    Parameters
    ----------
    jacobian, row : ndarray
        ``(residuals, parameters)`` and ``(residuals,)`` at the best fit.
    day : ndarray of int
        ``(residuals,)`` number of the day.

    References
    ----------
    .. [1] K.-Y. Liang and S. L. Zeger, "Longitudinal data analysis using generalized linear
       models", Biometrika 73, 1986.
    """
    # What ``soft_l1`` makes of each residual's weight.
    weighted = jacobian / np.sqrt(1.0 + (row / _OUTLIER) ** 2)[:, np.newaxis]
    bread = np.linalg.pinv(jacobian.T @ weighted, hermitian=True)
    scores = weighted * row[:, np.newaxis]
    meat = np.zeros_like(bread)
    for one in np.unique(day):
        total = scores[day == one].sum(axis=0)
        meat += np.outer(total, total)
    covariance: FloatArray = bread @ meat @ bread
    return covariance
