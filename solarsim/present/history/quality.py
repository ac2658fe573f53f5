"""What a weather file is worth, on a terminal and as a document."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table

from solarsim.inputs.percent import percent
from solarsim.present.stay.documents import place_document
from solarsim.present.stay.text import plain, print_list
from solarsim.weather.years.quality import Quality
from solarsim.weather.years.series import YearSeries
from solarsim.weather.years.verdict import Verdict, verdict_of

__all__ = ["print_quality", "quality_document", "repair_words", "verdict_text"]


def print_quality(series: YearSeries, console: Console) -> None:
    """Print what a weather file is worth, and whether to use it."""
    quality = series.quality
    if quality is None:
        return
    console.print(plain(series.source, "bold"))
    place = series.place
    console.print(
        plain(
            f"{place.latitude_deg:.3f}, {place.longitude_deg:.3f}; {place.elevation_m:.0f} m; "
            f"UTC{place.utc_offset_h:+g}; {series.times[0]:%Y-%m-%d} to {series.times[-1]:%Y-%m-%d}"
        )
    )
    table = Table(title="Quality of the file", title_justify="left")
    table.add_column("")
    table.add_column("", justify="right")
    for label, text in _quality_rows(quality):
        table.add_row(label, text)
    console.print(table)
    print_list("Taken as given", series.notes, console)
    console.print(plain(verdict_text(verdict_of(series)), "bold"))


def verdict_text(verdict: Verdict) -> str:
    """Return the verdict in a sentence, and what the repair would do in another.

    Examples
    --------
    >>> verdict_text(Verdict("use it with care", ("3 of its hours of night hold light",), ()))
    'Use it with care: 3 of its hours of night hold light.'
    """
    head = verdict.grade[:1].upper() + verdict.grade[1:]
    reasons = f": {'; '.join(verdict.reasons)}" if verdict.reasons else ""
    return f"{head}{reasons}. {repair_words(verdict.repairs)}".rstrip()


def repair_words(repairs: Sequence[str]) -> str:
    """What `--repair` would mend; empty where there is nothing."""
    return f"`--repair --out clean.csv` {' and '.join(repairs)}." if repairs else ""


def _quality_rows(quality: Quality) -> list[tuple[str, str]]:
    rows = [
        ("hours", f"{quality.hours:,}"),
        ("minutes from row to row", str(quality.step_minutes)),
        ("hours missing and closed", percent(quality.missing_share, 2)),
        ("beam or diffuse missing", percent(quality.beam_missing_share, 2)),
        ("GHI above the clear sky by more than 20 %", percent(quality.above_clear_share, 2)),
        ("hours of night with light", str(quality.night_light_hours)),
    ]
    if quality.closure_share is not None:
        rows.append(("GHI = DHI + DNI cos z within 8 %", percent(quality.closure_share, 1)))
        rows.append(("GHI - (DHI + DNI cos z), W/m2", f"{quality.closure_w_m2:+.1f}"))
    if quality.lag_minutes is not None:
        rows.append(("light after the sun, minutes", f"{quality.lag_minutes:+.0f}"))
    return rows


def quality_document(series: YearSeries) -> dict[str, Any]:
    """Return a weather file's report and verdict as a document."""
    quality = series.quality
    return {
        "schema": 1,
        "place": place_document(series.place),
        "source": series.source,
        "start": series.times[0].isoformat(),
        "end": series.times[-1].isoformat(),
        "quality": None if quality is None else dataclasses.asdict(quality),
        "verdict": None if quality is None else dataclasses.asdict(verdict_of(series)),
        "warnings": list(series.notes),
    }
