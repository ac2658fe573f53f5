"""The plan's page: every string of it, as picture, PDF and HTML show it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection
from typing import Any

from solarsim.answers.wiring.step import STAGES, Step
from solarsim.answers.wiring.wiring import WiringAnswer
from solarsim.electrical.circuit.topology import Run, Topology
from solarsim.inputs.percent import percent
from solarsim.present.check.text import check_headline
from solarsim.present.sheet.glyphs import BREAK, Cleaner
from solarsim.present.wiring.document import PLAN_CAUTIONS
from solarsim.present.wiring.labels import other_size, protection_text, size_text
from solarsim.present.wiring.panels import plan_panels
from solarsim.present.wiring.trees import stopped_runs

__all__ = ["LEGEND", "cleaned_panels", "wiring_page"]

_MARGIN = 20.0
_LEAST_WIDE = 600.0
LEGEND = (
    "A DC line is a pair, plus and minus, unless + or − stands beside it; a mains line is L, N and "
    "PE. In the circle: the run's number, as in the table. Then its conductor (* the van's own; "
    "else the smallest size that the rules allow, “or” the smallest of the other kind), "
    "its length one way, what a mains cable carries and loses to its end, and its fuse. Box on the "
    "line: fuse. Blade: switch; with a cross: breaker. Box with two side leads: shunt. Dashed: "
    "planned, the van's file is silent on it. "
    "Symbols after IEC 60617 (from memory)."
)
_SIGNED = (
    "Built by (name, date, signature)",
    "Measured by (name, date, signature)",
    "Mains side by (name, licence, date, signature)",
)
_LICENSED = (
    "Lines of the mains side are work for a licensed electrician wherever the law says so, and it "
    "mostly does. Where what is measured is not what is expected, nothing is switched on until the "
    "reason is found."
)


def wiring_page(answer: WiringAnswer, *, limited: bool = True) -> dict[str, Any]:
    """Return every string, and every mark of the picture with its place.

    Parameters
    ----------
    answer : WiringAnswer
        What is shown.
    limited : bool
        Whether only the plan's own fonts are at hand; a browser has its own.
    """
    clean = Cleaner(limited=limited)
    check, topology = answer.check, answer.check.topology
    panels = cleaned_panels(topology, stopped_runs(check), clean)
    name, system_v = clean(check.van.van.name, "van"), check.van.van.system_voltage_v
    return {
        "title": f"Wiring plan of {name}",
        "heading": f"Wiring plan: {name}, {system_v} V",
        "lines": [clean(line, "plan") for line in (check.rules_why, check_headline(check))],
        "stops_title": "STOP: do not build or connect it so",
        "stops": [clean(line, "plan") for line in answer.stops],
        "legend": LEGEND,
        "cautions": list(PLAN_CAUTIONS),
        "alt": f"Single-line diagram of {name}; the table of runs holds the same.",
        "panels": panels,
        "width": max([_LEAST_WIDE, *(panel["w"] for panel in panels)]) + 2.0 * _MARGIN,
        "empty": "" if panels else "Nothing is wired: there is no panel, charger or load.",
        "runs": _runs(topology.runs, clean),
        "test": _test(answer.steps, clean),
        "left": {
            "title": "Not looked at",
            "items": [clean(line, "plan") for line in check.not_looked_at],
        },
        "assumed": {
            "title": "Taken as given",
            "items": [clean(line, "plan") for line in check.assumed],
        },
    }


def cleaned_panels(
    topology: Topology, stopped: Collection[int], clean: Callable[[str, str], str]
) -> list[dict[str, Any]]:
    """Return the panels of a plan with only such letters as its fonts have."""
    panels = plan_panels(topology, stopped=stopped)
    drawn = Cleaner(limited=True)
    for panel in panels:
        panel["title"] = clean(panel["title"], "plan")
        # Places are those of the whole text: what has no letters leaves a hole, and no overlap.
        for mark in panel["marks"]:
            if mark["kind"] == "text":
                mark["text"] = drawn(mark["text"], "plan").replace(BREAK, "")
    return panels


def _runs(runs: tuple[Run, ...], clean: Cleaner) -> dict[str, Any]:
    head = [
        "no.",
        "run",
        "conductor",
        "m",
        "A",
        "carries A",
        "fuse or breaker",
        "at most A",
        "drop",
    ]
    rows = [
        [
            str(run.number),
            clean(run.name, "plan"),
            f"{size_text(run)} {other_size(run)}".strip(),
            f"{run.length_m:.2g}",
            f"{run.current_a:.1f}" if run.current_a else "–",
            "–" if run.ampacity_a is None else f"{run.ampacity_a:.0f}",
            "–" if run.protection is None else _guard(run),
            "–" if run.protection is None else f"{math.floor(run.protection.at_most_a + 1e-9)}",
            "–" if run.drop_end_share is None else percent(run.drop_end_share, 1),
        ]
        for run in runs
    ]
    note = (
        "m: one way. A: largest continuous current. Carries: what its conductor bears there, with "
        "heat and bundle. At most: the largest fuse that protects it. Drop: from the source to the "
        "run's end and back. Mains: A and drop are those of the breaker's full current, the drop "
        "from the inlet or the inverter, whichever loses more; the lead from the post is not in it."
    )
    return {"title": "Every run", "head": head, "rows": rows, "note": note}


def _guard(run: Run) -> str:
    guard = run.protection
    assert guard is not None
    breaks = "" if guard.interrupts_a is None else f", breaks {guard.interrupts_a:,.0f} A"
    return f"{protection_text(guard)}{breaks}, {math.ceil(guard.voltage_v - 1e-9)} V"


def _test(steps: tuple[Step, ...], clean: Cleaner) -> dict[str, Any]:
    stages = [
        {
            "title": title,
            "rows": [
                [
                    str(step.number),
                    clean(step.what, "plan"),
                    clean(step.expected, "plan"),
                    clean(step.source, "plan"),
                ]
                for step in steps
                if step.stage == stage
            ],
        }
        for stage, title in STAGES.items()
    ]
    return {
        "title": "Test sheet, before power-up",
        "intro": _LICENSED,
        "head": ["no.", "what", "expected", "measured", "by"],
        "stages": [stage for stage in stages if stage["rows"]],
        "signed": list(_SIGNED),
    }
