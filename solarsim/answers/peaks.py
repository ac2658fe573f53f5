"""Whether the appliances' running watts trip what the hour's mean hides.

The simulation spreads a pulse over its hour: 1,800 W for 20 minutes are 600 W. The energy comes out
right, but a bank that gives the mean may fall below its cut-off voltage under the pulse, and an
inverter may be too small for two appliances at once. Both are looked at here, hour by hour.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray
from solarsim.inputs.inverter import Inverter
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.power.appliance import local_clock, window_share
from solarsim.power.chemistry import capacity_share_at, load_chemistry
from solarsim.power.demand_record import Demand
from solarsim.power.design import Design, design_of
from solarsim.power.inverter import loss_coefficients
from solarsim.records import ArrayRecord

__all__ = [
    "Load",
    "Overloads",
    "Peaks",
    "bank_gives",
    "find_peaks",
    "hour_text",
    "inverter_warnings",
    "join_peaks",
    "peak_warnings",
    "scheduled_loads",
]


_MOST_NAMES = 3


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Load(ArrayRecord):
    """An appliance with hours of use: what all its pieces take at the bank, and when it may run.

    ``may_run`` is ``(hours,)``; ``running_w`` counts the inverter's loss.
    """

    name: str
    current: str
    power_w: float
    running_w: float
    may_run: BoolArray


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Overloads(ArrayRecord):
    """First hour of each run in which more is asked than can be given; arrays are ``(runs,)``.

    Attributes
    ----------
    first_h : ndarray
        Hours from arrival to the start of that hour, infinite where there is none.
    asked_w, given_w : ndarray
        Power in that hour, W.
    by_voltage : ndarray
        Whether the bank's cut-off voltage sets the limit rather than a rating.
    soc : ndarray
        State of charge at its start, 0 to 1.
    lower_soc : ndarray
        The lower of those at its start and its end, from which `given_w` follows.
    """

    first_h: FloatArray
    asked_w: FloatArray
    given_w: FloatArray
    by_voltage: BoolArray
    soc: FloatArray
    lower_soc: FloatArray

    @property
    def share(self) -> float:
        """Share of the runs in which it happens, 0 to 1."""
        return float(np.isfinite(self.first_h).mean())

    @property
    def earliest(self) -> int:
        """Run in which it happens first; of several, the one that is given least."""
        return int(np.lexsort((self.given_w, self.first_h))[0])


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Peaks(ArrayRecord):
    """What trips, before the hourly means cut the bank off.

    Attributes
    ----------
    alone : Overloads
        The bank under the largest single appliance of the hour, on top of the mean of the DC loads.
    together : Overloads
        The bank under everything that may run in the hour at once.
    inverter : Overloads
        The inverter's rating under all AC appliances that may run in the hour at once.
    """

    alone: Overloads
    together: Overloads
    inverter: Overloads


def scheduled_loads(
    profile: Profile, inverter: Inverter | None, times: pd.DatetimeIndex, timezone: str
) -> tuple[Load, ...]:
    """List the appliances that run by the clock, largest at the bank first.

    Those that follow the cabin are small and belong to the mean that stands beside the largest.
    """
    clock = local_clock(times, timezone)
    loads = []
    for appliance in profile.appliances:
        if not appliance.enabled or appliance.response != "none" or appliance.use_h == 0.0:
            continue
        power_w = appliance.power_w * appliance.count
        shares = window_share(appliance.windows, clock, appliance.weekdays)
        may_run = np.sum([np.zeros(len(times)), *shares.values()], axis=0) > 0.0
        ac = appliance.current == "ac" and inverter is not None
        running_w = float(_at_bank_w(inverter, np.array(power_w))) if ac else power_w
        loads.append(Load(appliance.name, appliance.current, power_w, running_w, may_run))
    return tuple(sorted(loads, key=lambda load: -load.running_w))


def bank_gives(
    design: Design, soc: FloatArray, bank_temp_c: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """Largest power that a bank gives without tripping.

    The current is the lesser of the chemistry's limit and of ``(OCV - V_cut) / R``, at which the
    voltage falls to the cut-off. In the cold the open-circuit voltage is taken at the depth that
    the remaining capacity leaves, ``1 - (1 - soc) / share``: the capacity is less because the
    voltage gives way sooner. The rise of the resistance of a full cold bank is not known and not
    counted, and neither are the seconds for which a surge lasts.

    Parameters
    ----------
    design : Design
        Chemistry, capacity and voltage.
    soc : ndarray
        ``(runs, hours)`` state of charge, 0 to 1.
    bank_temp_c : ndarray
        ``(runs or 1, hours)`` degrees C.

    Returns
    -------
    power_w : ndarray
        In the shape of `soc`, W.
    by_voltage : ndarray
        Whether the cut-off voltage sets it rather than the current limit.
    """
    chemistry = load_chemistry(design.chemistry)
    scale = design.system_voltage_v / 12.0
    share = capacity_share_at(chemistry, bank_temp_c)
    # A bank too cold to give anything counts as empty.
    depth = np.divide(1.0 - soc, share, out=np.ones_like(soc), where=share > 0.0)
    warm_soc = 1.0 - depth
    ocv_v = scale * np.interp(warm_soc, chemistry.open_circuit_soc, chemistry.open_circuit_v)
    ohm = chemistry.discharge_ohm_ah * scale / design.capacity_ah
    sag_a = np.maximum(ocv_v - scale * chemistry.cutoff_v, 0.0) / ohm
    limit_a = chemistry.discharge_c_rate * design.capacity_ah
    current_a = np.minimum(sag_a, limit_a)
    return (ocv_v - ohm * current_a) * current_a, sag_a < limit_a


def find_peaks(
    *,
    loads: Sequence[Load],
    demand: Demand,
    shore_ac_w: FloatArray,
    inverter: Inverter | None,
    design: Design,
    soc: FloatArray,
    bank_temp_c: FloatArray,
    first_cut_h: FloatArray,
) -> Peaks:
    """Look for hours in which pulses trip the bank or the inverter.

    The sun is not counted on: a cloud may stand before it just then. Hours from the first cut-off
    on are left out, for the answer has given the run up by then.

    Parameters
    ----------
    loads : sequence of Load
        From `scheduled_loads`, over at least the hours looked at.
    demand : Demand
        Mean DC power and the running watts, ``(runs or 1, hours)`` or longer.
    shore_ac_w : ndarray
        ``(runs or 1, hours)`` or longer; AC load that shore power carries past the inverter, W.
    inverter : Inverter or None
        Loss curve and rating.
    design : Design
        The bank.
    soc : ndarray
        ``(runs, hours + 1)`` state of charge at the stamps: sets the hours looked at.
    bank_temp_c : ndarray
        ``(runs or 1, hours)`` or longer, degrees C.
    first_cut_h : ndarray
        ``(runs,)`` hours to the first cut-off.
    """
    hours = soc.shape[1] - 1
    lower_soc = np.minimum(soc[:, :-1], soc[:, 1:])
    given_w, by_voltage = bank_gives(design, lower_soc, bank_temp_c[:, :hours])
    carried = shore_ac_w[:, :hours] >= demand.ac_w[:, :hours]
    ac_peak_w = np.where(carried, 0.0, demand.ac_peak_w[:, :hours])
    # Most of it is alike in all runs, and then has one row.
    together_w = demand.dc_peak_w[:, :hours] + _at_bank_w(inverter, ac_peak_w)
    largest_w = np.zeros((1, hours))
    for load in loads:
        off_post = ~carried if load.current == "ac" else True
        may_run = load.may_run[np.newaxis, :hours] & off_post
        largest_w = np.maximum(largest_w, np.where(may_run, load.running_w, 0.0))
    alone_w = np.minimum(demand.dc_w[:, :hours] + largest_w, together_w)
    rated_w = np.full_like(given_w, np.inf if inverter is None else inverter.power_w)
    # Hours in which a bank is too cold to give anything are no pulse's fault.
    share = capacity_share_at(load_chemistry(design.chemistry), bank_temp_c[:, :hours])
    before_cut = (np.arange(1, hours + 1) <= first_cut_h[:, np.newaxis]) & (share > 0.0)

    def overloads(asked_w: FloatArray, limit_w: FloatArray, voltage: BoolArray) -> Overloads:
        over = (asked_w > limit_w) & before_cut
        first = over.argmax(axis=1)
        runs = np.arange(len(over))
        return Overloads(
            first_h=np.where(over.any(axis=1), first, np.inf),
            asked_w=np.broadcast_to(asked_w, over.shape)[runs, first],
            given_w=limit_w[runs, first],
            by_voltage=voltage[runs, first],
            soc=soc[runs, first],
            lower_soc=lower_soc[runs, first],
        )

    return Peaks(
        alone=overloads(np.where(largest_w > 0.0, alone_w, 0.0), given_w, by_voltage),
        together=overloads(together_w, given_w, by_voltage),
        inverter=overloads(ac_peak_w, rated_w, np.zeros_like(by_voltage)),
    )


def join_peaks(chunks: Sequence[Peaks]) -> Peaks:
    """Put the runs of several chunks together."""
    return Peaks(
        **{
            kind.name: Overloads(
                **{
                    field.name: np.concatenate(
                        [getattr(getattr(chunk, kind.name), field.name) for chunk in chunks]
                    )
                    for field in dataclasses.fields(Overloads)
                }
            )
            for kind in dataclasses.fields(Peaks)
        }
    )


def inverter_warnings(
    van: Van,
    profile: Profile,
    peaks: Peaks,
    loads: Sequence[Load],
    times: pd.DatetimeIndex,
    timezone: str,
) -> tuple[str, ...]:
    """Say in one line each which AC loads the inverter would not carry."""
    rated_w = np.inf if van.inverter is None else van.inverter.power_w
    found = [
        f"'{appliance.name}' draws {appliance.power_w:,.0f} W: more than the inverter's "
        f"{rated_w:,.0f} W, so it would not run; the answer assumes that it does"
        for appliance in profile.appliances
        if appliance.enabled and appliance.current == "ac" and appliance.power_w > rated_w
    ]
    if not found and peaks.inverter.share > 0.0:
        run = peaks.inverter.earliest
        hour = int(peaks.inverter.first_h[run])
        asked_w = peaks.inverter.asked_w[run]
        running = [
            (load.name, load.power_w)
            for load in loads
            if load.current == "ac" and load.may_run[hour]
        ]
        found.append(
            f"{_together(running, asked_w, rated_w)} would overload the inverter, first on "
            f"{hour_text(times, hour, timezone)}: all AC loads of that hour add up to "
            f"{asked_w:,.0f} W, it gives {rated_w:,.0f} W; run them one after the other"
        )
    return tuple(found)


def peak_warnings(
    van: Van,
    profile: Profile,
    peaks: Peaks,
    loads: Sequence[Load],
    times: pd.DatetimeIndex,
    timezone: str,
) -> tuple[str, ...]:
    """Say in one line each what would trip, in how many runs, when first, and what to do."""
    found = list(inverter_warnings(van, profile, peaks, loads, times, timezone))
    design = design_of(van)
    tripped = peaks.alone if peaks.alone.share > 0.0 else peaks.together
    if tripped.share > 0.0:
        run = tripped.earliest
        hour = int(tripped.first_h[run])
        asked_w, given_w = tripped.asked_w[run], tripped.given_w[run]
        at_hour, lowest = (percent(soc[run]) for soc in (tripped.soc, tripped.lower_soc))
        fell = "" if at_hour == lowest else f" and {lowest} within the hour"
        asked = f"{asked_w:,.0f} W, the bank, then {at_hour} full{fell}, gives"
        limit = f"{given_w:,.0f} W {_limit(design, by_voltage=bool(tripped.by_voltage[run]))}"
        when = f"in {_percent(tripped.share)} of runs, first on {hour_text(times, hour, timezone)}"
        if tripped is peaks.alone:
            name = next(load.name for load in loads if load.may_run[hour])
            found.append(
                f"'{name}' would trip the bank {when}: with the DC loads' mean it takes {asked} "
                f"{limit}; the answer assumes that it runs: fit a larger bank"
            )
        else:
            running = [(load.name, load.running_w) for load in loads if load.may_run[hour]]
            found.append(
                f"{_together(running, asked_w, given_w)} would trip the bank {when}: with all "
                f"other loads they take {asked} {limit}; run them one after the other, or fit a "
                "larger bank"
            )
    return tuple(found)


def _at_bank_w(inverter: Inverter | None, ac_w: FloatArray) -> FloatArray:
    if inverter is None:
        return ac_w
    a, b, c = loss_coefficients(inverter)
    idle_w = a if inverter.always_on else np.where(ac_w > 0.0, a, 0.0)
    return np.asarray(ac_w + idle_w + b * ac_w + c * ac_w**2)


def _limit(design: Design, *, by_voltage: bool) -> str:
    chemistry = load_chemistry(design.chemistry)
    if by_voltage:
        return f"before it sags to {chemistry.cutoff_v * design.system_voltage_v / 12.0:g} V"
    return f"at its limit of {chemistry.discharge_c_rate * design.capacity_ah:g} A"


def _together(running: Sequence[tuple[str, float]], asked_w: float, given_w: float) -> str:
    """Name the largest loads that suffice, with all that has no name, to ask for too much."""
    sum_w = asked_w - sum(power_w for _, power_w in running)
    names = []
    for name, power_w in running:
        names.append(f"'{name}'")
        sum_w += power_w
        if sum_w > given_w:
            break
    if len(names) != 1 and len(names) <= _MOST_NAMES:
        return f"{' and '.join(names) or 'what may run'} at once"
    return f"{', '.join(names[:_MOST_NAMES])} and other loads at once"


def _percent(share: float) -> str:
    return "under 1 %" if share < 0.01 else percent(share)


def hour_text(times: pd.DatetimeIndex, hour: int, timezone: str) -> str:
    """Return the date and the clock time at which an hour begins."""
    local = times[hour].tz_convert(timezone)
    return f"{local.day} {local.month_name()} at {local:%H:%M}"
