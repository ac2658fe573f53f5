"""What a battery log says, on a terminal, as a document and as files of TOML."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pandas as pd
from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.calibrate.calibrate import CalibrateAnswer
from solarsim.answers.calibrate.estimates import Estimate
from solarsim.answers.calibrate.promises import Promise
from solarsim.arrays import FloatArray
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.documents import place_document
from solarsim.present.stay.text import days_cell, plain, print_list
from solarsim.present.words import CAUTIONS, at_least_text, days_text, month_name
from solarsim.weather.years.windows import stay_month

__all__ = [
    "calibrate_document",
    "calibrate_headline",
    "calibrated_files",
    "estimate_words",
    "local_times",
    "print_calibrate",
]


def calibrate_headline(answer: CalibrateAnswer) -> str:
    """Return in one or two sentences what the log changes in the promise."""
    stay = answer.question.van.stay
    before, after = answer.before, answer.after
    text = (
        f"By its log the van '{answer.question.van.van.name}' lasts "
        f"{at_least_text(after.days.p50, after.days.follow_days)} in half of all stays in "
        f"{month_name(stay_month(stay))} ({_stay(stay.days)}: {chance_text(after.chance_lasts)}). "
        f"The promise was {days_text(before.days.p50, before.days.follow_days)} "
        f"({chance_text(before.chance_lasts)})."
    )
    if not answer.own_months:
        return text
    one = answer.own_months[0]
    return (
        f"{text} In {month_name(one.month)}, a month of the log, it lasts "
        f"{days_text(one.after.days.p50, one.after.days.follow_days)}; the promise for it was "
        f"{days_text(one.before.days.p50, one.before.days.follow_days)}."
    )


def _stay(days: int) -> str:
    return f"chance of {days} day" + ("" if days == 1 else "s")


def print_calibrate(answer: CalibrateAnswer, console: Console) -> None:
    """Print how the log was read, what it tells, and what that changes."""
    console.print(plain(calibrate_headline(answer), "bold"))
    console.print(plain(f"Light from {answer.light_source}."))
    print_list("How the log was read (say otherwise with --columns, --positive, --timezone)",
               answer.log.guesses, console)  # fmt: skip
    table = Table(title="What the log shows, with one standard error", title_justify="left")
    for name in ("", "assumed", "by the log"):
        table.add_column(name, justify="left" if not name else "right")
    table.add_column("rests on")
    for estimate in answer.estimates:
        assumed, found, reason = estimate_words(estimate)
        table.add_row(estimate.name, assumed, found, plain(reason))
    console.print(table)
    if answer.responsive:
        console.print(_responsive_table(answer))
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
    """Return what was assumed, what the log shows with its standard error, and why."""
    reason = estimate.reason.removeprefix("not determined by this log: ")
    return _figure(estimate.assumed, estimate.unit), _found(estimate), reason


def _figure(value: float, unit: str) -> str:
    return f"{value:.3f}" if not unit else f"{value:,.1f} {unit}"


def _found(estimate: Estimate) -> str:
    if estimate.value is None or estimate.error is None:
        return "not determined"
    error = f"{estimate.error:.3f}" if not estimate.unit else f"{estimate.error:.1f}"
    return f"{_figure(estimate.value, estimate.unit)} +- {error}"


def _hours_table(answer: CalibrateAnswer) -> Table:
    table = Table(title="Base load by the local clock, W", title_justify="left")
    for name in ("hours", "by the profile", "by the log", "+-", "of it by the clock"):
        table.add_column(name, justify="right" if name != "hours" else "left")
    for first in range(0, 24, 3):
        hours = slice(first, first + 3)
        error = math.sqrt(float((answer.load_error_w[hours] ** 2).mean()) / 3.0)
        table.add_row(
            f"{first:02d} to {first + 3:02d}",
            f"{answer.load_before_w[hours].mean():.0f}",
            f"{answer.load_w[hours].mean():.0f}",
            f"{error:.0f}",
            f"{answer.clock_w[hours].mean():.0f}",
        )
    return table


def _responsive_table(answer: CalibrateAnswer) -> Table:
    table = Table(title="Loads that follow the weather", title_justify="left")
    table.add_column("")
    table.add_column("by the profile, in the log's weather", justify="right")
    table.add_column("by the log")
    for one in answer.responsive:
        shown = (
            f"x {one.scale_share:.2f} +- {one.error_share:.2f}"
            if one.shown
            else ("not shown; stays as the profile has it")
        )
        table.add_row(plain(one.name), f"{one.mean_w:.1f} W", shown)
    return table


def _promise_table(answer: CalibrateAnswer) -> Table:
    stay = answer.question.van.stay
    days = f"{stay.days} day" + ("" if stay.days == 1 else "s")
    title = f"What it changes: a stay of {days}"
    table = Table(title=title, title_justify="left")
    table.add_column("")
    for name in ("chance", "P10 days", "P50 days", "P90 days"):
        table.add_column(name, justify="right")
    rows = [(stay_month(stay), answer.before, answer.after)]
    rows += [(one.month, one.before, one.after) for one in answer.own_months]
    for at, (month, before, after) in enumerate(rows):
        name = month_name(month) + (", a month of the log" if at else "")
        for label, one in (("as promised", before), ("by the log", after)):
            found = one.days
            table.add_row(
                f"{name}: {label}",
                chance_text(one.chance_lasts),
                *(
                    days_cell(value, found.follow_days)
                    for value in (found.p10, found.p50, found.p90)
                ),
            )
    return table


def local_times(answer: CalibrateAnswer) -> pd.DatetimeIndex:
    """Starts of the log's hours by the clock of the place, summer time in summer."""
    return answer.log.times.tz_convert(answer.question.place.timezone)


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
            "start": local_times(answer)[0].isoformat(),
            "hours": len(answer.log.times),
            "covered_share": answer.log.covered_share,
            "read_as": list(answer.log.guesses),
        },
        "light_source": answer.light_source,
        "estimates": [dataclasses.asdict(estimate) for estimate in answer.estimates],
        "load_w": hours(answer.load_w),
        "load_error_w": hours(answer.load_error_w),
        "load_before_w": hours(answer.load_before_w),
        "clock_w": hours(answer.clock_w),
        "responsive": [dataclasses.asdict(one) for one in answer.responsive],
        "soc": {
            "times": [stamp.isoformat() for stamp in local_times(answer)],
            "measured": hours(answer.log.soc),
            "before": hours(answer.before_soc),
            "after": hours(answer.after_soc),
            "error_before": answer.error_before_soc,
            "error_after": answer.error_after_soc,
        },
        "month": stay_month(answer.question.van.stay),
        "before": promise(answer.before),
        "after": promise(answer.after),
        "own_months": [
            {"month": one.month, "before": promise(one.before), "after": promise(one.after)}
            for one in answer.own_months
        ],
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
    times = local_times(answer)
    source = f"# Calibrated by a battery log of {times[0]:%Y-%m-%d} to "
    source += f"{times[-1]:%Y-%m-%d}; light from {_one_line(answer.light_source)}.\n"
    return {
        f"{stem}.toml": (source + tomli_w.dumps(van)).encode(),
        loads: (source + tomli_w.dumps(answer.profile_tables)).encode(),
    }


def _one_line(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)
