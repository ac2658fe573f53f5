"""The electrical check in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.cards import Card
from solarsim.electrical.check import Check
from solarsim.electrical.findings import Finding
from solarsim.present.check.documents import check_document
from solarsim.present.check.text import check_headline
from solarsim.present.faces.rows import notes_row
from solarsim.present.words import CAUTIONS

__all__ = ["cables", "card", "document", "frame"]

document = check_document

_SHOWN = 4


def card(answer: Check) -> Card:
    """Return the outcome, the worst findings and the caution."""
    return Card(
        check_headline(answer),
        [
            *(_row(finding) for finding in answer.findings[:_SHOWN]),
            (
                "air",
                f"{answer.extremes.low_c:z.0f} to {answer.extremes.high_c:z.0f} C at "
                f"{answer.place.name}",
            ),
            (
                "cables",
                f"{len(answer.cables)} runs with wire and fuse, see .cables_frame() and .topology",
            ),
            ("rules", answer.rules.title),
            *notes_row(answer.assumed),
            ("caution", CAUTIONS),
        ],
    )


def frame(answer: Check) -> pd.DataFrame:
    """Return one row a finding, worst first; `unit` is that of its value and its limit."""
    columns = ["severity", "id", "where", "value", "limit", "unit", "message", "advice", "source"]
    return pd.DataFrame(check_document(answer)["findings"], columns=columns)


def cables(answer: Check) -> pd.DataFrame:
    """Return one row a cable run."""
    return pd.DataFrame(check_document(answer)["cables"])


def _row(finding: Finding) -> tuple[str, str]:
    where = f"{finding.where}: " if finding.where else ""
    return finding.severity.upper(), f"{where}{finding.message}"
