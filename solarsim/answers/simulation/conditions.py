"""What went into a question's runs, and what they do to one design."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from solarsim.answers.freezing import (
    Freezing,
    find_freezing,
    join_freezing,
    too_cold_share,
)
from solarsim.answers.fuel import Warmth, joined_warmth, warmth_of
from solarsim.answers.peaks import Load, Peaks, find_peaks, join_peaks
from solarsim.answers.question import Question
from solarsim.answers.simulation.scene import Scene
from solarsim.arrays import BoolArray
from solarsim.power.design import Design
from solarsim.power.dispatch import Outcome
from solarsim.records import ArrayRecord

__all__ = ["Conditions", "mean_conditions", "observed_conditions"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Conditions(ArrayRecord):
    """What went into the runs, as means over the stay and the runs.

    Attributes
    ----------
    runs : int
        How many.
    source : str
        Where the weather came from.
    ghi_kwh_m2_day, temp_air_c, bank_temp_c : float
        Light, and the temperatures of the air and of the bank.
    too_cold_share : float
        Share of the hours in which the observed design's bank is too cold to give anything.
    demand_wh_per_day : dict
        Energy of each appliance.
    dc_peak_w, ac_peak_w : float
        Largest running power that the appliances of any hour may add up to, W.
    peaks : Peaks
        What trips under the observed design's running watts, run by run.
    freezing : Freezing
        How near the observed design's bank comes to freezing, run by run.
    loads : tuple of Load
        Appliances that run by the clock.
    night : ndarray
        ``(hours,)`` whether the sun is below the horizon.
    notes : tuple of str
        Caveats of all parts.
    run_years : tuple of int
        Year of each run where runs are windows of years, see `Weather`; else empty.
    warmth : Warmth or None
        What fuel depends on, run by run; None where the van does not say what it burns.
    """

    runs: int
    source: str
    ghi_kwh_m2_day: float
    temp_air_c: float
    bank_temp_c: float
    too_cold_share: float
    demand_wh_per_day: dict[str, float]
    dc_peak_w: float
    ac_peak_w: float
    peaks: Peaks
    freezing: Freezing
    loads: tuple[Load, ...]
    night: BoolArray
    notes: tuple[str, ...] = ()
    run_years: tuple[int, ...] = ()
    warmth: Warmth | None = None


def observed_conditions(
    question: Question,
    scene: Scene,
    designs: Sequence[Design],
    observed: int,
    outcome: Outcome,
    loads: tuple[Load, ...],
    stay_hours: int,
) -> Conditions:
    """What went into a scene's runs, and what they do to the observed design."""
    design, soc = designs[observed], outcome.soc[:, :, 0]
    peaks = find_peaks(
        loads=loads,
        demand=scene.demand,
        shore_ac_w=scene.chargers.shore_ac_w,
        inverter=question.van.inverter,
        design=design,
        soc=soc,
        bank_temp_c=scene.bank_temp_c,
        first_cut_h=outcome.first_cut_h[:, observed],
    )
    freezing = find_freezing(design, soc, scene.bank_temp_c)
    weather, demand = scene.weather, scene.demand
    bank_temp_c = scene.bank_temp_c[:, :stay_hours]
    # Of several crews on a trip each has a cabin of its own: the stops tell of it.
    told_warmth = question.van.fuel is not None and demand.cabin is not None
    return Conditions(
        runs=weather.runs,
        source=weather.source,
        ghi_kwh_m2_day=float(weather.ghi_w_m2[:, :stay_hours].mean()) * 24.0 / 1000.0,
        temp_air_c=float(weather.temp_air_c[:, :stay_hours].mean()),
        bank_temp_c=float(bank_temp_c.mean()),
        too_cold_share=too_cold_share(design, bank_temp_c),
        demand_wh_per_day=dict(demand.wh_per_day),
        dc_peak_w=float(demand.dc_peak_w.max()),
        ac_peak_w=float(demand.ac_peak_w.max()),
        peaks=peaks,
        freezing=freezing,
        loads=loads,
        night=weather.zenith_deg[0] > 90.0,
        run_years=weather.run_years,
        warmth=warmth_of(demand, weather.runs, slice(stay_hours)) if told_warmth else None,
    )


def mean_conditions(chunks: Sequence[Conditions]) -> Conditions:
    """Means over chunks of runs, weighted by how many these are; what is worst is kept."""
    weights = np.array([chunk.runs for chunk in chunks], dtype=np.float64)
    weights /= weights.sum()

    def mean(values: list[float]) -> float:
        return float(np.dot(weights, values))

    first = chunks[0]
    return Conditions(
        runs=sum(chunk.runs for chunk in chunks),
        source=first.source,
        ghi_kwh_m2_day=mean([chunk.ghi_kwh_m2_day for chunk in chunks]),
        temp_air_c=mean([chunk.temp_air_c for chunk in chunks]),
        bank_temp_c=mean([chunk.bank_temp_c for chunk in chunks]),
        too_cold_share=mean([chunk.too_cold_share for chunk in chunks]),
        demand_wh_per_day={
            name: mean([chunk.demand_wh_per_day[name] for chunk in chunks])
            for name in first.demand_wh_per_day
        },
        dc_peak_w=max(chunk.dc_peak_w for chunk in chunks),
        ac_peak_w=max(chunk.ac_peak_w for chunk in chunks),
        peaks=join_peaks([chunk.peaks for chunk in chunks]),
        freezing=join_freezing([chunk.freezing for chunk in chunks]),
        loads=first.loads,
        night=first.night,
        run_years=tuple(year for chunk in chunks for year in chunk.run_years),
        warmth=joined_warmth([chunk.warmth for chunk in chunks]),
    )
