"""How many units a bank is looked at with, and loads that none of them could carry."""

from __future__ import annotations

from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Simulation
from solarsim.errors import InputError
from solarsim.inputs.van import Van
from solarsim.power.chemistry import load_chemistry
from solarsim.power.design import Design, design_of, usable_wh

__all__ = [
    "FIRST_STRINGS",
    "MAX_STRINGS",
    "candidate_units",
    "discharge_limit_w",
    "refuse_hopeless",
    "refuse_hopeless_load",
]

# Parallel strings looked at: the first step fills one block of the kernel beside the van's own.
FIRST_STRINGS = 15
MAX_STRINGS = 47


def candidate_units(van: Van, first_strings: int, last_strings: int) -> list[int]:
    """Numbers of units that make whole parallel strings at the system's voltage."""
    series = van.units_in_series
    return [series * strings for strings in range(first_strings, last_strings + 1)]


def refuse_hopeless(question: Question, simulation: Simulation) -> None:
    """Refuse a load that the largest bank looked at could not carry even once.

    Raises
    ------
    InputError
        A day's energy exceeds the largest bank, or the running watts exceed what it may give.
    """
    conditions = simulation.conditions
    refuse_hopeless_load(
        question,
        day_wh=sum(conditions.demand_wh_per_day.values()),
        peak_w=conditions.dc_peak_w + conditions.ac_peak_w,
    )


def refuse_hopeless_load(question: Question, *, day_wh: float, peak_w: float) -> None:
    """Refuse a day's energy and running watts as `refuse_hopeless` does.

    Raises
    ------
    InputError
        As there.
    """
    van = question.van
    largest = design_of(van, units=candidate_units(van, MAX_STRINGS, MAX_STRINGS)[0])
    units = MAX_STRINGS * van.units_in_series
    held_wh = usable_wh(largest)
    source = f"profile '{question.profile.profile.name}'"
    if day_wh > held_wh:
        raise InputError(
            f"uses {day_wh:,.0f} Wh a day; no bank can carry it: {units} units of "
            f"{van.battery.unit_capacity_ah:g} Ah hold {held_wh:,.0f} Wh",
            source=source,
        )
    given_w = discharge_limit_w(largest)
    if peak_w > given_w:
        raise InputError(
            f"runs up to {peak_w:,.0f} W at once; no bank can carry it: {units} units of "
            f"{van.battery.unit_capacity_ah:g} Ah may give {given_w:,.0f} W",
            source=source,
        )


def discharge_limit_w(design: Design) -> float:
    """Power that the chemistry's current limit allows at the system's nominal voltage, W."""
    chemistry = load_chemistry(design.chemistry)
    return chemistry.discharge_c_rate * design.capacity_ah * design.system_voltage_v
