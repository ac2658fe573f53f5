"""What would trip, and what must not be built: said beside an answer before it is believed."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping

import pandas as pd

from solarsim.answers.checked import check_question
from solarsim.answers.freezing import freezing_warnings, too_cold_warnings
from solarsim.answers.medical import medical_caution
from solarsim.answers.peaks import peak_warnings
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import Conditions
from solarsim.answers.simulation.run import Simulation
from solarsim.electrical.bank import BANK
from solarsim.electrical.check import stop_warnings
from solarsim.electrical.findings import Finding

__all__ = [
    "bank_stops",
    "build_warnings",
    "change_warnings",
    "checked_of",
    "run_warnings",
    "stops_of_units",
    "van_warnings",
]


def van_warnings(question: Question, simulation: Simulation) -> tuple[str, ...]:
    """Say in one line each what the running watts trip and what the electrical check forbids.

    `simulation` is the question's own, with its van as the first design.
    """
    timezone = question.place.timezone
    return (
        *run_warnings(question, simulation.conditions, simulation.times, timezone),
        *build_warnings(question),
    )


def run_warnings(
    question: Question, conditions: Conditions, times: pd.DatetimeIndex, timezone: str
) -> tuple[str, ...]:
    """Say in one line each what the runs tell of a van as the people aboard use it."""
    van, profile = question.van, question.profile
    return (
        *_nothing_on(conditions.demand_wh_per_day),
        *peak_warnings(van, profile, conditions.peaks, conditions.loads, times, timezone),
        *too_cold_warnings(conditions.too_cold_share),
        *freezing_warnings(conditions.freezing, times, timezone),
    )


def build_warnings(question: Question) -> tuple[str, ...]:
    """Say in one line each what the electrical check forbids where the question is asked.

    Where someone's health depends on a device, that comes first.
    """
    medical = question.profile.medical
    return (
        *((medical_caution(medical),) if medical else ()),
        *stop_warnings(
            question.van,
            question.profile,
            question.place,
            climate=question.climate,
            series=question.series,
            # The hours of the runs tell it better.
            leave_out=["inverter-single"],
        ),
    )


def _nothing_on(demand_wh_per_day: Mapping[str, float]) -> tuple[str, ...]:
    if sum(demand_wh_per_day.values()) > 0.0:
        return ()
    return (
        "nothing draws any power in this stay: its days tell nothing of a van that is lived in",
    )


def change_warnings(before: Question, changes: Iterable[Question]) -> list[tuple[str, ...]]:
    """Say what the electrical check finds wrong after each change that was not wrong before it."""
    known = {(finding.id, finding.where) for finding in _blocking(before)}
    looked_at = checked_of(before)
    return [
        ()
        if checked_of(after) == looked_at
        else tuple(
            f"{finding.message}: {finding.advice}"
            for finding in _blocking(after)
            if (finding.id, finding.where) not in known
        )
        for after in changes
    ]


def checked_of(question: Question) -> tuple[object, ...]:
    """Return what the electrical check looks at: not how the van is parked, cleaned or how warm."""
    van = question.van
    stay = van.stay.model_copy(update={"parking": "", "brush_snow": "", "start_soc": 1.0})
    panels = van.panels.model_copy(update={"soiling_share": 0.0})
    profile = question.profile.model_copy(update={"cabin": None})
    heated = question.profile.cabin.heater_set_point_c is not None
    return van.model_copy(update={"stay": stay, "panels": panels}), profile, heated


def bank_stops(question: Question, units: int) -> tuple[str, ...]:
    """Say why a bank of so many units may not be built into this van, whatever its energy.

    What is not about the bank and stops the smallest as well is no fault of these units.
    """
    smallest = _stops(question, question.van.units_in_series)
    known = {(finding.id, finding.where) for finding in smallest if finding.where != BANK}
    return tuple(
        finding.message
        for finding in _stops(question, units)
        if (finding.id, finding.where) not in known
    )


def _blocking(question: Question) -> Iterator[Finding]:
    """Yield what must not be built, and what overloads the inverter."""
    for finding in _findings(question):
        if finding.severity == "stop" or finding.id == "inverter-together":
            yield finding


def stops_of_units(question: Question, units: int) -> frozenset[tuple[str, str]]:
    """Return what stops a bank of so many units, by its finding and where."""
    return frozenset((finding.id, finding.where) for finding in _stops(question, units))


def _stops(question: Question, units: int) -> Iterator[Finding]:
    battery = question.van.battery.model_copy(update={"units": units})
    van = question.van.model_copy(update={"battery": battery})
    for finding in _findings(dataclasses.replace(question, van=van)):
        if finding.severity == "stop":
            yield finding


def _findings(question: Question) -> tuple[Finding, ...]:
    return check_question(question).findings
