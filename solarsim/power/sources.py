"""Alternator, shore power and generator: when they are there and what they can give."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.inputs.calendar import ARRIVAL_HOUR
from solarsim.inputs.chargers import Alternator, Shore
from solarsim.inputs.generator import Generator
from solarsim.inputs.van import Van
from solarsim.power.appliance import local_clock, window_share
from solarsim.power.demand_record import Demand
from solarsim.power.dispatch import Chargers, GeneratorOffer

__all__ = [
    "chargers_at",
    "first_charge_h",
    "generator_offer",
    "generator_socket_wh",
    "plan_share",
    "plans",
    "shore_offer",
    "span_share",
]


def plan_share(
    times: pd.DatetimeIndex, timezone: str, *, start_hour: float, duration_h: float, every_days: int
) -> FloatArray:
    """Share of each hour that a repeating plan covers, ``(hours,)``, 0 to 1.

    The plan begins on day ``every_days`` after the day of arrival, by the local clock, and may run
    past midnight.
    """
    last_day = _wall_h(times, timezone)[-1] // 24
    days = range(every_days, int(last_day) + 1, every_days)
    return span_share(
        times, timezone, begins_h=[24.0 * day + start_hour for day in days], duration_h=duration_h
    )


def span_share(
    times: pd.DatetimeIndex, timezone: str, *, begins_h: Sequence[float], duration_h: float
) -> FloatArray:
    """Share of each hour that spans of the local clock cover, ``(hours,)``, 0 to 1.

    Parameters
    ----------
    times : pandas.DatetimeIndex
        ``(hours,)`` tz-aware stamps.
    timezone : str
        IANA name of the zone that the clock follows.
    begins_h : sequence of float
        When each begins, hours of the clock since the midnight before the first stamp.
    duration_h : float
        How long each lasts.
    """
    wall_h = _wall_h(times, timezone)
    share = np.zeros(len(times))
    for begin in begins_h:
        covered = np.minimum(wall_h + 1.0, begin + duration_h) - np.maximum(wall_h, begin)
        share += np.clip(covered, 0.0, 1.0)
    return np.minimum(share, 1.0)


def first_charge_h(plan: Alternator | Shore) -> float:
    """Hours from arrival to the first drive or shore power of a plan.

    A clock change between them moves it by an hour, which is left out.
    """
    return 24.0 * plan.every_days + plan.start_hour - ARRIVAL_HOUR


def _wall_h(times: pd.DatetimeIndex, timezone: str) -> FloatArray:
    """Wall-clock hours since the midnight before the first stamp, ``(hours,)``.

    A clock change shifts the plan with the people who keep it.
    """
    clock = local_clock(times, timezone)
    wall_h: FloatArray = 24.0 * clock.day + clock.start_h
    return wall_h


def plans(
    alternator: Alternator | None, shore: Shore | None, times: pd.DatetimeIndex, timezone: str
) -> tuple[FloatArray, FloatArray]:
    """Share of each hour that the van's own plans drive, and are plugged in, each ``(hours,)``."""
    driving = plugged = np.zeros(len(times))
    if alternator is not None:
        driving = plan_share(
            times,
            timezone,
            start_hour=alternator.start_hour,
            duration_h=alternator.drive_h,
            every_days=alternator.every_days,
        )
    if shore is not None and shore.plugged_h > 0.0:
        plugged = plan_share(
            times,
            timezone,
            start_hour=shore.start_hour,
            duration_h=shore.plugged_h,
            every_days=shore.every_days,
        )
    return driving, plugged


def chargers_at(
    alternator: Alternator | None,
    shore: Shore | None,
    demand: Demand,
    *,
    driving: FloatArray,
    plugged: FloatArray,
    absorption_v: float,
) -> Chargers:
    """What can charge the bank in hours that are driven or plugged in.

    While plugged in, shore power carries the AC loads past the inverter as far as the post's
    breaker lets it, which is a limit at the socket; the charger gets what that leaves. Where that
    is less than its rating would take at absorption, it gives watts up to its amperes, else its
    amperes. The DC-DC charger gives
    its rating times its derating while driving, and so does a second alternator.

    Parameters
    ----------
    alternator, shore : record or None
        Of the van.
    demand : Demand
        Whose AC loads shore power carries.
    driving, plugged : ndarray
        ``(hours,)`` share of each hour, 0 to 1.
    absorption_v : float
        Highest voltage of the bank on charge, at which the charger's rating is held against what
        the post leaves it.
    """
    nothing = np.zeros((1, len(driving)))
    alternator_a = nothing
    if alternator is not None:
        alternator_a = (alternator.driven_a * driving)[np.newaxis]
    if shore is None or not plugged.any():
        return Chargers(alternator_a, nothing, nothing)
    post_w = shore.breaker_a * shore.mains_voltage_v
    left_w = np.maximum(post_w - demand.ac_w, 0.0) * shore.charger_efficiency
    shore_a, shore_w = shore_offer(shore, left_w, absorption_v)
    carried_w = np.minimum(demand.ac_w, post_w) * plugged
    return Chargers(
        alternator_a,
        shore_a * plugged,
        carried_w,
        shore_w * plugged,
        shore_rated_a=shore.charger_a * plugged if shore_w.any() else None,
    )


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


def generator_offer(
    van: Van,
    times: pd.DatetimeIndex,
    timezone: str,
    *,
    busy: FloatArray,
    absorption_v: float,
) -> GeneratorOffer | None:
    """What a van's generator gives while it runs, and when; None where there is none.

    Nobody runs it on the road or while the van is plugged in. Where its watts are less than its
    charger's rating would take at absorption, it gives watts up to its amperes, else amperes.

    Parameters
    ----------
    van : Van
        With its generator and shore charger.
    times, timezone
        ``(hours,)`` stamps, and the zone whose clock its hours follow.
    busy : ndarray
        ``(hours,)`` share of each hour that is driven or on shore power, 0 to 1.
    absorption_v : float
        Highest voltage of the bank on charge, V.
    """
    generator = van.generator
    if generator is None:
        return None
    shares = window_share(generator.windows, local_clock(times, timezone)).values()
    share = np.clip(sum(shares, start=np.zeros(len(times))), 0.0, 1.0) * (1.0 - busy)
    rated_a, efficiency = _generator_charger(van, generator)
    given_w = generator.power_w * efficiency
    limited = given_w < rated_a * absorption_v
    return GeneratorOffer(
        charging_a=share * (0.0 if limited else rated_a),
        charging_w=share * (given_w if limited else 0.0),
        start_soc=generator.start_soc,
        stop_soc=generator.stop_soc,
        rated_a=share * rated_a if limited else None,
    )


def generator_socket_wh(van: Van, charged_wh: FloatArray) -> FloatArray:
    """Energy at the generator's socket for what its charger gave, Wh."""
    if van.generator is None:
        return np.zeros_like(charged_wh)
    return charged_wh / _generator_charger(van, van.generator)[1]


def _generator_charger(van: Van, generator: Generator) -> tuple[float, float]:
    """Rated amperes and efficiency of the charger that it feeds."""
    if generator.charger_a is not None:
        return generator.charger_a, generator.charger_efficiency
    # The van's check has seen to it that there is one.
    assert van.shore is not None
    return van.shore.charger_a, van.shore.charger_efficiency
