"""The answer of `calibrate` in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.answers.calibrate.calibrate import CalibrateAnswer
from solarsim.cards import Card
from solarsim.present.calibrate.chart import calibrate_figure
from solarsim.present.calibrate.text import (
    calibrate_document,
    calibrate_headline,
    estimate_words,
    local_times,
)
from solarsim.present.faces.rows import notes_row

__all__ = ["card", "document", "figure", "frame", "hourly"]

document = calibrate_document
figure = calibrate_figure


def card(answer: CalibrateAnswer) -> Card:
    """Return what the log changes, and each estimate beside what was assumed."""
    rows = []
    for estimate in answer.estimates:
        assumed, found, _ = estimate_words(estimate)
        rows.append((estimate.name, f"{found} (assumed {assumed})"))
    return Card(
        calibrate_headline(answer),
        [
            *rows,
            (
                "charge a day ahead",
                f"off by {100.0 * answer.error_before_soc:.1f} points before, "
                f"{100.0 * answer.error_after_soc:.1f} after",
            ),
            ("light from", answer.light_source),
            *notes_row(answer.notes),
        ],
    )


def frame(answer: CalibrateAnswer) -> pd.DataFrame:
    """Return one row an estimate; `unit` is that of its figures, empty for a share."""
    return pd.DataFrame(
        {
            "name": estimate.name,
            "assumed": estimate.assumed,
            "value": estimate.value,
            "standard_error": estimate.error,
            "unit": estimate.unit,
            "reason": estimate.reason,
        }
        for estimate in answer.estimates
    )


def hourly(answer: CalibrateAnswer) -> pd.DataFrame:
    """Return the state of charge of the log's hours, 0 to 1; NaN in gaps."""
    columns = {
        "measured_soc": answer.log.soc,
        "before_soc": answer.before_soc,
        "after_soc": answer.after_soc,
    }
    return pd.DataFrame(columns, index=local_times(answer).rename("time"))
