"""Panel count against bank size, on the same weather: what to build."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Sequence

import numpy as np

from solarsim.answers.bank import bank_doubts, candidate_units, units_text
from solarsim.answers.peaks import inverter_warnings
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Conditions, Progress, simulate
from solarsim.answers.simulation.summary import (
    DaysUnplugged,
    Situation,
    chance_lasts,
    days_unplugged,
    ledger_wh_per_day,
    stay_dates,
)
from solarsim.errors import InputError
from solarsim.inputs.percent import chance_text, percent
from solarsim.inputs.van import Alternator, Van
from solarsim.power.chemistry import charging_voltage_v, load_chemistry
from solarsim.power.design import Design, design_of
from solarsim.roof.fit import fitting_counts

__all__ = ["DEFAULT_PANELS", "DEFAULT_STRINGS", "TuneAnswer", "TunedDesign", "tune"]

DEFAULT_PANELS = 8
DEFAULT_STRINGS = 12
# One more panel stops paying where it adds less than this to the chance and to the middle days.
_PAYS_CHANCE = 0.01
_PAYS_DAYS = 0.1


@dataclasses.dataclass(frozen=True)
class TunedDesign:
    """One candidate and how it does.

    Attributes
    ----------
    panels, units : int
        Panels on the roof and battery units.
    capacity_ah, controller_a : float
        Rated capacity, and the controller output current that the panels need (never below the
        van's own).
    chemistry : str
        Of the bank.
    dcdc_a, tilt_deg : float
        Alternator charger and panel tilt.
    chance_lasts : float
        Share of runs without a cut-off during the stay.
    days : DaysUnplugged
        Days to the first cut-off.
    refused_wh_per_day : float
        Sun that the full or cold bank refused and the controller clipped.
    cost : float or None
        Panels and units at the van's prices; None where a price is missing, or where banks of a
        chemistry are tried that the van's price is not for.
    """

    panels: int
    units: int
    capacity_ah: float
    controller_a: float
    chemistry: str
    dcdc_a: float
    tilt_deg: float
    chance_lasts: float
    days: DaysUnplugged
    refused_wh_per_day: float
    cost: float | None


@dataclasses.dataclass(frozen=True)
class TuneAnswer(Situation):
    """All candidates on the same weather; the van's own counts play no part.

    Attributes
    ----------
    designs : tuple of TunedDesign
        Every candidate.
    choice : TunedDesign or None
        The cheapest that meets the target chance; without prices the one with the fewest panels
        and units together. None where no candidate does.
    pareto : tuple of TunedDesign
        Candidates that no other matches at a lower price, or without prices with fewer panels or
        less battery.
    stops_paying : TunedDesign or None
        On the choice's bank (or the largest): the count from which on no further panel adds more
        than next to nothing. None where the last one still pays.
    reason : str
        The choice in words.
    notes : tuple of str
        Caveats about the candidates.
    """

    designs: tuple[TunedDesign, ...]
    choice: TunedDesign | None
    pareto: tuple[TunedDesign, ...]
    stops_paying: TunedDesign | None
    reason: str
    notes: tuple[str, ...] = ()


def tune(
    question: Question,
    *,
    panels: Sequence[int] | None = None,
    strings: Sequence[int] | None = None,
    chemistries: Sequence[str] | None = None,
    dcdc_a: Sequence[float] | None = None,
    tilts_deg: Sequence[float] | None = None,
    progress: Progress | None = None,
) -> TuneAnswer:
    """Try every combination on the same weather and pick.

    Parameters
    ----------
    question : Question
        Gives panel part, battery unit, loads, place, dates and the target chance.
    panels : sequence of int, optional
        Panel counts, by default every one that fits on the roof or, where none is given, 0 to 8;
        counts that make no whole strings are left out.
    strings : sequence of int, optional
        Parallel strings of battery units, by default 1 to 12.
    chemistries, dcdc_a, tilts_deg : sequence, optional
        Further dimensions; by default the van's own.
    progress : callable, optional
        Called with combinations of weather done and in all.

    Raises
    ------
    InputError
        Nothing to try, or a value that a van cannot have.
    """
    van = question.van
    fitting = range(DEFAULT_PANELS + 1) if van.roof is None else fitting_counts(van)
    asked = fitting if panels is None else panels
    counts = sorted({count for count in asked if count % van.panels.series == 0})
    parallel = sorted(set(range(1, DEFAULT_STRINGS + 1) if strings is None else strings))
    if not counts or not parallel or counts[0] < 0 or parallel[0] < 1:
        raise InputError(
            f"nothing to try: panels {panels}, strings {strings}; panels are 0 or more in whole "
            f"strings of {van.panels.series}, battery strings 1 or more",
            field="tune",
        )
    variants = [
        _variant(question, amps, tilt)
        for amps in (dcdc_a or (None,))
        for tilt in (tilts_deg or (None,))
    ]
    priced = set(chemistries or ()) <= {van.battery.chemistry}
    designs: list[TunedDesign] = []
    conditions: Conditions | None = None
    overloads: tuple[str, ...] = ()
    for done, variant in enumerate(variants, start=1):
        table = [
            (units, _design(variant.van, chemistry, units, count))
            for chemistry in (chemistries or [van.battery.chemistry])
            for count in counts
            for units in (_units(van, n) for n in parallel)
        ]
        # The largest comes first, so that what would overload the inverter is told of a bank that
        # stays connected.
        simulation = simulate(variant, [design for _, design in reversed(table)])
        conditions = conditions or simulation.conditions
        if done == 1:
            overloads = inverter_warnings(
                van,
                question.profile,
                simulation.conditions.peaks,
                simulation.conditions.loads,
                simulation.times,
                question.place.timezone,
            )
        for index, (units, design) in zip(reversed(range(len(table))), table, strict=True):
            ledger = ledger_wh_per_day(simulation, index)
            alternator = variant.van.alternator
            designs.append(
                TunedDesign(
                    panels=design.panel_count,
                    units=units,
                    capacity_ah=design.capacity_ah,
                    controller_a=design.controller_max_a,
                    chemistry=design.chemistry,
                    dcdc_a=0.0 if alternator is None else alternator.dcdc_a,
                    tilt_deg=variant.van.panels.tilt_deg,
                    chance_lasts=chance_lasts(simulation, index),
                    days=days_unplugged(simulation, index),
                    refused_wh_per_day=ledger["solar_refused_full"]
                    + ledger["solar_refused_cold"]
                    + ledger["solar_clipped"],
                    cost=_cost(van, design.panel_count, units) if priced else None,
                )
            )
        if progress is not None:
            progress(done, len(variants))
    assert conditions is not None
    target = van.stay.target_chance
    good = [design for design in designs if design.chance_lasts >= target]
    choice = min(good, key=_price) if good else None
    if choice is None:
        best = max(designs, key=lambda design: (design.chance_lasts, design.days.p50))
        reason = (
            f"no design of up to {counts[-1]} panels and {units_text(_units(van, parallel[-1]))} "
            f"reaches {percent(target)}; the best, {best.panels} panels and "
            f"{units_text(best.units)}, lasts in {chance_text(best.chance_lasts)} of runs"
        )
    else:
        reason = (
            f"{'cheapest' if choice.cost is not None else 'fewest parts'} that last "
            f"{van.stay.days} days in at least {percent(target)} of runs: "
            f"{chance_text(choice.chance_lasts)}"
        )
        if choice.chemistry == van.battery.chemistry:
            reason += bank_doubts(question, choice.units)
    return TuneAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=conditions,
        designs=tuple(designs),
        choice=choice,
        pareto=_pareto(designs),
        stops_paying=_stops_paying(designs, choice),
        reason=reason,
        notes=(*overloads, *_roof_notes(van, counts, fitting)),
    )


def _variant(question: Question, dcdc_a: float | None, tilt_deg: float | None) -> Question:
    van = question.van
    if dcdc_a is not None:
        data = (van.alternator or Alternator(dcdc_a=0.0)).model_dump() | {"dcdc_a": float(dcdc_a)}
        van = van.model_copy(update={"alternator": Alternator.model_validate(data)})
    if tilt_deg is not None:
        tilted = van.panels.model_dump() | {"tilt_deg": float(tilt_deg)}
        van = van.model_copy(update={"panels": type(van.panels).model_validate(tilted)})
    return dataclasses.replace(question, van=van)


def _design(van: Van, chemistry: str, units: int, count: int) -> Design:
    curves = load_chemistry(chemistry)
    # A builder who adds panels fits the controller that they need: peak power at charging voltage.
    charging_v = charging_voltage_v(curves, float(van.van.system_voltage_v))
    beside_w = sum(a.count * a.power_w for a in van.arrays if a.controller is None)
    whole_w = count * van.panels.power_w + beside_w
    needed_a = math.ceil(whole_w * van.controller.efficiency / charging_v)
    design = dataclasses.replace(
        design_of(van, units=units, panel_count=count),
        controller_max_a=max(van.controller.max_output_a, float(needed_a)),
    )
    if chemistry == van.battery.chemistry:
        return design
    return dataclasses.replace(design, chemistry=chemistry, floor_soc=curves.floor_soc)


def _units(van: Van, strings: int) -> int:
    return candidate_units(van, strings, strings)[0]


def _roof_notes(van: Van, counts: Sequence[int], fitting: Sequence[int]) -> tuple[str, ...]:
    size = f"of {van.panels.length_m:g} m x {van.panels.width_m:g} m"
    if van.roof is None:
        return (f"No roof is given: whether {counts[-1]} panels {size} fit was not looked at.",)
    note = f"The roof holds up to {fitting[-1]} panels {size}"
    if van.panels.series > 1:
        note += f" in whole strings of {van.panels.series}"
    lost = [count for count in counts if count not in fitting]
    if lost:
        named = ", ".join(map(str, lost))
        return (f"{note}: {named} do not fit, and the shade of what stands there is left out.",)
    return (f"{note}; each number of them lies and is shaded in its own best layout.",)


def _cost(van: Van, panels: int, units: int) -> float | None:
    if van.panels.cost is None or van.battery.cost is None:
        return None
    return panels * van.panels.cost + units * van.battery.cost


def _price(design: TunedDesign) -> tuple[float, float, float]:
    if design.cost is not None:
        return design.cost, design.units, design.panels
    # Without prices: the fewest parts to buy and fit, and among those the fewest batteries.
    return design.panels + design.units, design.units, -design.chance_lasts


def _pareto(designs: Sequence[TunedDesign]) -> tuple[TunedDesign, ...]:
    """Candidates that no other matches in price and chance while beating it in one of them."""
    # Everything that should be small, one row a design.
    bad = np.array(
        [
            (*((d.capacity_ah, d.panels) if d.cost is None else (d.cost,)), -d.chance_lasts)
            for d in designs
        ]
    )
    line = [
        design
        for design, own in zip(designs, bad, strict=True)
        if not ((bad <= own).all(axis=1) & (bad < own).any(axis=1)).any()
    ]
    return tuple(sorted(line, key=lambda design: (_price(design), design.chance_lasts)))


def _stops_paying(designs: Sequence[TunedDesign], choice: TunedDesign | None) -> TunedDesign | None:
    anchor = choice or max(designs, key=lambda d: (d.chance_lasts, d.days.p50))
    same = [
        design
        for design in designs
        if (design.units, design.chemistry, design.dcdc_a, design.tilt_deg)
        == (anchor.units, anchor.chemistry, anchor.dcdc_a, anchor.tilt_deg)
    ]
    # From the largest down: the first panels may add nothing yet and still be worth their row.
    stops = None
    for fewer, more in reversed(list(itertools.pairwise(same))):
        gain = more.chance_lasts - fewer.chance_lasts
        if gain >= _PAYS_CHANCE or more.days.p50 - fewer.days.p50 >= _PAYS_DAYS:
            break
        stops = fewer
    return stops
