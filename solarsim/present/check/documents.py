"""The electrical check as a JSON document (schema 1) and its cables as a table for the bench."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

from solarsim.electrical.cables import Cable
from solarsim.electrical.check import Check
from solarsim.electrical.findings import Finding
from solarsim.inputs.files.cells import csv_text
from solarsim.present.stay.documents import place_document
from solarsim.present.words import CAUTIONS

__all__ = ["RULES_CAUTION", "cables_csv", "check_document"]

RULES_CAUTION = (
    "These are published rules for small DC systems and common practice, not an inspection: local "
    "codes and a licensed electrician decide."
)
_DIGITS = 4
_BENCH_COLUMNS = (
    *(
        "name",
        "current_a",
        "design_a",
        "length_m",
        "engine_space",
        "bundled",
        "wire",
        "gauge",
        "metric",
    ),
    *("insulation_c", "ambient_c", "heat_share", "ampacity_a", "ampacity_at_least_a"),
    *("drop_v", "drop_share", "drop_end_share", "fuse_a", "fuse_at_least_a"),
    *("fuse_at_most_a", "fuse_interrupts_at_least_a", "fuse_place"),
)


def check_document(check: Check) -> dict[str, Any]:
    """Return the document of `check`: findings worst first, then every run's wire and fuse."""
    return {
        "schema": 1,
        "cautions": [CAUTIONS, RULES_CAUTION],
        "rules": check.rules.name,
        "rules_why": check.rules_why,
        "place": place_document(check.place),
        "extremes": {
            "temp_low_c": check.extremes.low_c,
            "temp_high_c": check.extremes.high_c,
            "source": check.extremes.source,
        },
        "strings": [dataclasses.asdict(one) for one in check.strings],
        "findings": [_finding(finding) for finding in check.findings],
        "cables": [_cable(cable) for cable in check.cables],
        "circuit": dataclasses.asdict(check.topology),
        "assumed": list(check.assumed),
        "not_looked_at": list(check.not_looked_at),
    }


def cables_csv(check: Check) -> str:
    """Return the cables and fuses as CSV, the cautions in comment lines above the heading."""
    rows = [_cable(cable) for cable in check.cables]
    return csv_text(_BENCH_COLUMNS, rows, above=[CAUTIONS, RULES_CAUTION], digits=f".{_DIGITS}g")


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "id": finding.id,
        "severity": finding.severity,
        "where": finding.where,
        "value": finding.compared.value,
        "limit": finding.compared.limit,
        "unit": finding.compared.unit,
        "source": finding.source,
        "message": finding.message,
        "advice": finding.advice,
    }


def _cable(cable: Cable) -> dict[str, Any]:
    circuit = cable.circuit
    fused = circuit.fused_at_source
    bears = cable.bears
    return {
        "run": circuit.key,
        "name": circuit.name,
        "current_a": circuit.current_a,
        "design_a": circuit.design_a,
        "length_m": circuit.length_m,
        "engine_space": circuit.engine_space,
        "bundled": circuit.run.bundled,
        "wire": None if cable.wire is None else cable.wire.name,
        "wire_area_mm2": None if cable.wire is None else cable.wire.area_mm2,
        "wire_given": cable.given,
        "insulation_c": circuit.insulation_c,
        "ambient_c": circuit.ambient_c,
        "ambient_source": circuit.ambient_source,
        "heat_share": cable.heat_share,
        "gauge": None if cable.gauge is None else cable.gauge.name,
        "metric": None if cable.metric is None else cable.metric.name,
        "table_a": None if bears is None else bears.table_a,
        "table_source": None if bears is None else bears.table_source,
        "bundle_share": None if bears is None else bears.bundle_share,
        "terminal_a": None if bears is None or math.isinf(bears.terminal_a) else bears.terminal_a,
        "ampacity_a": cable.ampacity_a,
        "ampacity_at_least_a": circuit.corrected_a,
        "drop_v": cable.drop_v,
        "drop_share": cable.drop_share,
        "drop_end_share": cable.drop_end_share,
        "drop_limit_share": cable.drop_limit_share,
        "loss_w": cable.loss_w,
        "fuse_a": cable.fuse_a,
        "fuse_at_least_a": circuit.design_a if fused else None,
        "fuse_at_most_a": cable.fuse_most_a if fused and cable.wire is not None else None,
        "fuse_interrupts_at_least_a": circuit.interrupts_a,
        "fuse_place": circuit.fuse_place,
    }
