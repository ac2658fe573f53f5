"""A battery log of a van whose truth is known, with noise, gaps and drift."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.answers.question import ask
from solarsim.answers.simulation.roof_shades import shades_by_count
from solarsim.answers.simulation.scene import build_scene
from solarsim.answers.simulation.supply import supply_of
from solarsim.power.chemistry import load_chemistry, tank_total_ah
from solarsim.power.design import design_of
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.power.uses import load_uses
from solarsim.weather.years.series import YearSeries
from solarsim.weather.years.windows import file_span

# Watts by the local hour: a fridge, lights in the evening, a computer by day.
LOAD_W = np.array([20.0] * 7 + [32.0, 45.0] + [36.0] * 8 + [45.0] * 2 + [60.0] * 3 + [36.0, 25.0])


@dataclasses.dataclass(frozen=True)
class Truth:
    load_w: np.ndarray
    yield_factor: float
    capacity_factor: float
    table: pd.DataFrame


def make_log(
    series: YearSeries,
    *,
    first: str,
    days: int,
    yield_factor: float = 0.82,
    capacity_factor: float = 0.88,
    load_factor: float = 1.0,
    seed: int = 1,
    van: str = "weekender",
    responsive: dict[str, float] | None = None,
    tours: bool = False,
    columns: bool = False,
) -> Truth:
    """Ten-minute rows with the state of charge, voltage, current and solar power of a true van.

    `responsive` names appliances of the profile that follow the weather, with their true watts
    over the profile's. A van that `tours` drives on two of three mornings, and stands on shore
    power every fifth night; `columns` writes what both gave into the log.
    """
    rng = np.random.default_rng(seed)
    question = ask(van, place="36.10, -79.95")
    times = pd.date_range(
        pd.Timestamp(first, tz=series.times.tz), periods=24 * days, freq="h", unit="us"
    )
    weather = file_span(series, times)
    scene = build_scene(question, times, first_run=0, runs=1, weather=weather)
    own = design_of(question.van)
    shades = shades_by_count(question.van, [own.panel_count])
    supply = supply_of(question, weather, scene.panel, scene.arrays, [own], shades)
    placed = supply.designs[0]
    light_w = yield_factor * placed.panel_count * supply.panel_w[:, :, placed.panel_variant]
    hour = times.tz_convert(question.place.timezone).hour.to_numpy()
    day = np.repeat(rng.lognormal(-0.02, 0.2, days), 24)
    within = rng.lognormal(-0.045, 0.3, 24 * days)
    load_w = (load_factor * LOAD_W[hour] * day * within)[np.newaxis]
    load_w = load_w + _responsive_w(question, scene, responsive or {})
    offered_a = _offered_a(hour, len(times)) if tours else np.zeros((1, len(times)))
    design = dataclasses.replace(
        own, panel_count=1, panel_variant=0, capacity_ah=own.capacity_ah * capacity_factor
    )
    nothing = np.zeros((1, len(times)))
    outcome = dispatch(
        panel_w=light_w,
        dc_w=load_w,
        ac_w=nothing,
        inverter_loss_w=nothing,
        chargers=Chargers(offered_a, nothing, nothing),
        bank_temp_c=np.full((1, len(times)), 20.0),
        designs=[design],
        start_soc=0.9,
        ledger_hours=len(times),
        soc_designs=1,
    )
    # What is not served would stand in no log.
    assert outcome.first_cut_h[0, 0] == len(times)
    soc = outcome.soc[0, :, 0]
    chemistry = load_chemistry(design.chemistry)
    stored_a = np.diff(soc) * tank_total_ah(chemistry, design.capacity_ah)
    current_a = np.where(stored_a > 0.0, stored_a / 0.995, stored_a)
    voltage_v = np.interp(soc[:-1], chemistry.open_circuit_soc, chemistry.open_circuit_v)
    voltage_v = voltage_v + 0.7 / design.capacity_ah * current_a
    source_w = np.maximum(current_a * voltage_v + load_w[0], 0.0)
    other_w = np.minimum(source_w, offered_a[0] * voltage_v)
    solar_w = (source_w - other_w) * (light_w[0] > 0.0)

    steps = 6
    at = np.repeat(np.arange(len(times)), steps)
    share = np.tile(np.arange(steps) / steps, len(times))
    true_soc = soc[at] * (1.0 - share) + soc[at + 1] * share
    # The counter gains 0.2 points a day and is set right every week.
    drift = 0.002 * ((np.arange(len(at)) / (24.0 * steps)) % 7.0)
    rows = pd.DataFrame(
        {
            "Timestamp": times[at].tz_convert(question.place.timezone).tz_localize(None)
            + pd.to_timedelta(60 * share, unit="min").round("s"),
            "SOC (%)": np.clip(100.0 * (true_soc + drift), 0.0, 100.0),
            "Battery voltage (V)": voltage_v[at] + rng.normal(0.0, 0.02, len(at)),
            "Battery current (A)": current_a[at] + rng.normal(0.0, 0.4, len(at)),
            "Solar power (W)": np.maximum(solar_w[at] + rng.normal(0.0, 2.0, len(at)), 0.0),
        }
    )
    if columns:
        rows["Alternator current (A)"] = (other_w / voltage_v)[at]
    rows["SOC (%)"] += rng.normal(0.0, 0.3, len(at))
    rows = rows.round({"SOC (%)": 0, "Battery voltage (V)": 2, "Battery current (A)": 1})
    rows["SOC (%)"] = rows["SOC (%)"].clip(0, 100)
    # A lost day, an afternoon, and rows here and there.
    lost = np.zeros(len(at), dtype=bool)
    lost[8 * 144 : 9 * 144] = True
    lost[15 * 144 + 70 : 15 * 144 + 110] = True
    lost |= rng.random(len(at)) < 0.02
    drawn_w = np.array([load_w[0][hour == one].mean() for one in range(24)])
    return Truth(drawn_w, yield_factor, capacity_factor, rows[~lost])


def _offered_a(hour, hours):
    """30 A in three hours of two mornings of three, and 20 A in every fifth night."""
    day = np.arange(hours) // 24
    drives = (day % 3 != 0) & (hour >= 9) & (hour < 12)
    shore = ((day % 5 == 1) & (hour >= 18)) | ((day % 5 == 2) & (hour < 8))
    return (30.0 * drives + 20.0 * shore)[np.newaxis]


def _responsive_w(question, scene, factors):
    """Watts of appliances that follow the weather, by the model and their true factors."""
    total = np.zeros((1, scene.weather.hours))
    uses, _ = load_uses(question.profile, scene.weather, seed=1, cabin=scene.demand.cabin)
    for use in uses:
        if use.name in factors:
            watts = use.standby_w + use.on_share * (use.running_w - use.standby_w)
            total += factors[use.name] * np.broadcast_to(watts, (scene.weather.hours, 1)).T
    return total
