"""What a battery log says, on a terminal, as a document and as files of TOML."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.calibrate.calibrate import CalibrateAnswer, Promise
from solarsim.answers.calibrate.estimates import Estimate
from solarsim.arrays import FloatArray
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.documents import place_document
from solarsim.present.stay.text import plain, print_list
from solarsim.present.words import CAUTIONS, days_text, month_name
from solarsim.weather.years.windows import stay_month

__all__ = [
    "calibrate_document",
    "calibrate_headline",
    "calibrated_files",
    "estimate_words",
    "print_calibrate",
]


def calibrate_headline(answer: CalibrateAnswer) -> str:
    """Return in one sentence what the log changes in the promise."""
    stay = answer.question.van.stay
    before, after = answer.before, answer.after
    return (
        f"By its log the van '{answer.question.van.van.name}' lasts "
        f"{days_text(after.days.p50, after.days.horizon)} in {month_name(stay_month(stay))} "
        f"(chance of {stay.days} days {chance_text(after.chance_lasts)}); the promise was "
        f"{days_text(before.days.p50, before.days.horizon)} ({chance_text(before.chance_lasts)})."
    )


def print_calibrate(answer: CalibrateAnswer, console: Console) -> None:
    """Print how the log was read, what it tells, and what that changes."""
    console.print(plain(calibrate_headline(answer), "bold"))
    console.print(plain(f"Light from {answer.light_source}."))
    print_list("How the log was read (say otherwise with --columns, --positive, --timezone)",
               answer.log.guesses, console)  # fmt: skip
    table = Table(title="What the log tells, with one standard error", title_justify="left")
    for name in ("", "assumed", "by the log"):
        table.add_column(name, justify="left" if not name else "right")
    table.add_column("rests on")
    for estimate in answer.estimates:
        assumed, told, reason = estimate_words(estimate)
        table.add_row(estimate.name, assumed, told, plain(reason))
    console.print(table)
    console.print(_hours_table(answer))
    console.print(
        f"State of charge, modelled a day ahead against measured: off by "
        f"{100.0 * answer.error_before_soc:.1f} points before, "
        f"{100.0 * answer.error_after_soc:.1f} after (root mean square)."
    )
    console.print(_promise_table(answer))
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def estimate_words(estimate: Estimate) -> tuple[str, str, str]:
    """Return what was assumed, what the log tells with its standard error, and why."""
    reason = estimate.reason.removeprefix("not determined by this log: ")
    return _figure(estimate.assumed, estimate.unit), _told(estimate), reason


def _figure(value: float, unit: str) -> str:
    return f"{value:.3f}" if not unit else f"{value:,.1f} {unit}"


def _told(estimate: Estimate) -> str:
    if estimate.value is None or estimate.error is None:
        return "not determined"
    error = f"{estimate.error:.3f}" if not estimate.unit else f"{estimate.error:.1f}"
    return f"{_figure(estimate.value, estimate.unit)} +- {error}"


def _hours_table(answer: CalibrateAnswer) -> Table:
    table = Table(title="Base load by the local clock, W", title_justify="left")
    for name in ("hours", "profile", "log", "+-"):
        table.add_column(name, justify="right" if name != "hours" else "left")
    for first in range(0, 24, 3):
        hours = slice(first, first + 3)
        error = math.sqrt(float((answer.load_error_w[hours] ** 2).mean()) / 3.0)
        table.add_row(
            f"{first:02d} to {first + 3:02d}",
            f"{answer.load_before_w[hours].mean():.0f}",
            f"{answer.load_w[hours].mean():.0f}",
            f"{error:.0f}",
        )
    return table


def _promise_table(answer: CalibrateAnswer) -> Table:
    stay = answer.question.van.stay
    title = f"What it changes: {stay.days} days in {month_name(stay_month(stay))}"
    table = Table(title=title, title_justify="left")
    table.add_column("")
    for name in ("chance", "P10 days", "P50 days", "P90 days"):
        table.add_column(name, justify="right")
    for label, promise in (("as promised", answer.before), ("by the log", answer.after)):
        days = promise.days
        table.add_row(
            label,
            chance_text(promise.chance_lasts),
            *(days_text(value, days.horizon) for value in (days.p10, days.p50, days.p90)),
        )
    return table


def calibrate_document(answer: CalibrateAnswer) -> dict[str, Any]:
    """Return the document of `calibrate`; a gap is null."""

    def hours(values: FloatArray) -> list[float | None]:
        return [float(value) if np.isfinite(value) else None for value in values]

    def promise(one: Promise) -> dict[str, Any]:
        return {
            "chance_lasts": one.chance_lasts,
            "days_unplugged": dataclasses.asdict(one.days),
        }

    return {
        "schema": 1,
        "place": place_document(answer.question.place),
        "log": {
            "start": answer.log.times[0].isoformat(),
            "hours": len(answer.log.times),
            "covered_share": answer.log.covered_share,
            "read_as": list(answer.log.guesses),
        },
        "light_source": answer.light_source,
        "estimates": [dataclasses.asdict(estimate) for estimate in answer.estimates],
        "load_w": hours(answer.load_w),
        "load_error_w": hours(answer.load_error_w),
        "load_before_w": hours(answer.load_before_w),
        "soc": {
            "times": [stamp.isoformat() for stamp in answer.log.times],
            "measured": hours(answer.log.soc),
            "before": hours(answer.before_soc),
            "after": hours(answer.after_soc),
            "error_before": answer.error_before_soc,
            "error_after": answer.error_after_soc,
        },
        "before": promise(answer.before),
        "after": promise(answer.after),
        "warnings": list(answer.notes),
    }


def calibrated_files(answer: CalibrateAnswer, stem: str) -> dict[str, bytes]:
    """Return the calibrated van's file and its loads' file beside it, by name.

    Parameters
    ----------
    answer : CalibrateAnswer
        With the tables.
    stem : str
        Name of the van's file without its ending; the loads' file adds ``-loads``.
    """
    import tomli_w

    loads = f"{stem}-loads.toml"
    van = dict(answer.van_tables)
    stay = {**van.get("stay", {}), "profile": loads}
    # The place that was asked for, not the one that the file named before.
    place = answer.question.place
    stay["place"] = f"{place.latitude_deg:.4f}, {place.longitude_deg:.4f}"
    van["stay"] = stay
    source = f"# Calibrated by a battery log of {answer.log.times[0]:%Y-%m-%d} to "
    source += f"{answer.log.times[-1]:%Y-%m-%d}; light from {_one_line(answer.light_source)}.\n"
    return {
        f"{stem}.toml": (source + tomli_w.dumps(van)).encode(),
        loads: (source + tomli_w.dumps(answer.profile_tables)).encode(),
    }


def _one_line(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)
