"""How every candidate does on the same weather."""

from __future__ import annotations

from solarsim.answers.peaks import inverter_warnings
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import Conditions
from solarsim.answers.simulation.run import Progress, Simulation, simulate
from solarsim.answers.simulation.summary import chance_lasts, days_unplugged, ledger_wh_per_day
from solarsim.answers.tune.candidates import Candidates, tuned_design
from solarsim.answers.tune.designs import TunedDesign
from solarsim.answers.tune.weights import cost, cost_in_panel_w
from solarsim.inputs.van import Van
from solarsim.power.design import Design

__all__ = ["evaluate"]


def evaluate(
    question: Question, tried: Candidates, *, progress: Progress | None = None
) -> tuple[tuple[TunedDesign, ...], Conditions, tuple[str, ...]]:
    """Simulate every candidate.

    Parameters
    ----------
    question : Question
        The question as asked; the candidates' variants differ from it in the van alone.
    tried : Candidates
        What is tried.
    progress : callable, optional
        Called with variants done and in all.

    Returns
    -------
    tuple
        The designs in the order of variants, chemistries, panels and units; the conditions of the
        first variant; and what would overload the inverter in it.
    """
    van = question.van
    priced = set(tried.chemistries) == {van.battery.chemistry}
    designs: list[TunedDesign] = []
    conditions: Conditions | None = None
    overloads: tuple[str, ...] = ()
    for done, variant in enumerate(tried.variants, start=1):
        table = [
            (units, tuned_design(variant.van, chemistry=chemistry, units=units, panels=panels))
            for chemistry in tried.chemistries
            for panels in tried.panels
            for units in tried.units
        ]
        # The largest is observed, so that what would overload the inverter is told of a bank that
        # stays connected.
        simulation = simulate(variant, [design for _, design in table], observed=len(table) - 1)
        if conditions is None:
            conditions = simulation.conditions
            overloads = _overloads(question, simulation)
        for index, (units, design) in enumerate(table):
            price = cost(van, design.panel_count, units) if priced else None
            designs.append(_tuned(simulation, index, variant.van, units, design, price))
        if progress is not None:
            progress(done, len(tried.variants))
    assert conditions is not None
    return tuple(designs), conditions, overloads


def _overloads(question: Question, simulation: Simulation) -> tuple[str, ...]:
    return inverter_warnings(
        question.van,
        question.profile,
        simulation.conditions.peaks,
        simulation.conditions.loads,
        simulation.times,
        question.place.timezone,
    )


def _tuned(
    simulation: Simulation, index: int, van: Van, units: int, design: Design, price: float | None
) -> TunedDesign:
    ledger = ledger_wh_per_day(simulation, index)
    dcdc_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
    return TunedDesign(
        panels=design.panel_count,
        units=units,
        capacity_ah=design.capacity_ah,
        controller_a=design.controller_max_a,
        chemistry=design.chemistry,
        dcdc_a=dcdc_a,
        tilt_deg=van.panels.tilt_deg,
        chance_lasts=chance_lasts(simulation, index),
        days=days_unplugged(simulation, index),
        refused_wh_per_day=ledger["solar_refused_full"]
        + ledger["solar_refused_cold"]
        + ledger["solar_clipped"],
        cost=price,
        cost_in_panel_w=cost_in_panel_w(van, design, dcdc_a=dcdc_a),
    )
