"""The wiring plan as a JSON document (schema 1), and its runs as a table for a spreadsheet."""

from __future__ import annotations

import dataclasses
from typing import Any

from solarsim.answers.wiring.step import STAGES
from solarsim.answers.wiring.wiring import WiringAnswer
from solarsim.electrical.circuit.topology import Run
from solarsim.inputs.files.cells import csv_text
from solarsim.present.check.documents import RULES_CAUTION, check_document
from solarsim.present.words import CAUTIONS

__all__ = ["PLAN_CAUTIONS", "runs_csv", "runs_rows", "wiring_document"]

PLAN_CAUTIONS = (CAUTIONS, RULES_CAUTION)
_POLES = {"+": "plus", "-": "minus"}


def wiring_document(answer: WiringAnswer) -> dict[str, Any]:
    """Return the document of `wiring`: what the check found, the circuit, the test sheet."""
    checked = check_document(answer.check)
    checked.pop("cables")
    return checked | {
        "van": answer.check.van.van.name,
        "stops": list(answer.stops),
        "test_sheet": [
            dataclasses.asdict(step) | {"stage_title": STAGES[step.stage]} for step in answer.steps
        ],
    }


def runs_rows(answer: WiringAnswer) -> list[dict[str, Any]]:
    """Return one row a run: what is bought, laid and fused, with units in its names."""
    return [_row(run) for run in answer.check.topology.runs]


def runs_csv(answer: WiringAnswer) -> str:
    """Return the runs as CSV; cautions and what the check stops in comment lines above them."""
    rows = runs_rows(answer)
    stops = [f"STOP, do not build it so: {stop}" for stop in answer.stops]
    columns = list(rows[0]) if rows else ["number"]
    return csv_text(columns, rows, above=[*PLAN_CAUTIONS, *stops])


def _row(run: Run) -> dict[str, Any]:
    guard = run.protection
    return {
        "number": run.number,
        "name": run.name,
        "start": run.start,
        "end": run.end,
        "return_end": run.return_end,
        "conductors": ", ".join(_POLES.get(pole, pole) for pole in run.poles),
        "count": run.count,
        "wire": run.wire,
        "wire_given": run.given,
        "area_mm2": run.area_mm2,
        "awg": run.awg,
        "metric": run.metric,
        "length_m": run.length_m,
        "all_conductors_m": run.both_m,
        "voltage_v": run.voltage_v,
        "current_a": run.current_a,
        "design_a": run.design_a,
        "ampacity_a": run.ampacity_a,
        "drop_share": run.drop_share,
        "drop_end_share": run.drop_end_share,
        "protection": None if guard is None else guard.kind,
        "rating_a": None if guard is None else guard.rating_a,
        "rating_at_most_a": None if guard is None else guard.at_most_a,
        "fuse_class": None if guard is None else guard.fuse_class,
        "fuse_voltage_at_least_v": None if guard is None else guard.voltage_v,
        "interrupts_at_least_a": None if guard is None else guard.interrupts_a,
        "place": run.unprotected_why if guard is None else guard.place,
    }
