"""Demand of every run and hour from a profile and the weather."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import BoolArray, FloatArray
from solarsim.inputs.body import Body
from solarsim.inputs.converter import Converter
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.power.cabin import CabinHours
from solarsim.power.demand_record import Demand
from solarsim.power.load_loop import add_load
from solarsim.power.uses import CONVERTER, Use, behind_converter, cabin_of, load_uses
from solarsim.weather.record import Weather

__all__ = ["build_demand"]


@dataclasses.dataclass(frozen=True)
class _Sums:
    """Sums over the loads of one kind of current, ``(hours, 1)`` or ``(hours, runs)``.

    `off_share` is the share of the hour in which all rest, the variance that within the hour; both
    are kept for AC only.
    """

    mean_w: FloatArray
    peak_w: FloatArray
    variance_w2: FloatArray
    off_share: FloatArray


def build_demand(
    profile: Profile,
    weather: Weather,
    *,
    seed: int,
    first_run: int = 0,
    van: Van | None = None,
    like: tuple[Profile, Van | None, Demand] | None = None,
    counted_hours: int | BoolArray | None = None,
) -> Demand:
    """Demand of each weather run, hour by hour.

    Scheduled appliances spread their hours of use evenly over their windows of the local clock and
    vary around them from day to day. Fridge, heater, fan and evaporative cooler follow the cabin
    (`solarsim.power.cabin`). Within an hour appliances run independently of each other: that gives
    the mean square of the AC power and the share of the hour in which any runs. The peak adds up
    the running watts of everything that may run in the hour, whether or not it meets.

    An AC appliance with standby keeps the inverter on (``ac_on_share`` is 1).

    Parameters
    ----------
    profile : Profile
        Cabin, appliances, hourly watts.
    weather : Weather
        Of runs ``first_run`` to ``first_run + weather.runs - 1``.
    seed : int
        The question's seed.
    first_run : int, optional
        Number of the first run; a run's demand does not depend on which others are asked for.
    van : Van, optional
        Its size sets the cabin's heat loss, its voltage what runs behind a converter; left out, a
        6 m van of 12 V.
    like : tuple of Profile, Van and Demand, optional
        Others aboard in the same runs of weather, and their demand: the cabin is taken from there
        where both have the same, which changes nothing but the time that it takes.
    counted_hours : int or ndarray, optional
        The appliances' energies are means over so many first hours, those of the stay, or over
        those that are true of ``(hours,)``; by default over all.

    Returns
    -------
    Demand
        Arrays ``(runs, hours)``, or ``(1, hours)`` where all runs are alike.
    """
    cabin = None
    if like is not None and cabin_of(*like[:2]) == cabin_of(profile, van):
        cabin = like[2].cabin
    uses, cabin = load_uses(profile, weather, seed=seed, first_run=first_run, van=van, cabin=cabin)
    counted = weather.hours if counted_hours is None else counted_hours
    if isinstance(counted, int):
        counted = min(counted, weather.hours)
    # What all runs share is added up once; only what differs takes an array of runs.
    sums: dict[tuple[str, bool], _Sums] = {
        (current, False): _empty_sums(current, weather.hours, 1) for current in ("dc", "ac")
    }
    wh_per_day: dict[str, float] = {}
    room_w = np.empty((weather.hours, weather.runs))
    for use in uses:
        kind = (use.current, use.differs)
        if kind not in sums:
            sums[kind] = _empty_sums(use.current, weather.hours, weather.runs)
        day_wh = 24.0 * _add(use, sums[kind], counted, room_w)
        lost_wh = day_wh * use.converter_loss_share
        wh_per_day[use.name] = wh_per_day.get(use.name, 0.0) + day_wh - lost_wh
        if lost_wh:
            wh_per_day[CONVERTER] = wh_per_day.get(CONVERTER, 0.0) + lost_wh
    dc = _joined(sums["dc", False], sums.get(("dc", True)))
    ac = _joined(sums["ac", False], sums.get(("ac", True)))
    return Demand(
        dc_w=dc.mean_w,
        ac_w=ac.mean_w,
        ac_square_w2=ac.variance_w2 + ac.mean_w**2,
        ac_on_share=1.0 - ac.off_share,
        dc_peak_w=dc.peak_w,
        ac_peak_w=ac.peak_w,
        wh_per_day=wh_per_day,
        cabin_temp_c=np.ascontiguousarray(cabin.temp_c.T),
        cabin=cabin,
        notes=_notes(profile, cabin, van),
    )


def _add(use: Use, sums: _Sums, counted: int | BoolArray, room_w: FloatArray) -> float:
    """Add a load to the sums of its current; return its mean power over the counted hours, W.

    `room_w` is ``(hours, runs)`` and serves one load after the other.
    """
    rows, on_share = use.rows, use.on_share
    above_w = use.running_w - use.standby_w
    if use.differs and on_share.shape[1] == room_w.shape[1]:
        mean_w = _add_runs(use, above_w, sums, room_w)
    else:
        mean_w = on_share * above_w
        sums.mean_w[rows] += mean_w
        sums.peak_w[rows] += (on_share > 0.0) * above_w
        if use.current == "ac":
            sums.variance_w2[rows] += mean_w * above_w * (1.0 - on_share)
            sums.off_share[rows] *= 1.0 - on_share
    if use.standby_w:
        sums.mean_w[:] += use.standby_w
        sums.peak_w[:] += use.standby_w
        sums.off_share[:] = 0.0
    if isinstance(counted, int):
        of_stay_w = mean_w[:counted] if isinstance(rows, slice) else mean_w[rows < counted]
        hours = counted
    else:
        # An array of one row stands for all hours.
        of_stay_w = np.broadcast_to(mean_w, (len(counted[rows]), mean_w.shape[1]))[counted[rows]]
        hours = int(counted.sum())
    return float(use.standby_w + of_stay_w.sum() / (hours * mean_w.shape[1]))


def _add_runs(use: Use, above_w: FloatArray | float, sums: _Sums, room_w: FloatArray) -> FloatArray:
    """Add a load that differs from run to run in one pass over memory; return its mean power, W."""
    on_share = np.ascontiguousarray(use.on_share)
    mean_w = room_w[: len(on_share)]
    rows = np.arange(len(on_share)) if isinstance(use.rows, slice) else use.rows
    if isinstance(above_w, np.ndarray):
        above_w = np.ascontiguousarray(np.broadcast_to(above_w, on_share.shape))
    within = (sums.variance_w2, sums.off_share) if use.current == "ac" else ()
    add_load(on_share, above_w, rows, (sums.mean_w, sums.peak_w, *within), mean_w)
    return mean_w


def _empty_sums(current: str, hours: int, runs: int) -> _Sums:
    # Only the inverter's losses depend on the variance and the rests within the hour.
    runs_within = runs if current == "ac" else 1
    return _Sums(
        mean_w=np.zeros((hours, runs)),
        peak_w=np.zeros((hours, runs)),
        variance_w2=np.zeros((hours, runs_within)),
        off_share=np.ones((hours, runs_within)),
    )


def _joined(shared: _Sums, own: _Sums | None) -> _Sums:
    """Both sums together and runs first, in one pass over memory."""
    if own is None:
        own = _empty_sums("", 1, 1)
    return _Sums(
        mean_w=np.add(own.mean_w.T, shared.mean_w.T, order="C"),
        peak_w=np.add(own.peak_w.T, shared.peak_w.T, order="C"),
        variance_w2=np.add(own.variance_w2.T, shared.variance_w2.T, order="C"),
        off_share=np.multiply(own.off_share.T, shared.off_share.T, order="C"),
    )


def _notes(profile: Profile, cabin: CabinHours, van: Van | None) -> tuple[str, ...]:
    notes = []
    if profile.cabin.heat_loss_w_k is None:
        body = Body() if van is None else van.body
        notes.append(
            f"cabin heat loss {body.heat_loss_w_k(profile.cabin.insulation):.0f} W/K, estimated "
            f"for {profile.cabin.insulation} insulation of a body of {body.length_m:.2f} x "
            f"{body.width_m:.2f} x {body.height_m:.2f} m"
        )
    if van is not None and van.converter is None:
        behind = [appliance.name for appliance in behind_converter(van, profile.appliances)]
        if behind:
            assumed = Converter()
            notes.append(
                f"{', '.join(behind)} taken to run on 12 V behind a converter of "
                f"{percent(assumed.efficiency)} efficiency and {assumed.idle_w:g} W idle (assumed; "
                "give [converter], or the appliance's runs_on_v)"
            )
    wanted_h = np.count_nonzero(cabin.wanted_w)
    weak_h = 0 if not wanted_h else np.count_nonzero(cabin.wanted_w > cabin.heat_w + 1e-6)
    # A van warming up from its night setting asks for more than any heater gives.
    if weak_h > 0.25 * wanted_h:
        notes.append(
            "the heater runs at its limit in more than a quarter of the hours with heat; the cabin "
            "stays below its set-point then"
        )
    return tuple(notes)
