"""The wiring plan in Python."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from solarsim.answers.wiring.wiring import WiringAnswer
from solarsim.cards import Card
from solarsim.inputs.files.write import check_writable, write_file
from solarsim.present.check.text import check_headline
from solarsim.present.sheet.typeset import Paper
from solarsim.present.wiring.document import runs_rows, wiring_document
from solarsim.present.wiring.make import check_plan_path, plan_bytes
from solarsim.present.words import CAUTIONS

__all__ = ["card", "document", "frame", "save", "svg"]

document = wiring_document
_SHOWN = 3


def card(answer: WiringAnswer) -> Card:
    """Return what the check stops, how much there is to wire and measure, and the caution."""
    runs = answer.check.topology.runs
    return Card(
        f"Wiring plan. {check_headline(answer.check)}",
        [
            *(("STOP", stop) for stop in answer.stops[:_SHOWN]),
            ("rules", answer.check.rules.title),
            ("runs", f"{len(runs)}, see .frame() and .check.topology"),
            ("test sheet", f"{len(answer.steps)} lines, see .steps"),
            ("make it", ".save('plan.pdf'), .html, .svg, .png, .csv or .json"),
            ("caution", CAUTIONS),
        ],
    )


def frame(answer: WiringAnswer) -> pd.DataFrame:
    """Return one row a run, in the order of their numbers."""
    return pd.DataFrame(runs_rows(answer))


def save(answer: WiringAnswer, path: Path, *, paper: Paper) -> None:
    """Write the plan to a file; otherwise as `WiringAnswer.save`."""
    check_plan_path(path, field="path")
    check_writable(path)
    write_file(path, plan_bytes(answer, path.suffix.lower(), paper=paper))


def svg(answer: WiringAnswer) -> str:
    """Return the picture as SVG."""
    return plan_bytes(answer, ".svg").decode()
