"""What would trip, and what must not be built: said beside an answer before it is believed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from solarsim.answers.freezing import freezing_warnings, too_cold_warnings
from solarsim.answers.peaks import peak_warnings
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Simulation
from solarsim.electrical.bank import bank_findings
from solarsim.electrical.check import check_van, stop_warnings
from solarsim.electrical.findings import Finding
from solarsim.electrical.site import site_extremes

__all__ = ["bank_stops", "change_warnings", "van_warnings"]


def van_warnings(question: Question, simulation: Simulation) -> tuple[str, ...]:
    """Say in one line each what the running watts trip and what the electrical check forbids.

    `simulation` is the question's own, with its van as the first design.
    """
    van, profile, conditions = question.van, question.profile, simulation.conditions
    return (
        *_nothing_on(conditions.demand_wh_per_day),
        *peak_warnings(
            van,
            profile,
            conditions.peaks,
            conditions.loads,
            simulation.times,
            question.place.timezone,
        ),
        *too_cold_warnings(conditions.too_cold_share),
        *freezing_warnings(conditions.freezing, simulation.times, question.place.timezone),
        *stop_warnings(
            van,
            profile,
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
    return [
        tuple(
            f"{finding.message}: {finding.advice}"
            for finding in _blocking(after)
            if (finding.id, finding.where) not in known
        )
        for after in changes
    ]


def bank_stops(question: Question, units: int) -> tuple[str, ...]:
    """Say why a bank of so many units may not be built into this van, whatever its energy."""
    battery = question.van.battery.model_copy(update={"units": units})
    van = question.van.model_copy(update={"battery": battery})
    extremes = site_extremes(question.place, question.climate, question.series)
    return tuple(
        finding.message
        for finding in bank_findings(van, question.profile, extremes)
        if finding.severity == "stop"
    )


def _blocking(question: Question) -> Iterator[Finding]:
    """Yield what must not be built, and what overloads the inverter."""
    check = check_van(
        question.van,
        question.profile,
        question.place,
        climate=question.climate,
        series=question.series,
    )
    for finding in check.findings:
        if finding.severity == "stop" or finding.id == "inverter-together":
            yield finding
