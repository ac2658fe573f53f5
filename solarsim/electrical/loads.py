"""Which appliances may run in the same hour of a week, and what they draw then."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Sequence
from typing import Literal

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.profile import Profile
from solarsim.power.appliance import local_clock, window_share

__all__ = ["Running", "WorstHour", "running_w", "runs_in_week", "worst_hour"]

# Any Monday: only the hours of a week matter.
_WEEK = pd.date_range("2026-01-05", periods=7 * 24, freq="h", tz="UTC")


@dataclasses.dataclass(frozen=True)
class Running:
    """One load: what all its pieces draw while it runs, and what one piece's start adds, W."""

    name: str
    power_w: float
    start_extra_w: float
    may_run: BoolArray


@dataclasses.dataclass(frozen=True)
class WorstHour:
    """The hour of the week in which most may run at once."""

    power_w: float
    names: tuple[str, ...]


def running_w(appliance: Appliance) -> float:
    """Largest steady draw of all its pieces, W; of a heater with its glow plug on."""
    glowing_w = appliance.lowest_power_w + appliance.glow_w
    most_w = max(appliance.power_w, glowing_w if appliance.response == "heater" else 0.0)
    return appliance.count * most_w


@functools.lru_cache(maxsize=32)
def runs_in_week(profile: Profile, current: Literal["dc", "ac"]) -> tuple[Running, ...]:
    """List the loads of one kind of current, largest first.

    Those without hours of use and those that follow the cabin may run whenever their windows are
    open. Watts of the hour count with the largest of them, all the time. The last few answers are
    kept: each part of the check asks for the same loads.
    """
    found = []
    for appliance in profile.appliances:
        never = appliance.response == "none" and appliance.use_h == 0.0
        if not appliance.enabled or appliance.current != current:
            continue
        open_h = _open_in_week(appliance.windows, appliance.weekdays)
        power_w = appliance.count * appliance.standby_w if never else running_w(appliance)
        surge_w = appliance.surge_w
        found.append(
            Running(
                name=appliance.name,
                power_w=power_w,
                start_extra_w=0.0
                if never or surge_w is None
                else max(surge_w - appliance.power_w, 0.0),
                may_run=np.ones_like(open_h) if appliance.standby_w else open_h,
            )
        )
    if profile.hourly is not None:
        watts = profile.hourly.dc_w if current == "dc" else profile.hourly.ac_w
        always = np.ones(len(_WEEK), dtype=np.bool_)
        if watts:
            found.append(Running(f"hourly {current.upper()} watts", max(watts), 0.0, always))
    drawing = (load for load in found if load.power_w > 0.0)
    return tuple(sorted(drawing, key=lambda load: -load.power_w))


@functools.lru_cache(maxsize=256)
def _open_in_week(windows: tuple[tuple[float, float], ...], weekdays: tuple[str, ...]) -> BoolArray:
    shares = window_share(windows, local_clock(_WEEK, "UTC"), weekdays)
    open_h: BoolArray = np.sum([np.zeros(len(_WEEK)), *shares.values()], axis=0) > 0.0
    open_h.setflags(write=False)
    return open_h


def worst_hour(loads: Sequence[Running]) -> WorstHour:
    """Return the hour of the week in which the loads that may run add up to most."""
    if not loads:
        return WorstHour(0.0, ())
    watts = np.sum([load.power_w * load.may_run for load in loads], axis=0)
    hour = int(watts.argmax())
    return WorstHour(float(watts[hour]), tuple(load.name for load in loads if load.may_run[hour]))
