"""Loads that follow the weather: how much of them a log shows, and what is left to the clock."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.calibrate.estimates import Loads
from solarsim.answers.simulation.scene import Scene
from solarsim.arrays import FloatArray, IntArray
from solarsim.inputs.profile import Profile
from solarsim.power.uses import load_uses

__all__ = ["FollowsWeather", "ResponsiveLoad", "follows_weather"]

# Before the log is looked at: by how much an appliance's watts may differ from its file's. An
# estimate, no source.
_BELIEVED_SHARE = 0.5
# A scale that is known no better is not shown by the log.
_SHOWN_SHARE = 0.25
_LEAST_HOURS_A_DAY = 6
_LEAST_DAYS = 5
_ROUNDS = 3


@dataclasses.dataclass(frozen=True)
class ResponsiveLoad:
    """One appliance that responds to the cabin.

    Attributes
    ----------
    name : str
        Of the profile.
    mean_w : float
        What the profile asks for in the log's weather.
    scale_share, error_share : float
        Its watts by the log over the profile's, and one standard error; 1 where the log does not
        show it.
    shown : bool
        Whether the log's weather makes it run so differently from day to day that its watts show.
    """

    name: str
    mean_w: float
    scale_share: float
    error_share: float
    shown: bool


@dataclasses.dataclass(frozen=True)
class FollowsWeather:
    """The loads of a log taken apart.

    Attributes
    ----------
    loads : tuple of ResponsiveLoad
        In the profile's order.
    weather_w : ndarray
        ``(hours,)`` all of them together in the log's weather, as they are scaled.
    clock_w : ndarray
        ``(24,)`` what is left of the base load by hour of the local clock.
    excess_w : float
        By how much they exceed the measured load, over the mean of the day.
    """

    loads: tuple[ResponsiveLoad, ...]
    weather_w: FloatArray
    clock_w: FloatArray
    excess_w: float


def follows_weather(
    profile: Profile,
    scene: Scene,
    load: Loads,
    drawn_w: FloatArray,
    *,
    hour: IntArray,
    day: IntArray,
    seed: int,
) -> FollowsWeather:
    """Scale each appliance that responds to the cabin by how the load moves with it.

    Days in which an appliance should draw more than on others are held against what was drawn:
    least squares on daily means beside their usual hours, with a scale of 1 believed beforehand.

    Parameters
    ----------
    profile : Profile
        As the van's people have it.
    scene : Scene
        The log's hours.
    load : Loads
        By hour of the clock, as the log shows them.
    drawn_w : ndarray
        ``(hours,)`` what the loads took, NaN where that is not known.
    hour, day : ndarray of int
        ``(hours,)`` hour of the local clock, and number of the local day.
    seed : int
        The question's.
    """
    modelled = _modelled_w(profile, scene, seed)
    if not modelled:
        nothing = np.zeros(len(hour))
        return FollowsWeather((), nothing, load.by_hour_w, 0.0)
    names, watts = list(modelled), np.array(list(modelled.values()))
    apart, days = _daily(drawn_w - load.by_hour_w[hour], watts, hour, day)
    scale, error = _scales(apart, days)
    shown = error < _SHOWN_SHARE
    scale = np.where(shown, scale, 1.0)
    total_w = scale @ watts
    mean_24 = np.array([total_w[hour == one].mean() for one in range(24)])
    left = load.by_hour_w - mean_24
    return FollowsWeather(
        loads=tuple(
            ResponsiveLoad(name, float(row.mean()), float(by), float(off), bool(seen))
            for name, row, by, off, seen in zip(names, watts, scale, error, shown, strict=True)
        ),
        weather_w=total_w,
        clock_w=np.maximum(left, 0.0),
        excess_w=float(np.maximum(-left, 0.0).mean()),
    )


def _modelled_w(profile: Profile, scene: Scene, seed: int) -> dict[str, FloatArray]:
    """Mean watts at the bank of each appliance that responds to the cabin, by the hour."""
    responds = {
        one.name: one for one in profile.appliances if one.response != "none" and one.enabled
    }
    inverter_w = float(scene.ac_inverter_w.mean())
    with_loss = 1.0
    if inverter_w > 0.0:
        with_loss += float(scene.inverter_loss_w.mean()) / inverter_w
    uses, _ = load_uses(profile, scene.weather, seed=seed, cabin=scene.demand.cabin)
    found: dict[str, FloatArray] = {}
    for use in uses:
        if use.name not in responds:
            continue
        mean = (use.standby_w + use.on_share * (use.running_w - use.standby_w)).mean(axis=1)
        mean = mean * (with_loss if use.current == "ac" else 1.0)
        found[use.name] = found.get(use.name, np.zeros(len(mean))) + mean
    return found


def _daily(
    apart_w: FloatArray, watts: FloatArray, hour: IntArray, day: IntArray
) -> tuple[FloatArray, FloatArray]:
    """Daily means of the load beside its usual hours, and of each appliance beside its own."""
    known = np.isfinite(apart_w)
    usual = np.zeros((len(watts), 24))
    for one in range(24):
        here = known & (hour == one)
        if here.any():
            usual[:, one] = watts[:, here].mean(axis=1)
    beside = watts - usual[:, hour]
    count = np.bincount(day[known], minlength=int(day.max()) + 1)
    enough = count >= _LEAST_HOURS_A_DAY

    def means(values: FloatArray) -> FloatArray:
        total = np.bincount(day[known], values[known], len(count))
        mean: FloatArray = total[enough] / count[enough]
        return mean

    return means(apart_w), np.array([means(row) for row in beside]).T


def _scales(apart: FloatArray, days: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Scales and their standard errors, each beside what the others may be."""
    scale = np.ones(days.shape[1])
    error = np.full(days.shape[1], _BELIEVED_SHARE)
    if len(apart) < _LEAST_DAYS:
        return scale, error
    for _ in range(_ROUNDS):
        rest = apart - days @ scale
        sigma2 = max(float((rest**2).sum()) / max(len(rest) - days.shape[1], 1), 1e-6)
        known = days.T @ days / sigma2 + np.eye(days.shape[1]) / _BELIEVED_SHARE**2
        covariance = np.linalg.inv(known)
        step = covariance @ (days.T @ (apart - days.sum(axis=1)) / sigma2)
        scale = np.maximum(1.0 + step, 0.0)
        error = np.sqrt(np.diag(covariance))
    return scale, error
