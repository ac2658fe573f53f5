"""Alternator and shore power: when they are there and what they can give."""

from __future__ import annotations

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.inputs.calendar import ARRIVAL_HOUR
from solarsim.inputs.van import Alternator, Shore
from solarsim.power.demand_record import Demand
from solarsim.power.dispatch import Chargers

__all__ = ["chargers_of", "first_charge_h", "plan_share", "shore_offer"]


def plan_share(
    times: pd.DatetimeIndex, timezone: str, *, start_hour: float, duration_h: float, every_days: int
) -> FloatArray:
    """Share of each hour that a repeating plan covers, ``(hours,)``, 0 to 1.

    The plan begins on day ``every_days`` after the day of arrival, by the local clock, and may run
    past midnight.
    """
    local = times.tz_convert(timezone)
    first_midnight = local[0].tz_localize(None).normalize()
    # Wall-clock hours since the midnight before arrival, so that a clock change shifts the plan
    # with the people who keep it.
    wall = (local.tz_localize(None) - first_midnight).total_seconds().to_numpy() / 3600.0
    share = np.zeros(len(times))
    for day in range(every_days, int(wall[-1] // 24) + 1, every_days):
        begin = 24.0 * day + start_hour
        covered = np.minimum(wall + 1.0, begin + duration_h) - np.maximum(wall, begin)
        share += np.clip(covered, 0.0, 1.0)
    return np.minimum(share, 1.0)


def first_charge_h(plan: Alternator | Shore) -> float:
    """Hours from arrival to the first drive or shore power of a plan.

    A clock change between them moves it by an hour, which is left out.
    """
    return 24.0 * plan.every_days + plan.start_hour - ARRIVAL_HOUR


def chargers_of(
    alternator: Alternator | None,
    shore: Shore | None,
    demand: Demand,
    times: pd.DatetimeIndex,
    timezone: str,
    *,
    absorption_v: float,
) -> tuple[Chargers, FloatArray]:
    """What can charge the bank, and the share of each hour on shore power.

    While plugged in, shore power carries the AC loads past the inverter as far as the post's
    breaker lets it, which is a limit at the socket; the charger gets what that leaves. Where that
    is less than its rating would take, it gives watts, else its amperes. The DC-DC charger gives
    its rating times its derating while driving.

    Parameters
    ----------
    absorption_v : float
        Highest voltage of the bank on charge, at which the charger's rating is held against what
        the post leaves it.

    Returns
    -------
    chargers : Chargers
        What is on offer, each ``(runs or 1, hours)``.
    shore_share : ndarray
        ``(hours,)``, 0 to 1.
    """
    hours = len(times)
    alternator_a = np.zeros((1, hours))
    if alternator is not None:
        driving = plan_share(
            times,
            timezone,
            start_hour=alternator.start_hour,
            duration_h=alternator.drive_h,
            every_days=alternator.every_days,
        )
        alternator_a[0] = alternator.dcdc_a * alternator.output_share * driving
    if shore is None or shore.plugged_h == 0.0:
        nothing = np.zeros((1, hours))
        return Chargers(alternator_a, nothing, nothing), np.zeros(hours)
    plugged = plan_share(
        times,
        timezone,
        start_hour=shore.start_hour,
        duration_h=shore.plugged_h,
        every_days=shore.every_days,
    )
    post_w = shore.breaker_a * shore.mains_voltage_v
    left_w = np.maximum(post_w - demand.ac_w, 0.0) * shore.charger_efficiency
    shore_a, shore_w = shore_offer(shore, left_w, absorption_v)
    carried_w = np.minimum(demand.ac_w, post_w) * plugged
    return Chargers(alternator_a, shore_a * plugged, carried_w, shore_w * plugged), plugged


def shore_offer(
    shore: Shore, left_w: FloatArray, absorption_v: float
) -> tuple[FloatArray, FloatArray]:
    """What the shore charger gives, A, or W where the post leaves it less than its rating takes.

    Parameters
    ----------
    shore : Shore
        The charger.
    left_w : ndarray
        Power that the post leaves it, at its output, W.
    absorption_v : float
        Highest voltage of the bank on charge, V.
    """
    by_post = left_w < shore.charger_a * absorption_v
    return np.where(by_post, 0.0, shore.charger_a), np.where(by_post, left_w, 0.0)
