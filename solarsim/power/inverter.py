"""What the inverter itself uses: idle watts while on, and a loss curve through the datasheet."""

from __future__ import annotations

import dataclasses
import math

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.inverter import Inverter
from solarsim.power.demand_record import Demand
from solarsim.records import ArrayRecord

__all__ = ["Pulses", "inverter_loss_w", "loss_coefficients", "pulses_of"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Pulses(ArrayRecord):
    """How AC energy comes within the hour: at this power at the bank, for this share of it.

    Attributes
    ----------
    power_w : ndarray
        ``(runs or 1, hours)`` W at the bank, the inverter's loss included.
    share : ndarray
        ``(runs or 1, hours)``, 0 to 1.
    """

    power_w: FloatArray
    share: FloatArray


def loss_coefficients(inverter: Inverter) -> tuple[float, float, float]:
    r"""Coefficients of the loss ``a + b P + c P**2`` in W, at the AC power ``P`` in W.

    Chosen so that the peak of the efficiency curve and the efficiency at full load are those of
    the datasheet, both with the idle draw included:

    .. math:: a = P_{idle},\quad b + 2\sqrt{ac} = 1/\eta_{peak} - 1,\quad
              a + b P_n + c P_n^2 = P_n (1/\eta_{full} - 1)

    Where the idle draw alone would take more than the peak efficiency leaves, ``b`` is 0 and the
    full-load figure is kept.

    Raises
    ------
    InputError
        The idle draw is larger than the whole loss at full load.

    References
    ----------
    .. [1] H. Schmidt and D. U. Sauer, "Wechselrichter-Wirkungsgrade", Sonnenenergie 4, 1996:
       the quadratic loss model (from memory).
    """
    a = inverter.idle_w
    rated_w = inverter.power_w
    at_peak = 1.0 / inverter.peak_efficiency - 1.0
    at_full = 1.0 / inverter.full_load_efficiency - 1.0
    root = (math.sqrt(a) + math.sqrt((at_full - at_peak) * rated_w)) / rated_w
    b = at_peak - 2.0 * math.sqrt(a) * root
    if b >= 0.0:
        return a, b, root * root
    left_w = at_full * rated_w - a
    if left_w < 0.0:
        message = (
            f"got {a:g} W; must not exceed the whole loss at full load, {at_full * rated_w:.1f} W "
            "by power_w and full_load_efficiency"
        )
        raise InputError(message, field="inverter.idle_w")
    return a, 0.0, left_w / rated_w**2


def inverter_loss_w(inverter: Inverter, demand: Demand, shore_share: FloatArray) -> FloatArray:
    """Mean loss over each hour in W, ``(runs, hours)``; nothing while shore power carries the AC.

    Parameters
    ----------
    inverter : Inverter
        Idle draw and efficiencies; ``always_on`` or on only while an AC load runs.
    demand : Demand
        AC power, its mean square and the share of the hour in which any AC load runs.
    shore_share : ndarray
        ``(hours,)`` share of the hour on shore power, 0 to 1.
    """
    a, b, c = loss_coefficients(inverter)
    on_share = 1.0 if inverter.always_on else demand.ac_on_share
    loss_w = a * on_share + b * demand.ac_w + c * demand.ac_square_w2
    return loss_w * (1.0 - shore_share)


def pulses_of(inverter: Inverter, demand: Demand, shore_share: FloatArray) -> Pulses:
    """Pulses with the mean and the mean square of the hour's AC power: one power, on and off.

    A load of power P for the share s of the hour has the mean s P and the mean square s P**2, so
    that P is their quotient; for several loads it is the power at which most energy flows.
    Parameters are those of `inverter_loss_w`.
    """
    a, b, c = loss_coefficients(inverter)
    nothing = np.zeros_like(demand.ac_w)
    runs = demand.ac_w > 0.0
    power_w = np.divide(demand.ac_square_w2, demand.ac_w, out=nothing, where=runs)
    share = np.divide(demand.ac_w, power_w, out=np.zeros_like(power_w), where=power_w > 0.0)
    idle_w = 0.0 if inverter.always_on else a
    at_bank_w = power_w + np.where(runs, idle_w, 0.0) + b * power_w + c * power_w**2
    return Pulses(at_bank_w, np.minimum(share, 1.0) * (1.0 - shore_share))
