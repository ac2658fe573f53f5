"""What every load aboard does: when it runs, what it draws then, and what lies before it."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Collection, Iterator, Sequence

import numpy as np

from solarsim.arrays import FloatArray, IntArray
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.converter import Converter
from solarsim.inputs.hourly import Hourly
from solarsim.inputs.profile import Cabin, Profile
from solarsim.inputs.van import Van
from solarsim.power.appliance import (
    LocalClock,
    local_clock,
    scheduled_share,
    unit_mean_factors,
    window_share,
)
from solarsim.power.cabin import CabinHours, cabin_hours
from solarsim.power.load_loop import glow_share, run_heater
from solarsim.weather.record import Weather
from solarsim.weather.streams import Purpose, kept_for, run_normals

__all__ = ["CONVERTER", "Use", "behind_converter", "cabin_of", "load_uses"]

# Its loss and idle draw stand among the appliances under this name.
CONVERTER = "converter to 12 V"

_COOLING = ("fan", "evaporative cooler")
# Draws of a day come in blocks of this many, so that an appliance switched off, or added at the
# end of a list, leaves the other appliances' days as they were.
_SLOT_BLOCK = 16
_HOURLY_SLOT = 0
# Metered watts have no window that they must fit into.
_NO_LIMIT = 1e6
# The electric motor's share of full power at a share of full speed: fan affinity law.
_FAN_EXPONENT = 3


@dataclasses.dataclass(frozen=True)
class Use:
    """What one load does in the hours `rows`; arrays are ``(rows, runs)`` or ``(rows, 1)``.

    `on_share` is the share of the hour in which it runs, `running_w` what it draws then instead of
    `standby_w`. `differs` says whether runs differ, also where there is only one of them.
    `converter_loss_share` of the watts is lost in the converter before them.
    """

    name: str
    current: str
    rows: IntArray | slice
    on_share: FloatArray
    running_w: FloatArray | float
    standby_w: float = 0.0
    differs: bool = False
    converter_loss_share: float = 0.0


def load_uses(
    profile: Profile,
    weather: Weather,
    *,
    seed: int,
    first_run: int = 0,
    van: Van | None = None,
    cabin: CabinHours | None = None,
) -> tuple[Iterator[Use], CabinHours]:
    """Return what every load does, in the profile's order, and the cabin that some of them follow.

    Parameters are those of `solarsim.power.demand.build_demand`, which adds the loads up; `cabin`
    is worked out where it is not at hand.
    """
    clock = local_clock(weather.times, weather.place.timezone)
    if cabin is None:
        of, heaters, coolers = cabin_of(profile, van)
        cabin = cabin_hours(of, weather, clock, heaters=heaters, coolers=coolers)
    draws = _draws(profile, clock, runs=weather.runs, seed=seed, first_run=first_run)
    uses = _uses(profile, clock, cabin, draws, of_draws=(seed, first_run, weather.runs))
    if van is not None:
        behind = {appliance.name for appliance in behind_converter(van, profile.appliances)}
        if behind:
            uses = _converted(uses, behind, van.converter or Converter())
    return uses, cabin


def cabin_of(profile: Profile, van: Van | None) -> tuple[Cabin, list[Appliance], list[Appliance]]:
    """Return all that the cabin's hours depend on but the weather: its record, heaters, coolers."""
    aboard = [appliance for appliance in profile.appliances if appliance.enabled]
    return (
        profile.cabin if van is None else profile.cabin.sized(van.body),
        [appliance for appliance in aboard if appliance.response == "heater"],
        [appliance for appliance in aboard if appliance.response in _COOLING],
    )


def behind_converter(van: Van, appliances: Sequence[Appliance]) -> list[Appliance]:
    """DC appliances aboard that do not take the bank's voltage and run behind a converter to 12 V.

    Watts by the hour are taken as measured at the bank.
    """
    return [
        appliance
        for appliance in appliances
        if appliance.enabled
        and appliance.current == "dc"
        and van.van.system_voltage_v not in appliance.runs_on_v
    ]


def _converted(uses: Iterator[Use], behind: Collection[str], converter: Converter) -> Iterator[Use]:
    """What the uses take from the bank where some of them run behind a converter."""
    for use in uses:
        if use.current == "dc" and use.name in behind:
            yield dataclasses.replace(
                use,
                running_w=use.running_w / converter.efficiency,
                standby_w=use.standby_w / converter.efficiency,
                converter_loss_share=1.0 - converter.efficiency,
            )
        else:
            yield use
    yield Use(CONVERTER, "dc", slice(None), np.zeros((1, 1)), 0.0, standby_w=converter.idle_w)


def _uses(
    profile: Profile,
    clock: LocalClock,
    cabin: CabinHours,
    draws: FloatArray | None,
    *,
    of_draws: tuple[int, int, int],
) -> Iterator[Use]:
    """Yield what every load does, in the profile's order; `of_draws` is what they depend on."""
    coolers = iter(cabin.running)
    aboard = [appliance for appliance in profile.appliances if appliance.enabled]
    heaters = [appliance for appliance in aboard if appliance.response == "heater"]
    if profile.hourly is not None:
        yield from _hourly_uses(profile.hourly, clock, _slot(draws, _HOURLY_SLOT))
    for number, appliance in enumerate(profile.appliances):
        if not appliance.enabled:
            continue
        if appliance.response == "none":
            # Neither place nor van counts: the next one of either takes what is at hand.
            slots = (number, 0 if draws is None else draws.shape[2])
            yield kept_for(
                (clock, *of_draws),
                (appliance, *slots),
                functools.partial(_scheduled_use, appliance, clock, _slot(draws, 1 + number)),
            )
        elif appliance.response == "fridge":
            yield _fridge_use(appliance, clock, cabin)
        elif appliance.response == "heater":
            yield from _heater_uses(appliance, heaters, clock, cabin)
        else:
            yield _cooling_use(appliance, next(coolers))


def _scheduled_use(appliance: Appliance, clock: LocalClock, draws: FloatArray | None) -> Use:
    varies = appliance.variation_share > 0.0
    rows, on_share = scheduled_share(appliance, clock, draws if varies else None)
    return _use(appliance, rows, on_share, appliance.power_w, differs=varies)


def _fridge_use(appliance: Appliance, clock: LocalClock, cabin: CabinHours) -> Use:
    """Duty in proportion to the heat that comes in through the walls, and a part for the door."""
    above_k = cabin.temp_c - appliance.set_point_c
    duty = appliance.duty_base_share + appliance.duty_slope_pct_k / 100.0 * above_k
    on_share: FloatArray = np.clip(duty, 0.0, 1.0) * _windows(appliance, clock)
    return _use(appliance, slice(None), on_share, appliance.power_w)


def _heater_uses(
    appliance: Appliance, heaters: Sequence[Appliance], clock: LocalClock, cabin: CabinHours
) -> Iterator[Use]:
    """Run and glow of a heater that gives its part of the cabin's heat.

    Below its lowest setting it cycles; the number of starts follows the thermostat's parabola
    4 N x (1 - x) of the run share x with the largest number N at x = 1/2 (common practice in
    cycling-loss models, from memory). The first hour of heat after an hour without adds a start.
    """
    limit_w = _heat_limit_w(appliance, clock)
    all_w = sum((_heat_limit_w(heater, clock) for heater in heaters), start=np.zeros_like(limit_w))
    part = np.divide(limit_w, all_w, out=np.zeros_like(limit_w), where=all_w > 0.0)
    most_w, least_w = appliance.heat_w or 0.0, appliance.lowest_heat_w
    on_share, running_w = run_heater(
        cabin.heat_w,
        part,
        count=appliance.count,
        least_w=least_w,
        most_w=most_w,
        lowest_power_w=appliance.lowest_power_w,
        power_w=appliance.power_w,
    )
    yield _use(
        appliance,
        slice(None),
        on_share,
        running_w if most_w > least_w else appliance.power_w,
    )
    if appliance.glow_w > 0.0 and appliance.glow_minutes > 0.0:
        glow = glow_share(
            on_share, most_starts=4.0 * appliance.starts_per_hour, minutes=appliance.glow_minutes
        )
        use = _use(appliance, slice(None), glow, appliance.glow_w)
        yield dataclasses.replace(use, standby_w=0.0)


def _cooling_use(appliance: Appliance, running: FloatArray) -> Use:
    """Fan by the cube of its speed, evaporative cooler (fan and pump) by its time."""
    if appliance.response == "evaporative cooler":
        return _use(appliance, slice(None), running, appliance.power_w)
    runs = running > 0.0
    on_share = np.where(runs, 1.0, 0.0)
    low = appliance.low_speed_share
    # Powers are slow, and most hours need none.
    running_w = np.zeros_like(running)
    speed = low + (1.0 - low) * running[runs]
    running_w[runs] = appliance.power_w * speed**_FAN_EXPONENT
    return _use(appliance, slice(None), on_share, running_w)


def _hourly_uses(hourly: Hourly, clock: LocalClock, draws: FloatArray | None) -> Iterator[Use]:
    varies = hourly.variation_share > 0.0 and draws is not None
    for current, watts in (("dc", hourly.dc_w), ("ac", hourly.ac_w)):
        if not watts:
            continue
        index = {24: np.floor(clock.start_h).astype(np.int64), 8760: clock.hour_of_year}.get(
            len(watts), clock.leap_hour_of_year
        )
        running_w = np.asarray(watts)[index][:, np.newaxis]
        if draws is not None and varies:
            factors = unit_mean_factors(draws, hourly.variation_share, _NO_LIMIT)
            running_w = running_w * factors[clock.day + 1]
        yield Use(
            name=f"hourly {current.upper()} watts",
            current=current,
            rows=slice(None),
            on_share=(running_w > 0.0) * 1.0,
            running_w=running_w,
            differs=varies,
        )


def _use(
    appliance: Appliance,
    rows: IntArray | slice,
    on_share: FloatArray,
    running_w: FloatArray | float,
    *,
    differs: bool = True,
) -> Use:
    return Use(
        name=appliance.name,
        current=appliance.current,
        rows=rows,
        on_share=on_share,
        running_w=running_w * appliance.count,
        standby_w=appliance.count * appliance.standby_w,
        differs=differs,
    )


def _draws(
    profile: Profile, clock: LocalClock, *, runs: int, seed: int, first_run: int
) -> FloatArray | None:
    """Standard normal draws ``(runs, days + 2, slots)``, or None where nothing varies.

    Days are outermost, so that a longer stay only appends draws.
    """
    loads = [load for load in (profile.hourly, *profile.appliances) if load is not None]
    if not any(load.variation_share for load in loads):
        return None
    days = int(clock.day[-1]) + 3
    slots = -(-(1 + len(profile.appliances)) // _SLOT_BLOCK) * _SLOT_BLOCK
    return _normals(seed, first_run, runs, days * slots).reshape(runs, days, slots)


# Profiles that are compared meet the same draws; a chunk of runs takes about 1 MB.
@functools.lru_cache(maxsize=4)
def _normals(seed: int, first_run: int, runs: int, count: int) -> FloatArray:
    normals = run_normals(seed, Purpose.LOADS, first_run=first_run, runs=runs, count=count)
    normals.setflags(write=False)
    return normals


def _slot(draws: FloatArray | None, slot: int) -> FloatArray | None:
    return None if draws is None else draws[:, :, slot].T


def _windows(appliance: Appliance, clock: LocalClock) -> FloatArray:
    shares = window_share(appliance.windows, clock, appliance.weekdays)
    return sum(shares.values(), start=np.zeros(len(clock.day)))[:, np.newaxis]


def _heat_limit_w(appliance: Appliance, clock: LocalClock) -> FloatArray:
    return appliance.count * (appliance.heat_w or 0.0) * _windows(appliance, clock)
